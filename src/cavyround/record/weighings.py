"""The weighings of animals with what bears on weight, as facts: much less than a check needs."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db.models import F, Window
from django.db.models.functions import RowNumber
from django.utils import timezone

from cavyround.facts.animal import AnimalFacts, Born, Event, Known, Sex, Weighing
from cavyround.record import models
from cavyround.record.clocks import ONCE_RAN_AHEAD

# A year and more, with room for months of daily weighings: a loss of last spring is not forgotten
# because the animal was weighed daily since.
LOOKED_AT = 250
LOOKED_BACK = timedelta(days=400)
BEARING = frozenset(
    {
        "gave_birth",
        "abortion",
        "surgery",
        "new_food",
        "new_company",
        "antibiotic",
        "penicillin_by_mouth",
        "medicine_course",
        "found_pregnant",
    }
)


def weight_facts(
    animals: Sequence[models.Animal], now: datetime, *, looked_at: int | None = LOOKED_AT
) -> list[AnimalFacts]:
    """Each animal's last weighings and what bears on them, in the order of ``animals``.

    ``looked_at`` is how many of each are read, None for all. The number of queries
    does not grow with the animals.
    """
    ids = [animal.pk for animal in animals]
    weighings = _weighings(ids, now, looked_at)
    events = _events(animals, ids, now)
    return [
        AnimalFacts(
            id=str(animal.pk),
            name=animal.name,
            sex=Sex(animal.sex),
            neutered=Known(animal.neutered),
            born=Born(earliest=animal.born_earliest, latest=animal.born_latest),
            pregnant=Known(animal.pregnant),
            due_from=animal.due_from,
            arrived_on=animal.arrived_on,
            weighings=tuple(weighings[animal.pk]),
            events=tuple(events[animal.pk]),
        )
        for animal in animals
    ]


def _weighings(
    ids: Sequence[UUID], now: datetime, looked_at: int | None
) -> Mapping[UUID, list[Weighing]]:
    rows = models.WeighIn.objects.filter(animal__in=ids, at__lte=now + ONCE_RAN_AHEAD)
    if looked_at is not None:
        newest = Window(RowNumber(), partition_by=F("animal"), order_by=F("at").desc())
        recent = rows.filter(at__gte=now - LOOKED_BACK)
        rows = recent.annotate(nth=newest).filter(nth__lte=looked_at)
    found: dict[UUID, list[Weighing]] = defaultdict(list)
    fields = rows.order_by("at", "id").values_list("animal", "at", "grams", "doubted", "id")
    for animal, at, grams, doubted, key in fields:
        found[animal].append(
            Weighing(at=timezone.localtime(at), grams=grams, doubted=doubted, id=str(key))
        )
    return found


def _events(
    animals: Iterable[models.Animal], ids: Sequence[UUID], now: datetime
) -> Mapping[UUID, list[Event]]:
    found: dict[UUID, list[Event]] = defaultdict(list)
    told = models.Happened.objects.filter(animal__in=ids, at__lte=now, what__in=BEARING)
    for animal, what, on, at in told.values_list("animal", "what", "on", "at"):
        found[animal].append(Event(what=what, on=on or timezone.localdate(at)))
    for animal, on in _noticed_pregnant(ids):
        found[animal].append(Event(what="found_pregnant", on=on))
    for one in animals:
        if one.arrived_on is not None:
            found[one.pk].append(Event(what="arrived", on=one.arrived_on))
    return found


def _noticed_pregnant(ids: Sequence[UUID]) -> Iterable[tuple[UUID, date]]:
    """On which days somebody stated that a sow is pregnant."""
    stated = models.AnimalStatement.objects.filter(animal__in=ids, fields__pregnant="yes")
    for animal, at in stated.values_list("animal", "made_at"):
        yield animal, timezone.localdate(at)
