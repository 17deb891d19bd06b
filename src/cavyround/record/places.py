"""Write rooms and pens."""

from dataclasses import dataclass

from cavyround.record.models import Pen, Room


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """The floor that can be walked on, of all levels; None where nobody measured it."""

    area_cm2: int | None = None
    levels: int | None = None


def keep_room(name: str, *, room: Room | None = None, position: int | None = None) -> Room:
    """A new room, or another name for one; a new one comes last in the house."""
    room = room or Room(position=_after(Room.objects.count(), position))
    room.name = name
    room.save()
    return room


def keep_pen(
    room: Room,
    name: str,
    kind: str,
    *,
    pen: Pen | None = None,
    position: int | None = None,
    floor: Floor | None = None,
) -> Pen:
    """A new pen, or another room, name, use or floor for one; a new one comes last in its room."""
    pen = pen or Pen(position=_after(room.pens.count(), position))
    pen.room, pen.name, pen.kind = room, name, kind
    if floor is not None:
        pen.area_cm2, pen.levels = floor.area_cm2, floor.levels
    pen.save()
    return pen


def _after(count: int, position: int | None) -> int:
    return count if position is None else position
