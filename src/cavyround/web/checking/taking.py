"""Take what the phones send: touches and photos, each kept once however often it comes."""

import json
import math
from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, JsonResponse, QueryDict
from django.utils import timezone
from django.views.decorators.http import require_POST

from cavyround.advice.book import book
from cavyround.record.clocks import PHOTO_ON_THE_WAY, PhoneClock, said_moment
from cavyround.record.models import Animal, Check
from cavyround.record.photos import PhotoRefusedError, Snapshot, keep_photo
from cavyround.record.receiving import Receipt, receive
from cavyround.web.checking.naming import NOTHING, id_of
from cavyround.web.gate import for_recorders, person_of

# Hands are on an animal for about this long; whoever began within it is checking it too.
TOGETHER = timedelta(minutes=30)
# While a sending is taken in, nobody else writes; 500 touches take about a second. A phone sends
# up to 100 at a time. Our own judgement.
MOST_AT_ONCE = 500
TOO_MUCH = (
    f"This was too much at once: up to {MOST_AT_ONCE} touches are taken in one sending. Nothing "
    "was kept and nothing is lost: the phone still has them and sends fewer."
)
# No number of a touch has more; Python refuses to read thousands of digits at all.
MOST_DIGITS = 20


@for_recorders
@require_POST
def touches(request: HttpRequest) -> JsonResponse:
    """Keep every touch that fits; say in words why one does not."""
    try:
        sent = _sent(request)
    except RequestDataTooBig:
        return JsonResponse({"why": TOO_MUCH}, status=413)
    items = sent.get("touches")
    if not isinstance(items, list):
        why = "This was not a list of touches. Nothing was kept; the phone still has them."
        return JsonResponse({"why": why}, status=400)
    if len(items) > MOST_AT_ONCE:
        return JsonResponse({"why": TOO_MUCH}, status=413)
    refused = [
        Receipt(_id_in(item), why)
        for item in items
        if isinstance(item, dict) and (why := _unknown_code(item.get("touch")))
    ]
    unfit = {receipt.id for receipt in refused}
    fit = [item for item in items if _id_in(item) not in unfit]
    now, sent_at = timezone.now(), said_moment(sent.get("sent_at"))
    receipts = refused + receive(person_of(request), fit, now, sent_at=sent_at)
    return JsonResponse(
        {
            "now": now.isoformat(),
            "kept": [receipt.id for receipt in receipts if receipt.is_kept],
            "refused": [
                {"id": receipt.id, "why": receipt.why} for receipt in receipts if receipt.why
            ],
            "checks": _checks(items),
        }
    )


def _sent(request: HttpRequest) -> dict[str, Any]:
    """What a phone sent; empty where it cannot be read."""
    try:
        sent = json.loads(request.body, parse_int=_number)
    except (ValueError, RecursionError):
        return {}
    return sent if isinstance(sent, dict) else {}


def _number(digits: str) -> int | float:
    """A whole number; one of endless digits is taken as infinite, so that only its touch falls."""
    return int(digits) if len(digits) <= MOST_DIGITS else math.inf


def _id_in(item: object) -> str:
    """The id an item says it has, whatever it is; nothing where it is no item at all."""
    return str(item.get("id", "?")) if isinstance(item, dict) else ""


def _unknown_code(touch: object) -> str:
    """Why a touch with a code nobody here knows cannot be kept; empty where all are known."""
    if not isinstance(touch, dict):
        return ""
    data = touch.get("data") if touch.get("kind") == "correction" else touch
    for field, known, what in _codes():
        value = data.get(field) if isinstance(data, dict) else None
        values = value if isinstance(value, list | tuple) else [value] if value else []
        for code in values:
            if isinstance(code, str) and code not in known:
                return f"{field}: '{code}' is no {what} known here. Load today's list again."
    return ""


def _codes() -> list[tuple[str, Mapping[str, Any] | frozenset[str], str]]:
    words = book().vocabulary
    steps = frozenset(step.code for step in book().steps)
    return [
        ("hold", frozenset(hold.code for hold in book().holds), "hold"),
        ("step", steps, "step of the check"),
        ("steps", steps, "step of the check"),
        ("region", words.regions, "place of the body"),
        ("finding", words.findings, "finding"),
        ("kinds", words.kinds, "kind of a finding"),
        ("unit", words.units, "unit"),
        ("care", words.care, "care"),
        ("what", words.events, "event"),
    ]


def _checks(items: list[Any]) -> dict[str, Any]:
    """Of each check that was sent: whether it is finished, and who else is at the same animal."""
    ids = {id_of(_check_id(item)) for item in items}
    checks = Check.objects.filter(pk__in=ids)
    said = {}
    for check in checks:
        others = (
            Check.objects.filter(
                animal_id=check.animal_id,
                started_at__range=(check.started_at - TOGETHER, check.started_at + TOGETHER),
                finished_at=None,
                put_down_at=None,
            )
            .exclude(pk=check.pk)
            .select_related("started_by")
        )
        said[str(check.id)] = {
            "finished": check.finished_at is not None,
            "others": sorted({str(other.started_by) for other in others}),
        }
    return said


def _check_id(item: object) -> str:
    check = item.get("check") if isinstance(item, dict) else None
    return str(check.get("id")) if isinstance(check, dict) else ""


@for_recorders
@require_POST
def photos(request: HttpRequest) -> JsonResponse:
    """Keep one photo of a check; a broken or far too large one is refused in words."""
    file = request.FILES.get("photo")
    photo_id = id_of(request.POST.get("id", ""))
    animal = Animal.objects.filter(pk=id_of(request.POST.get("animal", ""))).first()
    if file is None or photo_id == NOTHING or animal is None:
        why = "The photo came without its file or its animal. Take it again."
        return JsonResponse({"why": why}, status=422)
    check = Check.objects.filter(pk=id_of(request.POST.get("check", "")), animal=animal).first()
    caption = request.POST.get("caption", "").replace("\0", "")[:120]
    try:
        kept = keep_photo(
            person_of(request),
            animal,
            Snapshot(file=file, caption=caption, id=photo_id),
            _made_at(request.POST, timezone.now()),
            check=check,
        )
    except PhotoRefusedError as refused:
        return JsonResponse({"why": str(refused)}, status=422)
    return JsonResponse({"kept": str(kept.id)})


def _made_at(said: QueryDict, now: datetime) -> datetime:
    """When a photo was made, set right by the clock it was sent with; else it is made now."""
    clock = PhoneClock(now, said_moment(said.get("sent_at")), on_the_way=PHOTO_ON_THE_WAY)
    made_at = said_moment(said.get("made_at"))
    return now if made_at is None else clock.set_right(made_at)
