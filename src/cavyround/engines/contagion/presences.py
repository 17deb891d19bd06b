"""Stays and shared uses as presences at places, each saying how it can pass something on."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum

from cavyround.facts.stays import SharedUse, Stay, UseKind

FOREVER = datetime.max.replace(tzinfo=UTC)


class Way(StrEnum):
    """A way of contact, from the strongest to the weakest."""

    PEN = "pen"
    RUN = "run"
    AFTER = "after"
    AIR = "air"
    THINGS = "things"
    HANDS = "hands"


WAYS = tuple(Way)
# Skin to skin: what every source calls direct contact.
CLOSE = frozenset({Way.PEN, Way.RUN})
# When a pen was cleaned so that it no longer counts as catching, by room and pen.
Cleaned = Mapping[tuple[str, str], Sequence[datetime]]
NEVER_CLEANED: Cleaned = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Lasts:
    """For how long a place passes on what was there before, where nobody cleaned it between."""

    pen: timedelta
    things: timedelta
    hands: timedelta


@dataclass(frozen=True, slots=True)
class Presence:
    """One animal at one place.

    ``together`` is the way by which it meets those there at the same time, ``after`` the way
    by which it reaches those that come within ``lasts`` of its leaving; None: not at all.
    """

    animal: str
    place: str
    since: datetime
    until: datetime
    together: Way | None
    after: Way | None
    lasts: timedelta

    @property
    def is_moment(self) -> bool:
        """Whether it has no length: a thing used once, a hand laid on."""
        return self.since == self.until


def presences_of(
    stays: Iterable[Stay],
    uses: Iterable[SharedUse],
    lasts: Lasts,
    cleaned: Cleaned = NEVER_CLEANED,
) -> tuple[Presence, ...]:
    """All presences; a stay written backwards counts for all the time between its two moments.

    A stay whose pen nobody knows is at no place: see ``tracing.not_known``.
    """
    return (*_of_stays(stays, lasts, cleaned), *_of_uses(uses, lasts))


def _of_stays(stays: Iterable[Stay], lasts: Lasts, cleaned: Cleaned) -> Iterator[Presence]:
    for stay in stays:
        since, until = between(stay.began_at, stay.ended_at)
        if stay.pen:
            dirty = _dirty_for(until, lasts.pen, cleaned.get((stay.room, stay.pen), ()))
            pen = f"pen {stay.room}/{stay.pen}"
            yield Presence(stay.animal, pen, since, until, Way.PEN, Way.AFTER, dirty)
        if stay.room:
            yield Presence(
                stay.animal, f"room {stay.room}", since, until, Way.AIR, None, timedelta()
            )


def _dirty_for(left: datetime, lasts: timedelta, cleaned: Sequence[datetime]) -> timedelta:
    """How long the pen stays catching after an animal left it: until it is cleaned, at most."""
    after = [moment.astimezone(UTC) - left for moment in cleaned if moment >= left]
    return min([lasts, *after])


def _of_uses(uses: Iterable[SharedUse], lasts: Lasts) -> Iterator[Presence]:
    for use in uses:
        since, until = between(use.began_at, use.ended_at)
        place = f"{use.kind} {use.name}"
        if use.kind is UseKind.RUN:
            yield Presence(use.animal, place, since, until, Way.RUN, Way.AFTER, lasts.pen)
        elif use.kind is UseKind.THINGS:
            yield Presence(use.animal, place, since, until, Way.THINGS, Way.THINGS, lasts.things)
        else:
            yield Presence(use.animal, place, since, until, Way.HANDS, Way.HANDS, lasts.hands)


def between(since: datetime, until: datetime | None) -> tuple[datetime, datetime]:
    """Both ends in order, in UTC; open is for ever."""
    first = since.astimezone(UTC)
    if until is None:
        return first, FOREVER
    second = until.astimezone(UTC)
    return min(first, second), max(first, second)
