"""Courses: one order carried out on one animal, dose by dose, as values.

A course is a medicine, or care that is no medicine and runs the same way. What was
tried is kept as it was said; a dose that did not go in is no given dose.
"""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from enum import StrEnum

from cavyround.facts.lengths import Length
from cavyround.facts.observation import Codes
from cavyround.facts.schedules import Schedule


class Outcome(StrEnum):
    """What became of a dose. Guinea pigs cannot vomit, so there is no such outcome."""

    GIVEN = "given"
    PARTLY = "partly"
    REFUSED = "refused"
    SPAT_OUT = "spat_out"
    NOT_GIVEN = "not_given"


OUTCOME_WORDS = {
    Outcome.GIVEN: "given",
    Outcome.PARTLY: "partly taken",
    Outcome.REFUSED: "refused, nothing went in",
    Outcome.SPAT_OUT: "spat out, perhaps some went in",
    Outcome.NOT_GIVEN: "not given",
}
# Something went in, or may have: a doubt counts as gone in, so that nothing is given twice.
WENT_IN = frozenset({Outcome.GIVEN, Outcome.PARTLY, Outcome.SPAT_OUT})


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenDose:
    """One try at one dose: when, by whom, and what became of it.

    ``number`` is the due dose it was meant for (1 is the first), None where nobody said.
    ``weight_g`` and ``weighed_at`` are the weighing it was worked out from.
    ``why`` is needed wherever it was not simply given.
    """

    id: str
    at: datetime
    outcome: Outcome
    by: str
    why: str = ""
    number: int | None = None
    weight_g: Decimal | None = None
    weighed_at: datetime | None = None

    def __post_init__(self) -> None:
        """Refuse an entry that leaves open when it was, by whom, or why nothing was given."""
        if self.at.utcoffset() is None:
            msg = "the moment of a dose needs its time zone"
            raise ValueError(msg)
        if not self.by:
            msg = "say who gave it, or tried to"
            raise ValueError(msg)
        if self.outcome is Outcome.NOT_GIVEN and not self.why.strip():
            msg = "say why it was not given"
            raise ValueError(msg)
        if self.number is not None and self.number < 1:
            msg = f"there is no dose {self.number}; the first is dose 1"
            raise ValueError(msg)
        if (self.weight_g is None) != (self.weighed_at is None):
            msg = "a weight needs the moment it was weighed, and the moment its weight"
            raise ValueError(msg)
        if self.weight_g is not None and self.weight_g <= 0:
            msg = f"{self.weight_g} g is no weight"
            raise ValueError(msg)

    @property
    def went_in(self) -> bool:
        """Whether anything went in, or may have."""
        return self.outcome in WENT_IN


@dataclass(frozen=True, slots=True, kw_only=True)
class LookedAgain:
    """A look after the last dose: ``clear`` where nothing of it was found, None where unsure."""

    at: datetime
    clear: bool | None
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """One order carried out on one animal.

    ``what`` is its name in words. ``care`` is the code of a care course that is no
    medicine, empty for a medicine. ``against`` names infections of the knowledge,
    ``kinds`` the kinds of medicine (for what is asked after a dose). ``by_weight`` says
    that each dose is worked out from the weight, ``weight_age`` how old that may be and
    ``recheck`` how long after the last dose it is looked at again, both where the order
    or the formulary says so. ``lasts`` is for how long after a dose it goes on working,
    ``kills_eggs`` whether it kills eggs too; None where nobody knows.
    """

    id: str
    order: str
    animal: str
    what: str
    schedule: Schedule
    doses: tuple[GivenDose, ...] = ()
    care: str = ""
    product: str = ""
    against: tuple[str, ...] = ()
    kinds: Codes = frozenset()
    by_weight: bool = True
    weight_age: Length | None = None
    recheck: Length | None = None
    lasts: Length | None = None
    kills_eggs: bool | None = None
    stopped_at: datetime | None = None
    stopped_why: str = ""
    looked_again: tuple[LookedAgain, ...] = ()

    def __post_init__(self) -> None:
        """Refuse a course of nothing, and one stopped without a reason."""
        if not self.what.strip():
            msg = "say what the course is of"
            raise ValueError(msg)
        if self.stopped_at is not None and self.stopped_at.utcoffset() is None:
            msg = "the moment a course was stopped needs its time zone"
            raise ValueError(msg)
        if self.stopped_at is not None and not self.stopped_why.strip():
            msg = "say why the course was stopped"
            raise ValueError(msg)

    @property
    def is_medicine(self) -> bool:
        """Whether it is a medicine rather than care."""
        return not self.care

    @property
    def tries(self) -> tuple[GivenDose, ...]:
        """All tries in the order they were made, each entry once however often it was sent."""
        once = {dose.id: dose for dose in self.doses}
        return tuple(sorted(once.values(), key=lambda dose: (dose.at, dose.id)))
