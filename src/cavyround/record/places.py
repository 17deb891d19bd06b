"""Write rooms and pens."""

from cavyround.record.models import Pen, Room


def keep_room(name: str, *, room: Room | None = None, position: int | None = None) -> Room:
    """A new room, or another name for one; a new one comes last in the house."""
    room = room or Room(position=_after(Room.objects.count(), position))
    room.name = name
    room.save()
    return room


def keep_pen(
    room: Room, name: str, kind: str, *, pen: Pen | None = None, position: int | None = None
) -> Pen:
    """A new pen, or another room, name or use for one; a new one comes last in its room."""
    pen = pen or Pen(position=_after(room.pens.count(), position))
    pen.room, pen.name, pen.kind = room, name, kind
    pen.save()
    return pen


def _after(count: int, position: int | None) -> int:
    return count if position is None else position
