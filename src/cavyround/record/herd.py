"""The facts of many animals at once, in a fixed number of queries: what planning a round needs.

Of the weighings only the last one is here; ``building.facts_of`` gives one animal's whole row.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any, TypeVar
from uuid import UUID

from django.db.models import Exists, OuterRef, Subquery

from cavyround.facts.animal import (
    AnimalFacts,
    Born,
    Event,
    Known,
    OpenFollowUp,
    Sex,
    StandingMark,
    Weighing,
)
from cavyround.knowledge.urgency import Urgency
from cavyround.record import models
from cavyround.record.building import STILL_NOW, _latest_by_place, _place

LOOKED_BACK = timedelta(days=400)
Row = TypeVar("Row")


def facts_of_all(animals: Sequence[models.Animal], now: datetime) -> Mapping[UUID, AnimalFacts]:
    """What is known now of each of the animals; the number of queries does not grow with them."""
    ids = [animal.id for animal in animals]
    rows = _Rows(ids, now)
    return {animal.id: _facts(animal, rows, now) for animal in animals}


class _Rows:
    """All rows of the animals, by animal."""

    def __init__(self, ids: Sequence[UUID], now: datetime) -> None:
        self.observed = _by_animal(
            models.Observed.objects.filter(
                animal__in=ids, at__lte=now, at__gte=now - LOOKED_BACK
            ).order_by("at")
        )
        self.happened = _by_animal(models.Happened.objects.filter(animal__in=ids, at__lte=now))
        self.arrivals = _by_animal(models.Arrival.objects.filter(animal__in=ids).order_by("on"))
        self.marks = _by_animal(models.StandingMark.objects.filter(animal__in=ids, ends=None))
        self.promises = _by_animal(models.FollowUp.objects.filter(animal__in=ids, outcomes=None))
        last = models.WeighIn.objects.filter(animal=OuterRef("pk"), at__lte=now).order_by("-at")
        states = models.StepState.objects.filter(animal=OuterRef("pk"), at__lt=now)
        known = models.Animal.objects.filter(pk__in=ids).annotate(
            last_weigh_in=Subquery(last.values("pk")[:1]), was_checked=Exists(states)
        )
        checked = known.values_list("pk", "last_weigh_in", "was_checked").order_by()
        self.checked = {animal: was for animal, _, was in checked}
        weigh_ins = models.WeighIn.objects.filter(pk__in=[one for _, one, _ in checked if one])
        self.weighed = {row.animal_id: row for row in weigh_ins}


def _by_animal(rows: Iterable[Row]) -> dict[UUID, list[Row]]:
    sorted_out: dict[UUID, list[Row]] = defaultdict(list)
    for row in rows:
        animal: Any = row
        sorted_out[animal.animal_id].append(row)
    return sorted_out


def _facts(animal: models.Animal, rows: _Rows, now: datetime) -> AnimalFacts:
    seen = rows.observed.get(animal.id, [])
    weighed = rows.weighed.get(animal.id)
    return AnimalFacts(
        id=str(animal.id),
        name=animal.name,
        sex=Sex(animal.sex),
        neutered=Known(animal.neutered),
        born=Born(earliest=animal.born_earliest, latest=animal.born_latest),
        pregnant=Known(animal.pregnant),
        due_from=animal.due_from,
        coat=frozenset(animal.coat),
        dark_skin=animal.dark_skin,
        place=_place(animal, now),
        arrived_on=animal.arrived_on,
        observations=_latest_by_place(row for row in seen if row.at >= now - STILL_NOW),
        before=_latest_by_place(row for row in seen if row.at < now - STILL_NOW),
        checked_before=rows.checked.get(animal.id, False),
        weighings=(_weighing(weighed),) if weighed else (),
        events=_events(animal, rows),
        marks=tuple(_mark(row) for row in rows.marks.get(animal.id, ())),
        follow_ups=tuple(_promise(row) for row in rows.promises.get(animal.id, ())),
    )


def _weighing(row: models.WeighIn) -> Weighing:
    return Weighing(at=row.at, grams=Decimal(row.grams), doubted=row.doubted, id=str(row.id))


def _events(animal: models.Animal, rows: _Rows) -> tuple[Event, ...]:
    events = [
        Event(what=row.what, on=row.on, note=row.note) for row in rows.happened.get(animal.id, ())
    ]
    arrivals = rows.arrivals.get(animal.id)
    if arrivals:
        last = arrivals[-1]
        if last.sexed_as != "unknown" and animal.sex not in ("unknown", last.sexed_as):
            events.append(Event(what="signed_in_other_sex", on=last.on))
    return tuple(events)


def _mark(row: models.StandingMark) -> StandingMark:
    return StandingMark(
        id=str(row.id),
        region=row.region,
        finding=row.finding,
        side=row.side,
        size_mm=row.size_mm,
        words=row.words,
        said_by=row.said_by,
        said_on=row.said_on,
    )


def _promise(row: models.FollowUp) -> OpenFollowUp:
    return OpenFollowUp(
        id=str(row.id),
        region=row.region,
        finding=row.finding,
        side=row.side,
        due_at=row.due_at,
        urgency=Urgency.from_code(row.urgency),
        until_gone=row.until_gone,
    )
