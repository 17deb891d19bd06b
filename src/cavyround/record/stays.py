"""Stays, shared uses and handling as facts, read from moves, arrivals, departures and checks."""

from collections import defaultdict
from collections.abc import Collection, Iterator
from datetime import datetime, time
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from cavyround.facts.stays import SharedUse, Stay, UseKind
from cavyround.record import models
from cavyround.record.animals import ImpossibleError, stand_where_last_moved
from cavyround.record.moves import StandingMove, standing_moves

LEFT = ("adopted", "transferred_out", "died", "put_to_sleep", "other")


def stays_of(
    animals: Collection[UUID] | None = None, *, known_at: datetime | None = None
) -> list[Stay]:
    """Every stay of these animals (None: of all), by what stood in the record at ``known_at``.

    Pens and rooms are their keys as text. An animal that is here and in no pen has a stay
    without a pen; one that left has none. The number of queries does not grow with them.
    """
    moves = models.Move.objects.all()
    arrivals = models.Arrival.objects.all()
    departures = models.Departure.objects.filter(how__in=LEFT)
    if animals is not None:
        moves = moves.filter(animal__in=animals)
        arrivals, departures = (
            arrivals.filter(animal__in=animals),
            departures.filter(animal__in=animals),
        )
    if known_at is not None:
        arrivals = arrivals.filter(made_at__lte=known_at)
        departures = departures.filter(made_at__lte=known_at)
    by_animal: dict[UUID, list[StandingMove]] = defaultdict(list)
    for one in standing_moves(moves, known_at):
        by_animal[one.row.animal_id].append(one)
    came, gone = defaultdict(list), defaultdict(list)
    for arrival in arrivals:
        came[arrival.animal_id].append(arrival)
    for departure in departures:
        gone[departure.animal_id].append(departure)
    return [
        stay
        for animal in sorted({*by_animal, *came})
        for stay in _of_one(str(animal), by_animal[animal], came[animal], gone[animal])
    ]


def _of_one(
    animal: str,
    moves: list[StandingMove],
    came: list[models.Arrival],
    gone: list[models.Departure],
) -> Iterator[Stay]:
    """A move begins a stay and the next move or the departure ends it.

    Out of all pens on leaving is no stay; out of all pens while it is here is one without a
    pen, and so is the time between an arrival and the first move after it.
    """
    leavings = sorted(one.made_at for one in gone)
    for arrival, following in _arrivals_without_a_pen(moves, came):
        ends = [moment for moment in (following, *leavings) if moment and moment > arrival]
        yield Stay(
            animal=animal,
            began_at=arrival,
            ended_at=min(ends, default=None),
            why="arrival",
            id=f"arrival {animal} {arrival.isoformat()}",
        )
    before: datetime | None = None
    for index, one in enumerate(moves):
        following = moves[index + 1].at if index + 1 < len(moves) else None
        if one.row.pen is None and one.row.made_at in leavings:
            before = one.at
            continue
        ends = [moment for moment in leavings if moment >= one.at]
        if following is not None:
            ends.append(following)
        pen = one.row.pen
        yield Stay(
            animal=animal,
            began_at=_began(one, came, before),
            ended_at=min(ends, default=None),
            pen=str(pen.pk) if pen else "",
            room=str(pen.room_id) if pen else "",
            by=str(one.row.made_by),
            why=one.row.why,
            id=str(one.row.pk),
        )
        before = one.at


def _began(one: StandingMove, came: list[models.Arrival], before: datetime | None) -> datetime:
    """A pen told together with an arrival holds from the day it came, entered later or not."""
    if one.at != one.row.at:
        return one.at
    together = [came_at(arrival) for arrival in came if arrival.made_at == one.row.made_at]
    began = min([one.at, *together])
    return began if before is None else max(began, before)


def came_at(arrival: models.Arrival) -> datetime:
    """When it was entered, or the noon of the day it came where it was entered later."""
    if timezone.localdate(arrival.made_at) == arrival.on:
        return arrival.made_at
    noon = datetime.combine(arrival.on, time(12), timezone.get_current_timezone())
    return min(noon, arrival.made_at)


def _arrivals_without_a_pen(
    moves: list[StandingMove], came: list[models.Arrival]
) -> Iterator[tuple[datetime, datetime | None]]:
    """Arrivals without a pen that day: from when, until which move."""
    for arrival in came:
        if any(one.row.made_at == arrival.made_at for one in moves):
            continue
        days = [(timezone.localdate(one.at), one.at) for one in moves]
        if all(day != arrival.on for day, _ in days):
            later = [at for day, at in days if day > arrival.on]
            yield came_at(arrival), min(later, default=None)


def uses_of(*, known_at: datetime | None = None, since: datetime | None = None) -> list[SharedUse]:
    """What was shared: what was written down, and whose hands held which animal at checks."""
    shared = models.SharedUse.objects.all()
    checks = models.Check.objects.exclude(kind="note")
    if known_at is not None:
        shared = shared.filter(made_at__lte=known_at)
        checks = checks.filter(started_at__lte=known_at)
    if since is not None:
        checks = checks.filter(started_at__gte=since)
    written = [
        SharedUse(
            id=str(one.pk),
            animal=str(one.animal_id),
            kind=UseKind(one.kind),
            name=one.name,
            began_at=one.began_at,
            ended_at=one.ended_at,
        )
        for one in shared
    ]
    handled = [
        SharedUse(
            id=str(check),
            animal=str(animal),
            kind=UseKind.HANDS,
            name=f"person {person}",
            began_at=began,
            ended_at=began,
        )
        for check, animal, person, began in checks.order_by().values_list(
            "pk", "animal", "started_by", "started_at"
        )
    ]
    return [*written, *handled]


@transaction.atomic
def correct_move(
    person: models.Person,
    row: models.Move,
    now: datetime,
    *,
    at: datetime | None,
    withdrawn: bool,
    why: str,
) -> models.MoveCorrected:
    """Say that a move happened at another moment, or not at all; the old one stays readable."""
    if not why.strip():
        field, words = "why", "Say why: who looks at it later must understand what was wrong."
        raise ImpossibleError(field, words)
    if at is not None and at > now:
        field, words = "at", "That lies in the future. Say when it was moved."
        raise ImpossibleError(field, words)
    if at is None and not withdrawn:
        field, words = "at", "Say when it was moved, or that it was not moved at all."
        raise ImpossibleError(field, words)
    said = models.MoveCorrected(
        move=row, at=at, withdrawn=withdrawn, why=why.strip(), made_at=now, made_by=person
    )
    said.save()
    stand_where_last_moved(row.animal)
    return said
