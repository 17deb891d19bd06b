"""Who is due today, put into the order of the round: from healthy to contagious."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from cavyround.advice.due import Due
from cavyround.advice.order_of_care import OrderOfCare
from cavyround.knowledge.living import RoundGroup


@dataclass(frozen=True, slots=True)
class Room:
    """The animals of one group that share a room, overdue first; no name for those in no pen."""

    name: str
    due: tuple[Due, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """The animals of one stage of the round, and what the knowledge says of it."""

    code: str
    words: RoundGroup
    rooms: tuple[Room, ...]

    @property
    def count(self) -> int:
        """How many are due in it."""
        return sum(len(room.due) for room in self.rooms)


def grouped(due: Iterable[Due], order: OrderOfCare) -> tuple[Group, ...]:
    """Groups in the order they come in; rooms by their most overdue animal."""
    return tuple(
        Group(code, order.groups[code], _rooms(members))
        for code, members in groupby(due, key=lambda one: one.group)
    )


def _rooms(members: Iterable[Due]) -> tuple[Room, ...]:
    rooms: dict[str, list[Due]] = {}
    for one in members:
        rooms.setdefault(one.pen.room.name if one.pen else "", []).append(one)
    return tuple(Room(name, tuple(inside)) for name, inside in rooms.items())
