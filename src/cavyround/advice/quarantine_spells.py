"""Whose quarantine runs, and since when: from the day it came until somebody ends it.

A move ends no quarantine. It runs for every newcomer, wherever it was put, for whoever came into
a pen of quarantine, for whom it was set, and for whoever shared a pen with one of those since.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Q
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.engines.contagion.presences import between
from cavyround.engines.contagion.quarantine import how_long
from cavyround.facts.stays import Stay
from cavyround.record.models import (
    Animal,
    Arrival,
    Pen,
    PenKind,
    QuarantineEnd,
    QuarantineSet,
)
from cavyround.record.models.animals import ArrivalHow
from cavyround.record.stays import came_at, stays_of

# Of one that came longer ago and stands in no pen of quarantine nobody knows any more whether its
# quarantine was ended: records begun before anybody wrote that down are full of them. Our choice.
LAPSES = timedelta(days=90)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spell:
    """A quarantine that runs: since when, each day it began, how it was set, through whom.

    ``via`` is the animal in quarantine whose pen it shared; None where it has its own.
    """

    animal: Animal
    since: datetime
    began: tuple[datetime, ...] = ()
    set_by: QuarantineSet | None = None
    via: Animal | None = None


@dataclass(slots=True)
class Spells:
    """The quarantines that run, with what was read to find them."""

    running: list[Spell]
    stays: list[Stay]
    names: dict[str, str]
    kinds: Mapping[str, str]
    ended: Mapping[UUID, datetime]
    arrivals: Mapping[UUID, Arrival]
    by_animal: dict[UUID, list[Stay]] = field(default_factory=dict)


def spells_now(now: datetime) -> Spells:
    """Everybody here whose quarantine runs."""
    sets = {
        row.animal_id: row
        for row in QuarantineSet.objects.filter(animal__left_on=None)
        .select_related("made_by")
        .order_by("made_at", "id")
    }
    floor = min([timezone.localdate(now - LAPSES), *(row.began_on for row in sets.values())])
    there = Animal.objects.filter(Q(left_on=None) | Q(left_on__gte=floor))
    animals = {row.pk: row for row in there.select_related("pen__room", "face")}
    ends = QuarantineEnd.objects.filter(animal__in=there).order_by("made_at", "id")
    arrivals = Arrival.objects.filter(animal__in=there).order_by("made_at", "id")
    found = Spells(
        running=[],
        stays=stays_of(set(animals)),
        names={str(key): row.name for key, row in animals.items()},
        kinds={str(key): kind for key, kind in Pen.objects.values_list("pk", "kind")},
        ended=dict(ends.values_list("animal", "made_at")),
        arrivals={row.animal_id: row for row in arrivals},
    )
    grouped: dict[UUID, list[Stay]] = defaultdict(list)
    for stay in found.stays:
        grouped[UUID(stay.animal)].append(stay)
    found.by_animal = dict(grouped)
    own = [
        spell
        for row in animals.values()
        if (spell := _own(row, sets, found, now)) and not _left_cleared(spell)
    ]
    found.running = [*own, *_met(own, animals, found, now)]
    found.running = [one for one in found.running if one.animal.left_on is None]
    return found


def _own(
    animal: Animal, sets: Mapping[UUID, QuarantineSet], known: Spells, now: datetime
) -> Spell | None:
    ended, said = known.ended.get(animal.pk), sets.get(animal.pk)
    arrival = known.arrivals.get(animal.pk)
    if said is not None and (
        (ended is not None and ended >= said.made_at)
        or (arrival is not None and arrival.made_at > said.made_at)
    ):
        said = None
    if said is not None:
        midnight = timezone.make_aware(datetime.combine(said.began_on, datetime.min.time()))
        return Spell(animal=animal, since=midnight, began=(midnight,), set_by=said)
    began = sorted(_begins(animal, known, now))
    return Spell(animal=animal, since=began[0], began=tuple(began)) if began else None


def _left_cleared(spell: Spell) -> bool:
    """Who left after the longest time proposed left without having anything to pass on."""
    left, days = spell.animal.left_on, how_long("unknown_source", book()).days
    return left is not None and left >= timezone.localdate(spell.since) + timedelta(days=days)


def _begins(animal: Animal, known: Spells, now: datetime) -> Iterator[datetime]:
    """Each moment from which it runs: it came, or it came into a pen of quarantine."""
    ended = known.ended.get(animal.pk)
    arrival = known.arrivals.get(animal.pk)
    if arrival is not None and arrival.how != ArrivalHow.BORN_HERE:
        at = came_at(arrival)
        if at > now - LAPSES and (ended is None or ended < arrival.made_at):
            yield at
    entered = None
    for stay in sorted(known.by_animal.get(animal.pk, ()), key=lambda one: one.began_at):
        if known.kinds.get(stay.pen) != PenKind.QUARANTINE:
            entered = None
        elif entered is None:
            entered = stay.began_at
            last = stay.began_at > now - LAPSES or _stands_there(animal, known)
            if last and (ended is None or ended < entered):
                yield entered


def _stands_there(animal: Animal, known: Spells) -> bool:
    return known.kinds.get(str(animal.pen_id or "")) == PenKind.QUARANTINE


def _met(
    own: Sequence[Spell], animals: Mapping[UUID, Animal], known: Spells, now: datetime
) -> list[Spell]:
    """Those without a quarantine of their own that shared a pen with one that has, and so on."""
    there: dict[str, list[Stay]] = defaultdict(list)
    for stay in known.stays:
        if stay.pen:
            there[stay.pen].append(stay)
    running = {spell.animal.pk for spell in own}
    found: list[Spell] = []
    waiting = list(own)
    while waiting:
        spell = waiting.pop(0)
        for other, at in _mates(spell, there, known, now):
            row = animals.get(other)
            if row is not None and other not in running:
                running.add(other)
                mate = Spell(animal=row, since=at, began=(at,), via=spell.animal)
                found.append(mate)
                waiting.append(mate)
    return found


def _mates(
    spell: Spell, there: Mapping[str, list[Stay]], known: Spells, now: datetime
) -> Iterable[tuple[UUID, datetime]]:
    """Who shared its pen since it runs, and from when; ended afterwards it is over.

    One whose quarantine was ended and that still stands in a pen of quarantine takes what comes
    into the air of the room too.
    """
    first: dict[UUID, datetime] = {}
    for own in known.by_animal.get(spell.animal.pk, ()):
        since, until = between(own.began_at, own.ended_at)
        since = max(since, spell.since)
        beside = there.get(own.pen, []) if own.pen else []
        for stay in (*beside, *_in_its_air(own, there, known)):
            other = UUID(stay.animal)
            begins, ends = between(stay.began_at, stay.ended_at)
            at = max(since, begins)
            ended = known.ended.get(other)
            if other == spell.animal.pk or at >= min(until, ends) or at > now:
                continue
            if ended is None or ended < at:
                first[other] = min(at, first.get(other, at))
    return sorted(first.items(), key=lambda one: (one[1], str(one[0])))


def _in_its_air(own: Stay, there: Mapping[str, list[Stay]], known: Spells) -> Iterator[Stay]:
    for pen, stays in there.items():
        if pen != own.pen and known.kinds.get(pen) == PenKind.QUARANTINE:
            yield from (stay for stay in stays if stay.room and stay.room == own.room)
