"""Rooms, which share their air, and the pens in them."""

from dataclasses import dataclass
from enum import StrEnum


class PenKind(StrEnum):
    """What a pen is for."""

    NURSERY = "nursery"
    RESIDENTS = "residents"
    FOSTER = "foster"
    QUARANTINE = "quarantine"
    SICK_BAY = "sick_bay"
    ISOLATION = "isolation"


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomFacts:
    """A room: animals in it share their air."""

    id: str
    name: str
    position: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class PenFacts:
    """A pen. ``area_cm2`` is the floor that can be walked on, of all levels; None: not measured."""

    id: str
    name: str
    room: str
    kind: PenKind
    area_cm2: int | None = None
    levels: int | None = None
    position: int = 0
