"""Infections, thresholds, cautions and facts of the trade, each with its source."""

from decimal import Decimal
from typing import Literal

from pydantic import Field, model_validator

from cavyround.knowledge.conditions import Strict, Text
from cavyround.knowledge.courses import InfectionCourse


class Span(Strict):
    """Two numbers; the value lies between them."""

    low: Decimal
    high: Decimal


class Range(Strict):
    """A span with its unit and sources; an end nobody has found is open."""

    low: Decimal | None = None
    high: Decimal | None = None
    unit: Literal["hours", "days", "weeks", "months", "years"]
    sources: tuple[str, ...] = Field(min_length=1)
    note: str = ""

    @model_validator(mode="after")
    def _runs_upwards(self) -> "Range":
        if self.low is None and self.high is None:
            msg = "a range needs a low or a high end"
            raise ValueError(msg)
        if self.low is not None and self.high is not None and self.high < self.low:
            msg = f"a range runs upwards: {self.low} to {self.high}"
            raise ValueError(msg)
        return self

    @property
    def words(self) -> str:
        """The range as it is read out: ``10 to 14 days``, ``up to 35 days``."""
        if self.low is None:
            return f"up to {self.high} {self.unit}"
        if self.high is None:
            return f"from {self.low} {self.unit}"
        if self.low == self.high:
            return f"{self.low} {self.unit}"
        return f"{self.low} to {self.high} {self.unit}"


class Catching(Strict):
    """Whether it passes to other animals and to people."""

    animals: Text
    people: Text


class QuarantineTime(Strict):
    """How long animals are kept apart: what was published, and what is proposed."""

    published: str = ""
    proposed_days: int | None = None
    sources: tuple[str, ...] = Field(min_length=1)
    note: str = ""


class DaysApart(Span):
    """So many days apart."""

    unit: Literal["days"]


class KeptApart(Strict):
    """How long to keep apart in one situation: published times and what is proposed."""

    id: Text
    words: Text
    published: Text
    proposed: DaysApart | None = None
    sources: tuple[str, ...] = Field(min_length=1)
    note: str = ""


class ApartRule(Strict):
    """A rule of keeping apart."""

    words: Text
    sources: tuple[str, ...] = Field(min_length=1)


class Infection(Strict):
    """A parasite or an infection; numbers nobody has found are named in ``not_found``."""

    id: Text
    name: Text
    kind: Literal["parasite", "infection"]
    catching: Catching
    cycle: Range | None = None
    incubation: Range | None = None
    infectious: Range | None = None
    off_host: Range | None = None
    retreat: Range | None = None
    quarantine: QuarantineTime | None = None
    course: InfectionCourse | None = None
    not_found: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()
    tell_people: str = ""
    notes: tuple[Text, ...] = ()
    sources: tuple[str, ...] = ()


class Threshold(Strict):
    """A number that decides something, with its unit, the range it holds for, and its source."""

    value: Decimal | Span
    unit: Text
    holds_for: Text
    sources: tuple[str, ...] = Field(min_length=1)
    note: str = ""

    @property
    def words(self) -> str:
        """The value with its unit: ``5 percent``, ``40 to 60 g``."""
        if isinstance(self.value, Span):
            return f"{self.value.low} to {self.value.high} {self.unit}"
        return f"{self.value} {self.unit}"


class WeightCourse(Strict):
    """A course an animal's weight may be on besides keeping to its own.

    ``per_day_pct`` is the rate beside what is expected, in per cent of body weight a
    day (natural logarithm times 100); ``share`` weighs the courses against each
    other; with ``grows`` "no" the growth that is expected fails to come.
    """

    code: Text
    words: Text
    per_day_pct: Decimal
    share: Decimal = Field(gt=0)
    grows: Literal["yes", "no"] = "yes"
    sources: tuple[str, ...] = Field(min_length=1)


class WeightSign(Strict):
    """What an alarm of a kind becomes, from how far the animal has very likely fallen behind.

    Without ``lost_pct`` it holds as soon as the alarm does. ``carrying`` marks the one of a
    sow that gains as pregnant ones do and is not known to be.
    """

    sign: Text
    kind: Literal["loss", "growth", "pregnancy", "gain"]
    lost_pct: Decimal | None = None
    carrying: Literal["yes", "no"] = "no"
    urgency: Literal["carer_recheck", "vet_days", "vet_24h"]
    words: Text
    sources: tuple[str, ...] = Field(min_length=1)


class Caution(Strict):
    """A standing caution shown on pages."""

    id: Text
    subject: Literal[
        "zoonosis",
        "bites",
        "medicines",
        "restraint",
        "vet",
        "law",
        "children_and_pregnancy",
        "hygiene",
    ]
    words: Text
    sources: tuple[str, ...] = Field(min_length=1)


class TradeFact(Strict):
    """A fact of the trade, and the steps it belongs to."""

    id: Text
    words: Text
    steps: tuple[str, ...] = ()
    sources: tuple[str, ...] = Field(min_length=1)
