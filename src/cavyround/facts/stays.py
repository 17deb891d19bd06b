"""Where animals were and what they shared, as values: stays in pens, runs, things and hands.

Moments carry their zone. An interval holds its beginning and not its end: an animal that
leaves at the moment another comes did not meet it. What was written down wrongly is kept as
it was; see ``faults_of``.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """One animal in one pen from a moment until another.

    ``pen`` and ``room`` are empty where the animal was here and nobody knows where: that
    is not "met nobody". ``ended_at`` is None while it is still there. ``line`` is the line of
    the file it was read from, or 0.
    """

    animal: str
    began_at: datetime
    ended_at: datetime | None = None
    pen: str = ""
    room: str = ""
    by: str = ""
    why: str = ""
    id: str = ""
    line: int = 0

    def __post_init__(self) -> None:
        """Refuse a moment without its zone."""
        for moment in (self.began_at, self.ended_at):
            if moment is not None and moment.utcoffset() is None:
                msg = "the moment of a stay needs its time zone"
                raise ValueError(msg)

    @property
    def runs_backwards(self) -> bool:
        """Whether its end lies before its start."""
        return self.ended_at is not None and self.ended_at < self.began_at

    def holds_at(self, moment: datetime) -> bool:
        """Whether the animal was there at that moment."""
        return self.began_at <= moment and (self.ended_at is None or moment < self.ended_at)

    def shared(self, other: "Stay") -> "tuple[datetime, datetime | None] | None":
        """The time both stays have in common, wherever they were; None where there is none."""
        began = max(self.began_at, other.began_at)
        ends = [end for end in (self.ended_at, other.ended_at) if end is not None]
        ended = min(ends) if ends else None
        return None if ended is not None and ended <= began else (began, ended)


class UseKind(StrEnum):
    """What was shared: a run, a thing, or the hands of one person."""

    RUN = "run"
    THINGS = "things"
    HANDS = "hands"


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedUse:
    """One animal in a shared run, at a shared thing, or handled; without end while it lasts.

    Two uses are of the same thing where ``kind`` and ``name`` are the same.
    """

    id: str
    animal: str
    kind: UseKind
    name: str
    began_at: datetime
    ended_at: datetime | None = None

    def __post_init__(self) -> None:
        """Refuse a moment without its zone."""
        for moment in (self.began_at, self.ended_at):
            if moment is not None and moment.utcoffset() is None:
                msg = "the moment of a shared use needs its time zone"
                raise ValueError(msg)


class StayFaultCode(StrEnum):
    """What is wrong with a stay."""

    ENDS_BEFORE_START = "ends_before_start"
    OVERLAP = "overlap"
    NO_PEN = "no_pen"


@dataclass(frozen=True, slots=True, kw_only=True)
class StayFault:
    """Something wrong with the stays of one animal: what, and what to do about it."""

    code: StayFaultCode
    animal: str
    words: str
    do: str
    stays: tuple[Stay, ...]


def faults_of(stays: Iterable[Stay]) -> tuple[StayFault, ...]:
    """Stays that end before they begin, overlap another of the same animal, or have no pen."""
    by_animal: dict[str, list[Stay]] = defaultdict(list)
    for stay in stays:
        by_animal[stay.animal].append(stay)
    return tuple(fault for animal in sorted(by_animal) for fault in _faults(by_animal[animal]))


def _faults(own: list[Stay]) -> Iterator[StayFault]:
    sound = []
    for stay in own:
        if stay.runs_backwards:
            yield StayFault(
                code=StayFaultCode.ENDS_BEFORE_START,
                animal=stay.animal,
                words="The stay ends before it begins.",
                do="Say when it really began and ended. Until then all the time between both "
                "moments counts as spent there.",
                stays=(stay,),
            )
        else:
            sound.append(stay)
        if not stay.pen:
            yield StayFault(
                code=StayFaultCode.NO_PEN,
                animal=stay.animal,
                words="Nobody wrote down which pen it was in.",
                do="Say which pen. Until then it is not known whom it met.",
                stays=(stay,),
            )
    yield from _overlaps(sorted(sound, key=lambda stay: (stay.began_at, stay.pen, stay.id)))


def _overlaps(own: list[Stay]) -> Iterator[StayFault]:
    """Against the stay that lasts longest so far, so that a long one hides no later overlap."""
    longest: Stay | None = None
    for stay in own:
        if longest is not None and longest.shared(stay) is not None:
            yield StayFault(
                code=StayFaultCode.OVERLAP,
                animal=stay.animal,
                words="It is said to have been in two places at once.",
                do="Say when it left the first. Until then it counts as having been in both.",
                stays=(longest, stay),
            )
        if longest is None or _ends_later(stay, longest):
            longest = stay


def _ends_later(stay: Stay, than: Stay) -> bool:
    if than.ended_at is None:
        return False
    return stay.ended_at is None or stay.ended_at > than.ended_at
