"""Who was exposed: directly or through others, since when, until when, how strongly."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from cavyround.engines.contagion.cases import CaseWindow
from cavyround.engines.contagion.meetings import Contact, clip, contacts_of, last_of
from cavyround.engines.contagion.presences import (
    CLOSE,
    FOREVER,
    NEVER_CLEANED,
    WAYS,
    Cleaned,
    Lasts,
    Way,
    between,
    presences_of,
)
from cavyround.engines.contagion.reach import LONG_AGO, Catching, Reached, reach
from cavyround.facts.stays import SharedUse, Stay


class Strength(StrEnum):
    """How strongly an animal was exposed; the strongest first."""

    CLOSE_DIRECT = "close_direct"
    WEAK_DIRECT = "weak_direct"
    CLOSE_THROUGH = "close_through"
    WEAK_THROUGH = "weak_through"
    NOT_KNOWN = "not_known"


STRENGTHS = tuple(Strength)


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposure:
    """One exposed animal.

    ``since`` is the earliest moment it can have caught it, None where nobody knows. ``last``
    is the last contact with a case of itself and of those through whom it can have caught it,
    whichever is later; None while it lasts. ``sure`` says that it met a case that already
    showed signs; else the case may not have been catching yet. ``chain`` leads from the case
    to it.
    """

    animal: str
    strength: Strength
    since: datetime | None
    last: datetime | None = None
    sure: bool = False
    chain: tuple[Reached, ...] = ()
    contacts: tuple[Contact, ...] = ()

    @property
    def is_direct(self) -> bool:
        """Whether it met a case itself."""
        return self.strength in (Strength.CLOSE_DIRECT, Strength.WEAK_DIRECT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Traced:
    """All that can be said of who was exposed; ``met`` are the contacts of the cases."""

    exposures: tuple[Exposure, ...]
    met: tuple[Contact, ...]

    def of(self, animal: str) -> Exposure | None:
        """The exposure of one animal; None if it was not exposed."""
        return next((one for one in self.exposures if one.animal == animal), None)


def trace(
    stays: Sequence[Stay],
    uses: Sequence[SharedUse],
    windows: Iterable[CaseWindow],
    *,
    now: datetime,
    lasts: Lasts,
    ways: Collection[Way] = WAYS,
    cleaned: Cleaned = NEVER_CLEANED,
) -> Traced:
    """Who was exposed to the cases by ``now``, by the ways this infection passes.

    The strength is the strongest found: adding a contact never weakens it.
    """
    counted = [window for window in windows if window.case.counts]
    presences = [one for one in presences_of(stays, uses, lasts, cleaned) if one.since <= now]
    perhaps, surely = _catching(counted, sure=False), _catching(counted, sure=True)
    cases = {one.animal for one in perhaps}
    met = tuple(clip(one, now) for one in contacts_of(presences, perhaps, ways))
    met_surely = {one.other for one in contacts_of(presences, surely, ways)}
    weak = reach(presences, perhaps, ways=ways)
    close = reach(presences, perhaps, ways=CLOSE & frozenset(ways))
    direct: dict[str, list[Contact]] = defaultdict(list)
    for one in met:
        direct[one.other].append(one)
    last = last_of(presences, weak, {*close, *direct} - cases, direct, ways)
    exposures = [
        _exposure(animal, close, weak, direct, last, met_surely, now)
        for animal in weak
        if animal not in cases and weak[animal].at <= now
    ]
    exposures += not_known(stays, perhaps, {*cases, *weak}, now)
    return Traced(exposures=tuple(sorted(exposures, key=_order)), met=met)


def _order(one: Exposure) -> tuple[int, datetime, str]:
    return STRENGTHS.index(one.strength), one.since or LONG_AGO, one.animal


def _catching(windows: Iterable[CaseWindow], *, sure: bool) -> list[Catching]:
    return [
        Catching(
            animal=one.case.animal,
            since=one.surely_since if sure else one.perhaps_since or LONG_AGO,
            until=one.case.over_at,
        )
        for one in windows
    ]


def _exposure(
    animal: str,
    close: Mapping[str, Reached],
    weak: Mapping[str, Reached],
    direct: Mapping[str, list[Contact]],
    last: Mapping[str, datetime],
    met_surely: Collection[str],
    now: datetime,
) -> Exposure:
    contacts = direct.get(animal, [])
    is_close = animal in close and close[animal].at <= now
    chain = _chain(animal, close if is_close else weak)
    if any(one.way in CLOSE for one in contacts):
        strength = Strength.CLOSE_DIRECT
    elif contacts:
        strength = Strength.WEAK_DIRECT
    else:
        strength = Strength.CLOSE_THROUGH if is_close else Strength.WEAK_THROUGH
    ended = last.get(animal) or last.get(chain[0].animal, FOREVER)
    return Exposure(
        animal=animal,
        strength=strength,
        since=weak[animal].at,
        last=None if ended == FOREVER else ended,
        sure=animal in met_surely,
        chain=chain,
        contacts=tuple(sorted(contacts, key=lambda one: (WAYS.index(one.way), one.since))),
    )


def _chain(animal: str, reached: Mapping[str, Reached]) -> tuple[Reached, ...]:
    steps = [reached[animal]]
    while steps[-1].by:
        steps.append(reached[steps[-1].by])
    return tuple(reversed(steps))[1:] if len(steps) > 1 else tuple(steps)


def not_known(
    stays: Iterable[Stay], catching: Iterable[Catching], known: Collection[str], now: datetime
) -> list[Exposure]:
    """Animals of which nobody knows where they were while a case was catching.

    So is every animal that stood somewhere while a case itself was nobody knows where.
    """
    windows = {one.animal: between(one.since, one.until) for one in catching}
    anybody = list(windows.values())
    lost = [stay for stay in stays if not stay.pen]
    blind = [
        (max(begin, since), min(end, until))
        for stay in lost
        if stay.animal in windows
        for (begin, end), (since, until) in [
            (windows[stay.animal], between(stay.began_at, stay.ended_at))
        ]
    ]
    last: dict[str, datetime] = {}
    for stay in stays:
        if stay.animal not in known:
            for window in blind if stay.pen else [*blind, *anybody]:
                end = _shared_until(stay, window, now)
                if end is not None:
                    last[stay.animal] = max(end, last.get(stay.animal, end))
    return [
        Exposure(
            animal=name,
            strength=Strength.NOT_KNOWN,
            since=None,
            last=None if end > now else end,
        )
        for name, end in sorted(last.items())
    ]


def _shared_until(stay: Stay, window: tuple[datetime, datetime], now: datetime) -> datetime | None:
    """When a stay and a window ended to overlap; None where they do not, or not yet."""
    since, until = between(stay.began_at, stay.ended_at)
    begin, end = max(since, window[0]), min(until, window[1])
    return end if begin < end and begin <= now else None
