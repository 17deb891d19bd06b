"""What a carer found at one place of one animal, as a value."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from enum import StrEnum
from typing import Annotated

from pydantic import PlainSerializer

# Written out in one order, so that the same facts are always the same text.
Codes = Annotated[frozenset[str], PlainSerializer(sorted, return_type=list[str])]


class Side(StrEnum):
    """The animal's own side; ``NOT_SAID`` is not "both"."""

    LEFT = "L"
    RIGHT = "R"
    BOTH = "B"
    MIDDLE = "M"
    NOT_SAID = "N"
    ONE = "one"


def sides_agree(one: str, other: str) -> bool:
    """Whether two sides may be the same place; a side not said may be any."""
    if one == other or {Side.NOT_SAID, Side.BOTH} & {one, other}:
        return True
    return Side.ONE in (one, other) and Side.MIDDLE not in (one, other)


class Status(StrEnum):
    """Whether the finding is there. ``UNCERTAIN`` never makes an animal safer."""

    PRESENT = "present"
    ABSENT = "absent"
    UNCERTAIN = "uncertain"


class Grade(StrEnum):
    """How strong, or how it compares with last time; absent where not said."""

    SLIGHT = "slight"
    MODERATE = "moderate"
    MARKED = "marked"
    HEALING = "healing"
    WORSE = "worse"
    SAME = "same"


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """One finding at one region and side.

    Codes are those of the knowledge's vocabulary. ``value`` has a meaning only
    together with ``unit``. ``began_at`` is None where nobody knows since when,
    which the rules take as "long enough". ``mark_id`` names the standing mark
    ("harmless fatty lump, vet saw it") this observation was compared with.
    ``step`` is the step of the check it was found at, empty where it was told otherwise.
    """

    region: str
    finding: str
    side: Side = Side.NOT_SAID
    status: Status = Status.PRESENT
    grade: Grade | None = None
    kinds: Codes = frozenset()
    value: Decimal | None = None
    unit: str | None = None
    began_at: datetime | None = None
    seen_at: datetime | None = None
    mark_id: str | None = None
    step: str = ""
    id: str | None = None

    def __post_init__(self) -> None:
        """Refuse a number without its unit."""
        if (self.value is None) != (self.unit is None):
            msg = f"{self.finding} at {self.region}: a value needs its unit, and a unit its value"
            raise ValueError(msg)

    @property
    def is_there(self) -> bool:
        """True for present and for uncertain: a doubt counts as there."""
        return self.status is not Status.ABSENT

    @property
    def place(self) -> tuple[str, Side, str]:
        """Region, side and finding: what makes two observations the same sign."""
        return (self.region, self.side, self.finding)

    def has_lasted(self, span: timedelta, now: datetime) -> bool:
        """Whether it has lasted at least ``span``; an unknown beginning counts as yes."""
        return self.began_at is None or now - self.began_at >= span
