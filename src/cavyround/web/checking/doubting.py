"""What lets the phone doubt a weight as the engine would, before it is kept."""

import logging
from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, datetime
from math import isfinite
from typing import Any
from uuid import UUID

from django.db.models import OuterRef, Subquery

from cavyround.advice.book import book
from cavyround.advice.weights_today import readings_today
from cavyround.engines.weight.said import Band, Expected, Reading
from cavyround.facts.animal import Weighing
from cavyround.facts.entries import HEAVIEST_G, LIGHTEST_G
from cavyround.record.models import Animal, WeighIn
from cavyround.web.templatetags.words import day

log = logging.getLogger(__name__)


def bounds() -> dict[str, Any]:
    """What holds for every animal: what is no weight, which readings agree, what a tub weighs."""
    tub, plausible = book().model_span("carrier_g"), book().span("plausible_g")
    return {
        "lightest": int(LIGHTEST_G),
        "heaviest": int(HEAVIEST_G),
        "reweigh_within_g": float(book().number("reweigh_within_g")),
        "carrier_g": [float(tub.low), float(tub.high)],
        "asked_beyond": float(book().model_number("asked_beyond")),
        "neighbour_beyond": float(book().model_number("neighbour_beyond")),
        "plausible_g": [float(plausible.low), float(plausible.high)],
    }


def expected_each(animals: Sequence[Animal], now: datetime) -> Mapping[UUID, Expected]:
    """What the next weighing of each should show; one that cannot be reckoned stops no other."""
    readings = readings_each(animals, now)
    return {key: one.expected for key, one in readings.items() if one.expected is not None}


def readings_each(animals: Sequence[Animal], now: datetime) -> Mapping[UUID, Reading]:
    """What the weights of each say today; one that cannot be reckoned stops no other."""
    try:
        return readings_today(animals, now)
    except Exception:
        if len(animals) == 1:
            log.exception("The weights of %s cannot be reckoned with", animals[0].pk)
            return {}
        said: dict[UUID, Reading] = {}
        for animal in animals:
            said |= readings_each([animal], now)
        return said


def last_weights(animals: Iterable[Animal], now: datetime) -> Mapping[UUID, WeighIn]:
    """The last weight of each that was not doubted; asked for all at once."""
    sound = WeighIn.objects.filter(animal=OuterRef("pk"), at__lte=now, doubted=False)
    ids = Animal.objects.filter(pk__in=[animal.pk for animal in animals]).annotate(
        last=Subquery(sound.order_by("-at", "-id").values("pk")[:1])
    )
    rows = WeighIn.objects.filter(pk__in=[one for one in ids.values_list("last", flat=True) if one])
    return {row.animal_id: row for row in rows}


def as_last(weight: WeighIn | Weighing | None) -> dict[str, Any] | None:
    """A last weight as the screen shows it."""
    if weight is None:
        return None
    at = weight.at.astimezone(UTC)
    return {"grams": float(weight.grams), "on": day(at), "at": at.isoformat()}


def as_expected(expected: Expected | None) -> dict[str, Any] | None:
    """What the next weighing should show, as the screen shows and compares it."""
    if expected is None or not isfinite(expected.plausible.high):
        return None
    return {
        "likely": _band(expected.likely),
        "plausible": _band(expected.plausible),
        "known": expected.known,
    }


def _band(band: Band) -> dict[str, float]:
    return {"low": band.low, "mid": band.mid, "high": band.high}
