"""Whom something can have reached, in the order of time, and when at the earliest.

A sweep over moments in a heap (Dijkstra on arrival times). At each place the time already
covered by catching animals is remembered, so that every presence is looked at about twice,
whatever the number that met there.
"""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from heapq import heappop, heappush

from cavyround.engines.contagion.presences import FOREVER, WAYS, Presence, Way

LONG_AGO = datetime.min.replace(tzinfo=UTC)
NO_TIME = timedelta()


@dataclass(frozen=True, slots=True, kw_only=True)
class Catching:
    """An animal taken as catching from a moment until another; None: until further notice."""

    animal: str
    since: datetime
    until: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """An animal that may have caught it: when at the earliest, from whom, how and where.

    A case itself was reached by nobody we know of: ``by`` is empty and ``way`` None.
    """

    animal: str
    at: datetime
    by: str = ""
    way: Way | None = None
    place: str = ""


@dataclass(slots=True)
class _Place:
    """The presences at one place in the order of their beginning."""

    own: list[Presence]
    starts: list[datetime] = field(default_factory=list)
    # Up to here in `own` nobody is left that has not been reached or gone.
    first: int = 0
    covered: datetime = LONG_AGO
    covered_after: datetime = LONG_AGO


def reach(
    presences: Iterable[Presence],
    sources: Iterable[Catching],
    *,
    ways: Collection[Way] = WAYS,
    delay: timedelta = NO_TIME,
) -> dict[str, Reached]:
    """Every animal that can have caught it from the sources, directly or through others.

    ``delay`` is the shortest time from catching it to passing it on. With none (the worst
    case, and what is taken where nobody knows) an animal passes it on in the same contact.
    """
    return _Sweep(presences, frozenset(ways), delay).run(sources)


class _Sweep:
    def __init__(
        self, presences: Iterable[Presence], ways: frozenset[Way], delay: timedelta
    ) -> None:
        self.ways, self.delay = ways, delay
        self.by_animal: dict[str, list[Presence]] = defaultdict(list)
        at_place: dict[str, list[Presence]] = defaultdict(list)
        for presence in presences:
            if presence.together in ways or presence.after in ways:
                self.by_animal[presence.animal].append(presence)
                at_place[presence.place].append(presence)
        self.places = {name: _place(own) for name, own in at_place.items()}
        self.reached: dict[str, Reached] = {}
        self.own_end: dict[str, datetime] = {}
        # (moment, strongest way first, count, until, presence): it begins to pass on there, or,
        # with no until, leaves something behind.
        self.heap: list[tuple[datetime, int, int, datetime | None, Presence]] = []
        self.count = 0

    def run(self, sources: Iterable[Catching]) -> dict[str, Reached]:
        sources = sorted(sources, key=lambda one: (one.since, one.animal))
        for source in sources:
            since = source.since.astimezone(UTC)
            self.reached.setdefault(source.animal, Reached(animal=source.animal, at=since))
            self.own_end[source.animal] = source.until.astimezone(UTC) if source.until else FOREVER
        for source in sources:
            self._passes_on(source.animal, source.since.astimezone(UTC))
        while self.heap:
            at, _, _, until, presence = heappop(self.heap)
            if until is None:
                self._left_behind(at, presence)
            else:
                self._meets(at, until, presence)
        return self.reached

    def _passes_on(self, animal: str, since: datetime) -> None:
        until = self.own_end.get(animal, FOREVER)
        for presence in self.by_animal.get(animal, ()):
            begins, ends = max(since, presence.since), min(until, presence.until)
            if begins > ends or (begins == ends and not presence.is_moment):
                continue
            if presence.together in self.ways and not presence.is_moment:
                self._push(begins, ends, presence, presence.together)
            if presence.after in self.ways and ends < FOREVER:
                self._push(ends, None, presence, presence.after)

    def _push(
        self, at: datetime, until: datetime | None, presence: Presence, way: Way | None
    ) -> None:
        self.count += 1
        rank = WAYS.index(way) if way is not None else len(WAYS)
        heappush(self.heap, (at, rank, self.count, until, presence))

    def _meets(self, at: datetime, until: datetime, presence: Presence) -> None:
        place = self.places[presence.place]
        if at <= place.covered:
            # Whoever was there within the covered time is reached: only later comers are new.
            if until <= place.covered:
                return
            begin = bisect_left(place.starts, place.covered)
        else:
            begin = self._first_still_there(place, at)
        place.covered = until
        for other in place.own[begin : bisect_left(place.starts, until)]:
            if other.until > at or other.since >= at:
                self._reach(other, max(at, other.since), presence, presence.together)

    def _first_still_there(self, place: _Place, at: datetime) -> int:
        """Past those that are gone by now or reached by now; time only goes on, so for good."""
        while place.first < len(place.own):
            other = place.own[place.first]
            known = self.reached.get(other.animal)
            stays = other.until > at or other.since >= at
            if stays and (known is None or known.at > at):
                break
            place.first += 1
        return place.first

    def _left_behind(self, at: datetime, presence: Presence) -> None:
        """What stays behind reaches those that come afterwards."""
        place = self.places[presence.place]
        until = at + presence.lasts
        begin = bisect_left(place.starts, max(at, place.covered_after))
        if until > place.covered_after:
            place.covered_after = until
            for other in place.own[begin : bisect_left(place.starts, until)]:
                self._reach(other, other.since, presence, presence.after)

    def _reach(self, other: Presence, at: datetime, by: Presence, way: Way | None) -> None:
        known = self.reached.get(other.animal)
        if other.animal == by.animal or (known is not None and known.at <= at):
            return
        self.reached[other.animal] = Reached(
            animal=other.animal, at=at, by=by.animal, way=way, place=by.place
        )
        self._passes_on(other.animal, at + self.delay)


def _place(own: list[Presence]) -> _Place:
    own.sort(key=lambda one: (one.since, one.until, one.animal))
    return _Place(own, [one.since for one in own])
