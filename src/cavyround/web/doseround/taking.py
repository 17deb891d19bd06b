"""Take what the phones send from the dose round, and say what others did and what it means."""

import json
import math
from collections import defaultdict
from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, JsonResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from cavyround.advice.book import book
from cavyround.advice.giving import advise
from cavyround.advice.medicines.one_name import one_name_where_two
from cavyround.facts.courses import WENT_IN, Outcome
from cavyround.knowledge.urgency import Urgency
from cavyround.record.clocks import said_moment
from cavyround.record.doses_received import receive_doses
from cavyround.record.models import Check, DoseEntry, Person
from cavyround.record.models.checks import CheckKind
from cavyround.web.checking.naming import NOTHING, id_of
from cavyround.web.gate import for_recorders, person_of

MOST_AT_ONCE = 500
TOO_MUCH = (
    f"This was too much at once: up to {MOST_AT_ONCE} entries are taken in one sending. Nothing "
    "was kept and nothing is lost: the phone still has them and sends fewer."
)
# No number of an entry has more; Python refuses to read thousands of digits at all.
MOST_DIGITS = 20


@for_recorders
@require_POST
def entries(request: HttpRequest) -> JsonResponse:
    """Keep every entry that fits; say in words why one does not."""
    try:
        sent = _sent(request)
    except RequestDataTooBig:
        return JsonResponse({"why": TOO_MUCH}, status=413)
    items = sent.get("touches")
    if not isinstance(items, list):
        why = "This was not a list of entries. Nothing was kept; the phone still has them."
        return JsonResponse({"why": why}, status=400)
    if len(items) > MOST_AT_ONCE:
        return JsonResponse({"why": TOO_MUCH}, status=413)
    person, now = person_of(request), timezone.now()
    receipts = receive_doses(
        person, items, now, book=book(), sent_at=said_moment(sent.get("sent_at"))
    )
    kept = {receipt.id for receipt in receipts if receipt.is_kept}
    return JsonResponse(
        {
            "now": now.isoformat(),
            "kept": sorted(kept),
            "refused": [
                {"id": receipt.id, "why": receipt.why} for receipt in receipts if receipt.why
            ],
            "checks": _about([item for item in items if _id_in(item) in kept], person, now),
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
    return int(digits) if len(digits) <= MOST_DIGITS else math.inf


def _id_in(item: object) -> str:
    return str(item.get("id", "?")) if isinstance(item, dict) else ""


def _about(items: list[Any], person: Person, now: datetime) -> dict[str, Any]:
    """By the name the phone gave: whether another gave it too, and the advice on an answer."""
    answers = {id_of(_id_in(item)): item for item in items if item["touch"]["kind"] == "answer"}
    told: dict[str, dict[str, Any]] = {
        item["check"]["id"]: {"others": []} for item in items if item["touch"]["kind"] != "answer"
    }
    for name, words in _given_by_one(items).items():
        told[name]["others"].append(words)
    for name, words in _given_twice(items).items():
        told[name]["others"].append(words)
    for check in Check.objects.filter(pk__in=answers, kind=CheckKind.NOTE).select_related("animal"):
        name = answers[check.pk]["check"]["id"]
        told[name] = {"advice": _advice(check, person, now)}
    return told


def _advice(check: Check, person: Person, now: datetime) -> dict[str, Any]:
    given = advise(person, check, now)
    urgency = Urgency.from_code(given.urgency)
    return {
        "name": check.animal.name,
        "address": reverse("advice", args=[given.pk]),
        "words": book().urgency_words(urgency),
        "level": int(urgency),
    }


def _given_by_one(items: list[Any]) -> dict[str, str]:
    """For each of these that two people were to work out, and that only one name came with."""
    names = {id_of(_id_in(item)): item["check"]["id"] for item in items}
    sent = DoseEntry.objects.filter(pk__in=names, corrections=None)
    told = {}
    for one in sent.select_related("made_by", "course__animal", "course__order", "lot__product"):
        why = one_name_where_two(one, book())
        if why:
            told[names[one.pk]] = (
                f"{one.course.animal.name}: {one.course.order} came with one name only, "
                f"{one.made_by}. Two people were to work it out: {', '.join(why)}. It is kept as "
                "given. Have somebody work it out now; if it does not come to what went in, ring "
                "the vet. Name the second person on the page of its course."
            )
    return told


def _given_twice(items: list[Any]) -> dict[str, str]:
    """For each due dose that went in more than once: who gave it, and when."""
    names = {
        (id_of(str(item["check"]["course"])), item["check"].get("number")): item["check"]["id"]
        for item in items
        if item["touch"]["kind"] != "answer"
    }
    courses = {course for course, _ in names if course != NOTHING}
    by_slot: dict[tuple[UUID, int | None], list[DoseEntry]] = defaultdict(list)
    standing = DoseEntry.objects.filter(course__in=courses, corrections=None, outcome__in=WENT_IN)
    for one in standing.select_related("made_by", "course__animal", "course__order"):
        by_slot[(one.course_id, one.number)].append(one)
    return {
        names[slot]: _twice_words(several)
        for slot, several in by_slot.items()
        if slot in names and _is_twice(several)
    }


def _is_twice(several: list[DoseEntry]) -> bool:
    """Whether something went in after the whole dose had."""
    whole = [place for place, one in enumerate(several) if one.outcome == Outcome.GIVEN]
    return bool(whole) and whole[0] < len(several) - 1


def _twice_words(several: list[DoseEntry]) -> str:
    first = several[0]
    each = " and ".join(
        f"by {one.made_by} at {timezone.localtime(one.at):%H:%M}" for one in several
    )
    return (
        f"{first.course.animal.name}: {first.course.order} is entered as given more than once, "
        f"{each}. All entries are kept. If it was really given twice, ring the vet before the "
        "next dose; if not, take one entry back."
    )
