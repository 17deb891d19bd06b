"""All that the weigh-in loads once: the pens in the order of the round, and who is in them."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, JsonResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from cavyround.advice.order_of_care import NO_PEN, OrderOfCare, order_of_care
from cavyround.engines.weight.said import Expected, Reading
from cavyround.record.models import Animal, WeighIn
from cavyround.web.checking.doubting import (
    as_expected,
    as_last,
    bounds,
    expected_each,
    last_weights,
    readings_each,
)
from cavyround.web.gate import for_recorders, person_of
from cavyround.web.scale_trial.settings import scale_settings
from cavyround.web.templatetags.words import age


@dataclass(frozen=True, slots=True)
class _Known:
    """What is known of all weights at one moment, in the rescue's own zone."""

    now: datetime
    weights: Mapping[UUID, WeighIn]
    expected: Mapping[UUID, Expected]
    readings: Mapping[UUID, Reading]


@for_recorders
@never_cache
@require_safe
@gzip_page
def pens_json(request: HttpRequest) -> JsonResponse:
    """The pens with their animals: last weight, what is likely now, and who is due."""
    person = person_of(request)
    now = timezone.localtime(timezone.now())
    here = Animal.objects.filter(left_on=None).select_related("pen__room", "face")
    order = order_of_care(now)
    animals = sorted(here, key=lambda animal: _place(animal, order))
    known = _Known(
        now, last_weights(animals, now), expected_each(animals, now), readings_each(animals, now)
    )
    return JsonResponse(
        {
            "me": {"id": person.pk, "name": str(person)},
            "now": now.isoformat(),
            "weight": bounds(),
            "scale": scale_settings(),
            "pens": _pens(animals, order),
            "animals": [_animal(animal, known) for animal in animals],
        }
    )


def _place(animal: Animal, order: OrderOfCare) -> tuple[Any, ...]:
    """From healthy to contagious, room by room and pen by pen, then by name."""
    pen = animal.pen
    if pen is None:
        return (order.place[order.stage(animal)], 0, "", 0, "", animal.name)
    return (
        order.place[order.stage(animal)],
        pen.room.position,
        pen.room.name,
        pen.position,
        pen.name,
        animal.name,
    )


def _pens(animals: list[Animal], order: OrderOfCare) -> list[dict[str, str]]:
    pens = {_pen_id(animal): _pen(animal, order) for animal in animals}
    return list(pens.values())


def _pen_id(animal: Animal) -> str:
    return str(animal.pen_id) if animal.pen_id else NO_PEN


def _pen(animal: Animal, order: OrderOfCare) -> dict[str, str]:
    if animal.pen is None:
        return {"id": NO_PEN, "name": "No pen yet", "group_words": "Not in a pen yet"}
    return {
        "id": str(animal.pen_id),
        "name": str(animal.pen),
        "group_words": order.groups[order.stage(animal)].words,
    }


def _animal(animal: Animal, known: _Known) -> dict[str, Any]:
    last = known.weights.get(animal.id)
    return {
        "id": str(animal.id),
        "name": animal.name,
        "sex_words": "sex not known" if animal.sex == "unknown" else animal.sex,
        "age": age(animal),
        "pen_id": _pen_id(animal),
        "photo": reverse("photo", args=[animal.face.digest]) if animal.face else None,
        "last_weight": as_last(last),
        "expected": as_expected(known.expected.get(animal.id)),
        "weigh": _weigh(last, known.readings.get(animal.id), known.now),
    }


def _weigh(last: WeighIn | None, reading: Reading | None, now: datetime) -> dict[str, Any]:
    """Whether it is due for weighing today, why, and whether it was weighed today already."""
    today = timezone.localdate(now)
    weighed_today = last is not None and timezone.localdate(last.at) == today
    due = not weighed_today
    if reading and reading.last_at and reading.weigh_again_in is not None:
        due = timezone.localdate(reading.last_at + reading.weigh_again_in) <= today
    return {
        "due": due,
        "why": reading.weigh_why if reading else "",
        "today": _said_today(last) if weighed_today and last else "",
    }


def _said_today(last: WeighIn) -> str:
    return f"{last.grams:,.0f} g at {timezone.localtime(last.at):%H:%M}"
