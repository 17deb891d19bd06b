"""The house at a glance: rooms, pens, who lives in them, and what is not right."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from cavyround.advice.housing import house_now
from cavyround.engines.housing import House, Why, as_it_is
from cavyround.facts.stays import Stay, StayFault, faults_of
from cavyround.record.models import Animal, Pen, Room
from cavyround.record.stays import stays_of
from cavyround.web.house.rules_said import once_per_rule


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark on a pen of the plan: a code for its look, and words beside the colour."""

    code: str
    words: str


@dataclass(frozen=True, slots=True)
class PenBox:
    """One pen: its animals, its floor, what is not right, and a mark, if it has one.

    ``heads`` count for the floor, the ``pups`` that suck do not.
    """

    pen: Pen
    animals: tuple[Animal, ...]
    heads: int
    pups: int
    room_for: int | None
    whys: tuple[Why, ...]
    mark: Mark | None = None
    alone: str = ""

    @property
    def hard(self) -> bool:
        """Whether a hard rule is broken in it."""
        return any(why.hard for why in self.whys)


@dataclass(frozen=True, slots=True)
class RoomBox:
    """One room with its pens."""

    room: Room
    pens: tuple[PenBox, ...]


@dataclass(frozen=True, slots=True)
class Fault:
    """A stay that was written down wrongly."""

    animal: Animal
    fault: StayFault

    @property
    def moves(self) -> tuple[Stay, ...]:
        """The stays that a move began; an arrival without a pen cannot be mended as one."""
        return tuple(stay for stay in self.fault.stays if not stay.id.startswith("arrival"))


@dataclass(frozen=True, slots=True)
class Plan:
    """The whole house."""

    rooms: tuple[RoomBox, ...]
    no_pen: tuple[Animal, ...]
    no_area: tuple[Pen, ...]
    faults: tuple[Fault, ...]
    house: House = field(repr=False)

    @property
    def broken(self) -> tuple[Pen, ...]:
        """The pens in which a hard rule is broken."""
        return tuple(box.pen for room in self.rooms for box in room.pens if box.hard)


def house_plan(now: datetime, marks: Mapping[int, Mark] | None = None) -> Plan:
    """The house as it stands, with ``marks`` on pens by their key."""
    house = house_now(now)
    living: dict[int, list[Animal]] = defaultdict(list)
    here = list(Animal.objects.filter(left_on=None).select_related("face").order_by("name"))
    for animal in here:
        if animal.pen_id is not None:
            living[animal.pen_id].append(animal)
    rooms = Room.objects.prefetch_related("pens__room")
    boxes = tuple(
        RoomBox(
            room, tuple(_box(pen, living[pen.pk], house, marks or {}) for pen in room.pens.all())
        )
        for room in rooms
    )
    return Plan(
        rooms=boxes,
        no_pen=tuple(animal for animal in here if animal.pen_id is None),
        no_area=tuple(box.pen for room in boxes for box in room.pens if box.pen.area_cm2 is None),
        faults=tuple(_faults(here)),
        house=house,
    )


def _box(pen: Pen, animals: list[Animal], house: House, marks: Mapping[int, Mark]) -> PenBox:
    inside = [house.by_id[str(animal.pk)] for animal in animals]
    facts = house.pen_by_id[str(pen.pk)]
    only = House(inside, (facts,), house.ties, house.today, house.book)
    heads = sum(only.is_head(one) for one in inside)
    return PenBox(
        pen=pen,
        animals=tuple(animals),
        heads=heads,
        pups=len(inside) - heads,
        room_for=house.fitting.room_for(facts),
        whys=once_per_rule(as_it_is(only)),
        mark=marks.get(pen.pk),
        alone=inside[0].alone_because if len(inside) == 1 else "",
    )


def _faults(here: list[Animal]) -> list[Fault]:
    by_id = {str(animal.pk): animal for animal in here}
    found = faults_of(stays_of([animal.pk for animal in here]))
    return [Fault(by_id[one.animal], one) for one in found if one.code != "no_pen"]
