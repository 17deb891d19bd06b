"""Who is due today, put into the order of the round: from healthy to contagious."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from cavyround.advice.due import Due

NO_PEN = "no_pen"


@dataclass(frozen=True, slots=True)
class GroupWords:
    """A group's name, and why it comes where it comes."""

    name: str
    why: str


GROUPS: dict[str, GroupWords] = {
    "nursery": GroupWords(
        "Nursery",
        "First of all: pups and their mothers have the least defence, so nothing is carried to "
        "them from others.",
    ),
    "residents": GroupWords(
        "Residents", "Known and healthy: before anybody who might have something catching."
    ),
    "foster": GroupWords("Foster homes", "Seen where they live, with what belongs to that home."),
    NO_PEN: GroupWords(
        "Not in a pen yet",
        "Nobody knows what they bring: after the healthy ones, with washed hands before and after.",
    ),
    "quarantine": GroupWords(
        "Quarantine",
        "Newcomers may carry what does not show yet: after the healthy ones, own kit, fresh "
        "gloves for each pen.",
    ),
    "sick_bay": GroupWords(
        "Sick bay", "Ill, though not known to be catching: after those that could catch it."
    ),
    "isolation": GroupWords(
        "Isolation",
        "Catching, or suspected: last of all, own kit, and from here nobody goes back to a "
        "healthy pen today.",
    ),
}


@dataclass(frozen=True, slots=True)
class Room:
    """The animals of one group that share a room, overdue first; no name for those in no pen."""

    name: str
    due: tuple[Due, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """The animals of one kind of pen, in the order of the round."""

    code: str
    words: GroupWords
    rooms: tuple[Room, ...]

    @property
    def count(self) -> int:
        """How many are due in it."""
        return sum(len(room.due) for room in self.rooms)


def grouped(due: Iterable[Due]) -> tuple[Group, ...]:
    """Groups in the order they come in; rooms by their most overdue animal."""
    return tuple(
        Group(code, GROUPS.get(code, GroupWords(code, "")), _rooms(members))
        for code, members in groupby(due, key=lambda one: one.group)
    )


def _rooms(members: Iterable[Due]) -> tuple[Room, ...]:
    rooms: dict[str, list[Due]] = {}
    for one in members:
        rooms.setdefault(one.pen.room.name if one.pen else "", []).append(one)
    return tuple(Room(name, tuple(inside)) for name, inside in rooms.items())
