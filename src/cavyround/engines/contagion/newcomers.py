"""When an animal in quarantine met somebody new: in its pen, or in the air of its room."""

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime

from cavyround.engines.contagion.presences import FOREVER, between
from cavyround.engines.contagion.quarantine import Restart
from cavyround.facts.stays import Stay


@dataclass(frozen=True, slots=True, kw_only=True)
class Met:
    """A meeting with another animal from ``at`` to ``until``, in the pen or only in the air.

    ``until`` is None while it lasts.
    """

    other: str
    at: datetime
    how: Restart
    until: datetime | None = None


@dataclass(slots=True)
class _Spell:
    """An animal at one place without a gap, however many stays that was."""

    animal: str
    place: str
    since: datetime
    until: datetime


def met_since(
    animal: str, stays: Iterable[Stay], since: datetime, *, air_counts: bool
) -> tuple[Met, ...]:
    """Every meeting of ``animal`` that began after ``since``, in order of time.

    Two that went on sharing the place from before did not meet anew. ``air_counts`` says
    whether sharing a room without sharing the pen counts.
    """
    stays = list(stays)
    in_pens = _meetings(animal, _spells(stays, _pen), since, Restart.NEWCOMER_PEN)
    if not air_counts:
        return tuple(sorted(in_pens, key=_when))
    in_rooms = _meetings(animal, _spells(stays, _room), since, Restart.NEWCOMER_AIR)
    both = {(one.other, one.at): one for one in (*in_rooms, *in_pens)}
    return tuple(sorted(both.values(), key=_when))


def _when(one: Met) -> tuple[datetime, str]:
    return one.at, one.other


def _pen(stay: Stay) -> str:
    return f"{stay.room}/{stay.pen}" if stay.pen else ""


def _room(stay: Stay) -> str:
    return stay.room


def _spells(stays: Iterable[Stay], place_of: Callable[[Stay], str]) -> list[_Spell]:
    by_animal: dict[str, list[Stay]] = defaultdict(list)
    for stay in stays:
        if place_of(stay):
            by_animal[stay.animal].append(stay)
    spells: list[_Spell] = []
    for own in by_animal.values():
        last: _Spell | None = None
        for stay in sorted(own, key=lambda one: (one.began_at, one.id)):
            since, until = between(stay.began_at, stay.ended_at)
            place = place_of(stay)
            if last is not None and last.place == place and since <= last.until:
                last.until = max(last.until, until)
                continue
            last = _Spell(stay.animal, place, since, until)
            spells.append(last)
    return spells


def _meetings(animal: str, spells: list[_Spell], since: datetime, how: Restart) -> list[Met]:
    own = [one for one in spells if one.animal == animal]
    there = {one.place for one in own}
    others = [one for one in spells if one.animal != animal and one.place in there]
    return [
        Met(other=other.animal, at=begins, how=how, until=None if ends == FOREVER else ends)
        for mine in own
        for other in others
        if other.place == mine.place
        and (begins := max(mine.since, other.since)) < (ends := min(mine.until, other.until))
        and begins > since
    ]
