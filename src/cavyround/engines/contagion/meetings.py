"""Meetings of animals that may be catching with others, and until when one counts as met."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from cavyround.engines.contagion.presences import CLOSE, FOREVER, Presence, Way, between
from cavyround.engines.contagion.reach import Catching, Reached


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """One meeting of a case with another animal; ``until`` is None while it lasts."""

    case: str
    other: str
    way: Way
    place: str
    since: datetime
    until: datetime | None


def contacts_of(
    presences: Iterable[Presence],
    catching: Iterable[Catching],
    ways: Collection[Way],
    met_by: str | None = None,
) -> Iterator[Contact]:
    """Every meeting of a catching animal with another, in no order; only with ``met_by`` if set."""
    at_place: dict[str, list[Presence]] = defaultdict(list)
    by_animal: dict[str, list[Presence]] = defaultdict(list)
    for presence in presences:
        if met_by is None or presence.animal == met_by:
            at_place[presence.place].append(presence)
        by_animal[presence.animal].append(presence)
    for own in at_place.values():
        own.sort(key=lambda one: one.since)
    for one in catching:
        begin, end = between(one.since, one.until)
        for presence in by_animal.get(one.animal, ()):
            there = at_place.get(presence.place, ())
            yield from _meetings(presence, there, (begin, end), ways)


def _meetings(
    own: Presence,
    there: Sequence[Presence],
    window: tuple[datetime, datetime],
    ways: Collection[Way],
) -> Iterator[Contact]:
    begin, end = max(own.since, window[0]), min(own.until, window[1])
    if begin > end or (begin == end and not own.is_moment):
        return
    left = end + own.lasts if end < FOREVER else FOREVER
    until = bisect_left(there, max(left, end), key=lambda one: one.since)
    for other in there[:until]:
        if other.animal == own.animal:
            continue
        since, gone = max(begin, other.since), min(end, other.until)
        if since < gone or (other.is_moment and begin <= other.since < end):
            if own.together in ways and own.together is not None:
                yield _contact(own, other, own.together, since, gone)
        elif other.since >= end and own.after in ways and own.after is not None:
            yield _contact(own, other, own.after, other.since, min(left, other.until))


def _contact(own: Presence, other: Presence, way: Way, since: datetime, until: datetime) -> Contact:
    return Contact(
        case=own.animal,
        other=other.animal,
        way=way,
        place=own.place,
        since=since,
        until=None if until == FOREVER else until,
    )


def clip(one: Contact, now: datetime) -> Contact:
    """What ends later than now has not ended."""
    if one.until is None or one.until <= now:
        return one
    return Contact(
        case=one.case, other=one.other, way=one.way, place=one.place, since=one.since, until=None
    )


def last_of(
    presences: Iterable[Presence],
    reached: Mapping[str, Reached],
    watched: Collection[str],
    direct: Mapping[str, list[Contact]],
    ways: Collection[Way],
) -> dict[str, datetime]:
    """By animal: the last contact with a case of itself, or of one it met closely since that was
    reached, and so on; FOREVER while it lasts.

    Who met it through others is watched as long as the longest of those: if they stay well they
    had nothing to pass on.
    """
    sources = [Catching(animal=one, since=reached[one].at) for one in watched if one in reached]
    among: dict[str, set[str]] = defaultdict(set)
    for one in contacts_of(presences, sources, CLOSE & frozenset(ways)):
        if one.other in watched:
            among[one.case].add(one.other)
    own = {
        animal: max(one.until or FOREVER for one in contacts) for animal, contacts in direct.items()
    }
    last: dict[str, datetime] = {}
    for animal in sorted(own, key=lambda one: (own[one], one), reverse=True):
        waiting = [animal]
        while waiting:
            here = waiting.pop()
            if here not in last:
                last[here] = own[animal]
                waiting += among[here]
    return last
