"""What the weights of a weigh-in say, once the record has them."""

import json
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.http import HttpRequest, JsonResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from cavyround.advice.book import book
from cavyround.advice.giving import advise
from cavyround.engines.weight.said import Reading
from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import Check, Person, WeighIn
from cavyround.web.checking.doubting import readings_each
from cavyround.web.checking.naming import NOTHING, id_of
from cavyround.web.gate import for_recorders, person_of

# More animals than this no pen holds.
MOST_CHECKS = 100
NOTHING_SAID = "Nothing stands out."
TOO_FEW = "Too few weights yet to say more."
DOUBTFUL = "Kept as doubtful: it counts once it was weighed again."


@for_recorders
@require_POST
def said(request: HttpRequest) -> JsonResponse:
    """For each finished weigh-in that is known: how urgent, why, and the advice on it.

    Asked twice about the same, the same is said and no second advice is made.
    """
    checks = _asked_for(request)
    if checks is None:
        why = "This was not a list of checks. Nothing was judged."
        return JsonResponse({"why": why}, status=400)
    known = list(
        Check.objects.filter(pk__in=checks, finished_at__isnull=False).select_related("animal")
    )
    now = timezone.localtime(timezone.now())
    readings = readings_each([check.animal for check in known], now)
    person = person_of(request)
    return JsonResponse(
        {"said": {str(check.id): _said(person, check, readings) for check in known}}
    )


def _asked_for(request: HttpRequest) -> list[UUID] | None:
    try:
        checks = json.loads(request.body)["checks"]
    except (ValueError, TypeError, KeyError, RecursionError):
        return None
    if not isinstance(checks, list):
        return None
    ids = [id_of(str(one)) for one in checks[:MOST_CHECKS]]
    return [one for one in ids if one != NOTHING]


def _nothing(check: Check, reading: Reading | None) -> str:
    """What is said where there is no alarm: that all is well only of what was reckoned with."""
    last = WeighIn.objects.filter(check_in=check).order_by("at", "id").last()
    if last is not None and last.doubted:
        return DOUBTFUL
    return NOTHING_SAID if reading and reading.sure else TOO_FEW


def _said(person: Person, check: Check, readings: Mapping[UUID, Reading]) -> dict[str, Any]:
    given = advise(person, check, timezone.now())
    urgency = Urgency.from_code(given.urgency)
    reading = readings.get(check.animal_id)
    level = reading.alarm.level if reading else Urgency.NORMAL
    return {
        "level": int(level),
        "words": book().urgency_words(level),
        "why": list(reading.alarm.why) if reading and level is not Urgency.NORMAL else [],
        "nothing": _nothing(check, reading),
        "address": reverse("advice", args=[given.id]),
        "advice_level": int(urgency),
        "advice": book().urgency_words(urgency),
    }
