"""Infections, thresholds, cautions and facts of the trade, each with its source."""

from decimal import Decimal
from typing import Literal

from pydantic import Field, model_validator

from cavyround.knowledge.conditions import Strict, Text


class Range(Strict):
    """A span between two numbers with its unit and sources."""

    low: Decimal
    high: Decimal
    unit: Literal["hours", "days", "weeks", "months", "years"]
    sources: tuple[str, ...] = Field(min_length=1)
    note: str = ""

    @model_validator(mode="after")
    def _runs_upwards(self) -> "Range":
        if self.high < self.low:
            msg = f"a range runs upwards: {self.low} to {self.high}"
            raise ValueError(msg)
        return self


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
    not_found: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()
    tell_people: str = ""
    notes: tuple[Text, ...] = ()
    sources: tuple[str, ...] = ()


class Threshold(Strict):
    """A number that decides something, with its unit, the range it holds for, and its source."""

    value: Decimal
    unit: Text
    holds_for: Text
    sources: tuple[str, ...] = Field(min_length=1)
    note: str = ""


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
