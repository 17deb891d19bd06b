"""Rows of the record as the values the engines compute with."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta, tzinfo
from decimal import Decimal
from uuid import UUID

from django.utils import timezone

from cavyround.facts import animal as facts
from cavyround.facts.observation import Grade, Observation, Side, Status
from cavyround.knowledge.urgency import Urgency
from cavyround.record import models

# A newcomer is new for its first days, while it is checked daily (threshold newcomer_daily_days).
NEW_FOR = timedelta(days=3)
PLACE_OF_PEN = {
    "nursery": facts.Place.NURSERY,
    "residents": facts.Place.RESIDENT,
    "foster": facts.Place.FOSTER,
    "quarantine": facts.Place.QUARANTINE,
    "sick_bay": facts.Place.RESIDENT,
    "isolation": facts.Place.ISOLATION,
}


@dataclass(frozen=True, slots=True)
class Arrived:
    """When an animal last came, and as what sex it was signed in."""

    on: date
    sexed_as: str


def place_of(animal: models.Animal, today: date) -> facts.Place | None:
    """Under what regime the animal lives today; None where it is in no pen."""
    place = PLACE_OF_PEN[animal.pen.kind] if animal.pen else None
    if place is facts.Place.ISOLATION:
        return place
    if animal.arrived_on and today - animal.arrived_on < NEW_FOR:
        return facts.Place.NEW_ARRIVAL
    return place


def as_observation(row: models.Observed) -> Observation:
    """A finding."""
    return Observation(
        region=row.region,
        finding=row.finding,
        side=Side(row.side),
        status=Status(row.status),
        grade=Grade(row.grade) if row.grade else None,
        kinds=frozenset(row.kinds),
        value=row.value,
        unit=row.unit or None,
        began_at=timezone.localtime(row.began_at) if row.began_at else None,
        seen_at=timezone.localtime(row.at),
        step=row.step,
        mark_id=str(row.mark_id) if row.mark_id else None,
        id=str(row.id),
    )


def latest_by_place(rows: Iterable[models.Observed]) -> tuple[Observation, ...]:
    """Of rows in the order of time, the last word on each finding at each place."""
    latest: dict[tuple[str, str, str, UUID | None], Observation] = {}
    for row in rows:
        latest[(row.region, row.side, row.finding, row.mark_id)] = as_observation(row)
    return tuple(latest.values())


def as_weighing(row: models.WeighIn, zone: tzinfo) -> facts.Weighing:
    """A weighing."""
    return facts.Weighing(
        at=timezone.localtime(row.at, zone),
        grams=Decimal(row.grams),
        doubted=row.doubted,
        id=str(row.id),
    )


def as_mark(row: models.StandingMark) -> facts.StandingMark:
    """A standing mark."""
    return facts.StandingMark(
        id=str(row.id),
        region=row.region,
        finding=row.finding,
        side=row.side,
        size_mm=row.size_mm,
        words=row.words,
        said_by=row.said_by,
        said_on=row.said_on,
    )


def as_open_follow_up(row: models.FollowUp) -> facts.OpenFollowUp:
    """A promise not yet kept."""
    return facts.OpenFollowUp(
        id=str(row.id),
        region=row.region,
        finding=row.finding,
        side=row.side,
        due_at=row.due_at,
        urgency=Urgency.from_code(row.urgency),
        until_gone=row.until_gone,
        words=row.words,
    )


def as_events(
    animal: models.Animal,
    happened: Iterable[models.Happened],
    arrived: Arrived | None,
    births: Iterable[date] = (),
) -> tuple[facts.Event, ...]:
    """What happened, and whether it was signed in as the other sex.

    What was told without a day is taken as of the day it was told: else it would
    count as fresh at every check from then on.
    """
    events = [
        facts.Event(what=row.what, on=row.on or timezone.localdate(row.at), note=row.note)
        for row in happened
    ]
    # A litter that was written down is a birth, whether or not somebody also told of one.
    told = {event.on for event in events if event.what == "gave_birth"}
    events += [facts.Event(what="gave_birth", on=on) for on in births if on not in told]
    if arrived is not None and {arrived.sexed_as, animal.sex} == {"sow", "boar"}:
        events.append(facts.Event(what="signed_in_other_sex", on=arrived.on))
    return tuple(events)
