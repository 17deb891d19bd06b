"""What is known of one animal at one moment, as values the engines compute with."""

from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum

from cavyround.facts.observation import Codes, Observation
from cavyround.knowledge.urgency import Urgency

DAYS_PER_MONTH = Decimal("30.4375")


class Sex(StrEnum):
    """Sow, boar, or not known."""

    SOW = "sow"
    BOAR = "boar"
    UNKNOWN = "unknown"


class Known(StrEnum):
    """Yes, no, perhaps, or nobody knows; the last two are not a no."""

    YES = "yes"
    NO = "no"
    POSSIBLE = "possible"
    UNKNOWN = "unknown"


class Place(StrEnum):
    """Under what regime the animal lives now."""

    RESIDENT = "resident"
    NEW_ARRIVAL = "new_arrival"
    QUARANTINE = "quarantine"
    ISOLATION = "isolation"
    NURSERY = "nursery"
    FOSTER = "foster"


@dataclass(frozen=True, slots=True, kw_only=True)
class Born:
    """The earliest and latest day of birth; both None where nothing is known.

    An exact birth date has both the same.
    """

    earliest: date | None = None
    latest: date | None = None

    def __post_init__(self) -> None:
        """Refuse a range that ends before it begins."""
        if self.earliest and self.latest and self.latest < self.earliest:
            msg = f"latest birth day {self.latest} lies before the earliest {self.earliest}"
            raise ValueError(msg)

    @property
    def is_exact(self) -> bool:
        """Whether the very day is known."""
        return self.earliest is not None and self.earliest == self.latest

    def youngest_days(self, today: date) -> int | None:
        """Age in days if born on the latest possible day; None if unknown."""
        return None if self.latest is None else max(0, (today - self.latest).days)

    def oldest_days(self, today: date) -> int | None:
        """Age in days if born on the earliest possible day; None if unknown."""
        return None if self.earliest is None else max(0, (today - self.earliest).days)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing:
    """One weighing in grams. ``doubted`` ones are kept and shown but not reckoned with."""

    at: datetime
    grams: Decimal
    doubted: bool = False
    id: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """Something known to have happened to the animal; ``on`` is None where the day is unknown."""

    what: str
    on: date | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingMark:
    """A thing that is known and judged harmless, for example by a vet.

    It softens the same finding at the same place only while that is the same
    as it was; it never hides a change.
    """

    id: str
    region: str
    finding: str
    side: str = "N"
    size_mm: Decimal | None = None
    words: str = ""
    said_by: str = ""
    said_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenFollowUp:
    """A promise to look again at a finding; ``until_gone`` fails if it is still there when due."""

    id: str
    region: str
    finding: str
    side: str = "N"
    due_at: datetime
    urgency: Urgency = Urgency.CARER_RECHECK
    until_gone: bool = True
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AnimalFacts:
    """Everything the engines may know of one animal. Unknown is said, never guessed.

    ``observations`` were made now; ``still_open`` were made earlier and nobody has
    looked there since, so they still count; ``before`` is all that was known before
    now and is asked as the same, bigger or gone.
    """

    id: str
    name: str = ""
    sex: Sex = Sex.UNKNOWN
    neutered: Known = Known.UNKNOWN
    born: Born = field(default_factory=Born)
    pregnant: Known = Known.UNKNOWN
    due_from: date | None = None
    coat: Codes = frozenset()
    dark_skin: bool | None = None
    place: Place | None = None
    arrived_on: date | None = None
    observations: tuple[Observation, ...] = ()
    still_open: tuple[Observation, ...] = ()
    before: tuple[Observation, ...] = ()
    checked_before: bool = False
    weighings: tuple[Weighing, ...] = ()
    events: tuple[Event, ...] = ()
    marks: tuple[StandingMark, ...] = ()
    follow_ups: tuple[OpenFollowUp, ...] = ()

    @property
    def known_now(self) -> tuple[Observation, ...]:
        """What was found now, and what was found earlier and not looked at since."""
        return (*self.observations, *self.still_open)
