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


class Meetings:
    """Who met whom when, of many animals at once: their stays are put in order only one time."""

    def __init__(self, stays: Iterable[Stay]) -> None:
        """Keep where everybody was, by animal and by place, for pens and for rooms."""
        stays = list(stays)
        self._pens, self._rooms = _Places(_spells(stays, _pen)), _Places(_spells(stays, _room))

    def since(self, animal: str, since: datetime, *, air_counts: bool) -> tuple[Met, ...]:
        """Every meeting of ``animal`` that began after ``since``, in order of time.

        Two that went on sharing the place from before did not meet anew. ``air_counts`` says
        whether sharing a room without sharing the pen counts.
        """
        in_pens = self._pens.meetings(animal, since, Restart.NEWCOMER_PEN)
        if not air_counts:
            return tuple(sorted(in_pens, key=_when))
        in_rooms = self._rooms.meetings(animal, since, Restart.NEWCOMER_AIR)
        both = {(one.other, one.at): one for one in (*in_rooms, *in_pens)}
        return tuple(sorted(both.values(), key=_when))

    def beside(self, animal: str, since: datetime, *, air_counts: bool) -> tuple[Met, ...]:
        """Every meeting of ``animal`` that lasted beyond ``since``, also one begun before it."""
        in_pens = self._pens.shared(animal, since, Restart.NEWCOMER_PEN)
        in_rooms = self._rooms.shared(animal, since, Restart.NEWCOMER_AIR) if air_counts else []
        return tuple(sorted((*in_pens, *in_rooms), key=_when))


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


class _Places:
    """Spells by animal and by place."""

    def __init__(self, spells: Iterable[_Spell]) -> None:
        self.of: dict[str, list[_Spell]] = defaultdict(list)
        self.at: dict[str, list[_Spell]] = defaultdict(list)
        for one in spells:
            self.of[one.animal].append(one)
            self.at[one.place].append(one)

    def meetings(self, animal: str, since: datetime, how: Restart) -> list[Met]:
        return [one for one in self.shared(animal, since, how) if one.at > since]

    def shared(self, animal: str, since: datetime, how: Restart) -> list[Met]:
        return [
            Met(other=other.animal, at=begins, how=how, until=None if ends == FOREVER else ends)
            for mine in self.of.get(animal, ())
            if mine.until > since
            for other in self.at[mine.place]
            if other.animal != animal
            and (begins := max(mine.since, other.since)) < (ends := min(mine.until, other.until))
            and ends > since
        ]
