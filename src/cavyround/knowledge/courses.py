"""What the trade knows of courses: how a parasite outlives a dose, care, what to ask afterwards."""

from decimal import Decimal
from typing import Literal

from pydantic import Field, model_validator

from cavyround.knowledge.conditions import Strict, Text
from cavyround.knowledge.rules import PossibleAnswer

Sure = Literal["seen", "memory"]


class EggDays(Strict):
    """So many days; ``sure: memory`` is shown but never decides anything alone."""

    low: int = Field(ge=0)
    high: int = Field(ge=0)
    sure: Sure
    sources: tuple[str, ...] = Field(min_length=1)
    note: str = ""

    @model_validator(mode="after")
    def _runs_upwards(self) -> "EggDays":
        if self.high < self.low:
            msg = f"a range runs upwards: {self.low} to {self.high}"
            raise ValueError(msg)
        return self

    @property
    def words(self) -> str:
        """``3 to 14 days``."""
        if self.low == self.high:
            return f"{self.low} {'day' if self.low == 1 else 'days'}"
        return f"{self.low} to {self.high} days"


class LooksAfter(Strict):
    """The looks that end a course: on which days after the last dose, and what for."""

    on_days: tuple[int, ...] = Field(min_length=1)
    words: Text
    sources: tuple[str, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _one_after_the_other(self) -> "LooksAfter":
        if list(self.on_days) != sorted(set(self.on_days)) or self.on_days[0] < 1:
            msg = "the days of the looks are said once each, the earliest first, from 1"
            raise ValueError(msg)
        return self


class InfectionCourse(Strict):
    """What a course against an infection must reckon with.

    ``eggs_stay``: eggs stay on the animal and outlive a dose. ``hatch``: how long until
    they hatch. ``like``: another whose numbers are used because its own were not found.
    ``around``: what brings it back from around the animal.
    """

    eggs_stay: bool = False
    hatch: EggDays | None = None
    like: str | None = None
    around: str = ""
    looks_after: LooksAfter | None = None
    sources: tuple[str, ...] = ()


class CareCourse(Strict):
    """Care that is no medicine and runs as a course; ``care`` is its code at the table."""

    id: Text
    words: Text
    care: Text
    how_often: Text
    by_weight: bool = False
    caution: str = ""
    sources: tuple[str, ...] = Field(min_length=1)


class DoseKind(Strict):
    """A kind of medicine, which chooses what is asked after a dose.

    A medicine of one of the ``classes``, or one given by one of the ``routes``, is of it.
    """

    words: Text
    classes: tuple[str, ...] = ()
    routes: tuple[str, ...] = ()


class AfterDose(Strict):
    """A question after a dose, and from when until when it is asked.

    ``kinds``: the kinds of medicine it is asked after; none: after every medicine.
    ``again_hours``: asked anew so often while it lasts; none: once after each dose.
    ``rules`` are the rules of triage its answers can fire, ``adds_event`` what the dose
    itself is for triage. Where it is asked, those of ``instead_of`` are not.
    """

    id: Text
    asks: Text
    kinds: tuple[str, ...] = ()
    after_hours: Decimal = Field(ge=0)
    until_hours: Decimal = Field(gt=0)
    again_hours: Decimal | None = Field(default=None, gt=0)
    answers: tuple[PossibleAnswer, ...] = Field(min_length=2)
    rules: tuple[str, ...] = ()
    instead_of: tuple[str, ...] = ()
    adds_event: str | None = None
    because: str = ""
    sources: tuple[str, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _lasts(self) -> "AfterDose":
        if self.until_hours <= self.after_hours:
            msg = "a question is asked from some hours after a dose until more hours after it"
            raise ValueError(msg)
        return self
