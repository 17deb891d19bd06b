"""Build the facts of an animal from the rows of the record."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from decimal import Decimal
from uuid import UUID

from django.utils import timezone

from cavyround.facts.animal import (
    AnimalFacts,
    Born,
    Event,
    Known,
    OpenFollowUp,
    Place,
    Sex,
    StandingMark,
    Weighing,
)
from cavyround.facts.observation import Grade, Observation, Side, Status
from cavyround.knowledge.urgency import Urgency
from cavyround.record import models
from cavyround.record.receiving import CLOCK_MAY_RUN_AHEAD

# What was found within this time still speaks of the animal as it is now, whoever found it:
# two people may check one animal at the same time. Common practice, no source.
STILL_NOW = timedelta(hours=12)
WEIGHINGS_LOOKED_AT = 60
NEW_FOR = timedelta(days=3)

PLACE_OF_PEN = {
    "nursery": Place.NURSERY,
    "residents": Place.RESIDENT,
    "foster": Place.FOSTER,
    "quarantine": Place.QUARANTINE,
    "sick_bay": Place.RESIDENT,
    "isolation": Place.ISOLATION,
}


def facts_of(
    animal: models.Animal, now: datetime, *, check: models.Check | None = None
) -> AnimalFacts:
    """All that is known of an animal at ``now``.

    With ``check``, its findings count as current however long ago it was; the
    rest of the past is what lay before it.
    """
    pivot = check.started_at if check else now
    # After a check all it says counts, also from a phone whose clock runs ahead of ours.
    known_until = now + CLOCK_MAY_RUN_AHEAD if check else now
    rows = list(
        models.Observed.objects.filter(animal=animal, at__lte=known_until)
        .exclude(check_in__started_at__lt=pivot - timedelta(days=400))
        .order_by("at")
    )
    current = [row for row in rows if _is_current(row, pivot, check)]
    earlier = [row for row in rows if not _is_current(row, pivot, check)]
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
        observations=_latest_by_place(current),
        before=_latest_by_place(earlier),
        checked_before=models.StepState.objects.filter(animal=animal, at__lt=pivot).exists(),
        weighings=_weighings(animal, known_until),
        events=_events(animal, known_until),
        marks=standing_marks(animal),
        follow_ups=open_follow_ups(animal),
    )


def _is_current(row: models.Observed, pivot: datetime, check: models.Check | None) -> bool:
    if check is not None and row.check_in_id == check.id:
        return True
    return row.at >= pivot - STILL_NOW


def _place(animal: models.Animal, now: datetime) -> Place | None:
    if animal.arrived_on and timezone.localdate(now) - animal.arrived_on <= NEW_FOR:
        return Place.NEW_ARRIVAL
    return PLACE_OF_PEN[animal.pen.kind] if animal.pen else None


def as_observation(row: models.Observed) -> Observation:
    """One row as a value."""
    return Observation(
        region=row.region,
        finding=row.finding,
        side=Side(row.side),
        status=Status(row.status),
        grade=Grade(row.grade) if row.grade else None,
        kinds=frozenset(row.kinds),
        value=row.value,
        unit=row.unit or None,
        began_at=row.began_at,
        seen_at=row.at,
        mark_id=str(row.mark_id) if row.mark_id else None,
        id=str(row.id),
    )


def _latest_by_place(rows: Iterable[models.Observed]) -> tuple[Observation, ...]:
    latest: dict[tuple[str, str, str, UUID | None], Observation] = {}
    for row in rows:
        latest[(row.region, row.side, row.finding, row.mark_id)] = as_observation(row)
    return tuple(latest.values())


def _weighings(animal: models.Animal, until: datetime) -> tuple[Weighing, ...]:
    rows = models.WeighIn.objects.filter(animal=animal, at__lte=until).order_by("-at")
    return tuple(
        Weighing(at=row.at, grams=Decimal(row.grams), doubted=row.doubted, id=str(row.id))
        for row in reversed(rows[:WEIGHINGS_LOOKED_AT])
    )


def _events(animal: models.Animal, until: datetime) -> tuple[Event, ...]:
    rows = models.Happened.objects.filter(animal=animal, at__lte=until)
    events = [Event(what=row.what, on=row.on or None, note=row.note) for row in rows]
    last = animal.arrivals.order_by("-on").first()
    if last and last.sexed_as != "unknown" and animal.sex not in ("unknown", last.sexed_as):
        events.append(Event(what="signed_in_other_sex", on=last.on))
    return tuple(events)


def standing_marks(animal: models.Animal) -> tuple[StandingMark, ...]:
    """The standing marks that still hold."""
    return tuple(
        StandingMark(
            id=str(row.id),
            region=row.region,
            finding=row.finding,
            side=row.side,
            size_mm=row.size_mm,
            words=row.words,
            said_by=row.said_by,
            said_on=row.said_on,
        )
        for row in models.StandingMark.objects.filter(animal=animal, ends=None)
    )


def open_follow_ups(animal: models.Animal) -> tuple[OpenFollowUp, ...]:
    """The promises not yet kept."""
    return tuple(
        OpenFollowUp(
            id=str(row.id),
            region=row.region,
            finding=row.finding,
            side=row.side,
            due_at=row.due_at,
            urgency=Urgency.from_code(row.urgency),
            until_gone=row.until_gone,
        )
        for row in models.FollowUp.objects.filter(animal=animal, outcomes=None)
    )
