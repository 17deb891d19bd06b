"""Rules, named conditions, questions and sources, as the files give them."""

from decimal import Decimal
from typing import Any, Literal

from pydantic import Field, field_validator, model_validator

from cavyround.knowledge.conditions import Condition, Strict, Text
from cavyround.knowledge.urgency import Urgency

SourceKind = Literal[
    "veterinary",
    "study",
    "charity",
    "lay",
    "textbook",
    "common_practice",
    "judgement",
    "standard",
    "official",
]


class Source(Strict):
    """A source, and how much of it was read."""

    title: Text
    read: Text
    kind: SourceKind


class Overridden(Strict):
    """Who changed a rule in this rescue, when and why."""

    by: Text
    on: Text
    why: Text


class Rule(Strict):
    """A condition and what follows from it. ``urgency`` is a floor."""

    id: Text
    area: Text
    says: Text
    grading: str = ""
    normal: bool = False
    when: Condition | None = None
    unless: Condition | None = None
    urgency: Urgency
    urgency_sources: tuple[str, ...] = Field(min_length=1)
    problems: tuple[str, ...] = ()
    causes: tuple[str, ...] = ()
    contagious: Text = "no"
    zoonotic: Text = "no"
    isolate: bool = False
    catching_to_people: bool = False
    changes_with: str = ""
    do_now: tuple[Text, ...] = ()
    do_not: tuple[Text, ...] = ()
    because: str = ""
    look_again_hours: int | None = Field(default=None, ge=0)
    lasting: bool = False
    sources: tuple[str, ...] = Field(min_length=1)
    evidence: str = ""
    fallback: bool = False
    overridden: Overridden | None = None

    @field_validator("urgency", mode="before")
    @classmethod
    def _read_urgency(cls, given: Any) -> Any:
        if isinstance(given, str):
            try:
                return Urgency.from_code(given)
            except KeyError:
                known = ", ".join(level.code for level in Urgency)
                msg = f"unknown urgency {given!r}; one of {known}"
                raise ValueError(msg) from None
        return given

    @model_validator(mode="after")
    def _can_fire(self) -> "Rule":
        if self.when is None and not (self.normal or self.fallback):
            msg = "a rule needs `when`, unless it describes what is normal (`normal: yes`)"
            raise ValueError(msg)
        if self.normal and self.urgency is not Urgency.NORMAL:
            msg = "a normal look cannot be urgent"
            raise ValueError(msg)
        return self


class Definition(Strict):
    """A named condition."""

    words: Text
    when: Condition


class AddsObservation(Strict):
    """A finding an answer adds."""

    region: str
    finding: str
    side: str = "N"
    kind: tuple[str, ...] = ()
    status: str = "present"
    grade: str | None = None
    value: Decimal | None = None
    unit: str | None = None
    hours: Decimal | None = None

    @field_validator("kind", mode="before")
    @classmethod
    def _one_or_several(cls, given: Any) -> Any:
        return (given,) if isinstance(given, str) else given


class AddsEvent(Strict):
    """An event an answer adds."""

    what: str


class AddsToAnimal(Strict):
    """What an answer says of the animal itself."""

    sex: Literal["sow", "boar", "unknown"] | None = None
    pregnant: Literal["yes", "no", "possible"] | None = None
    neutered: Literal["yes", "no"] | None = None


class Adds(Strict):
    """What an answer adds to the facts: exactly one of the three, or nothing."""

    observation: AddsObservation | None = None
    event: AddsEvent | None = None
    animal: AddsToAnimal | None = None


class PossibleAnswer(Strict):
    """One answer and what it adds; ``adds`` empty for an answer that adds nothing."""

    words: Text
    adds: Adds = Adds()


class QuestionAsked(Strict):
    """A question that is asked only when its answer would change the result."""

    id: Text
    asks: Text
    when: Condition
    known_by: Condition | None = None
    answers: tuple[PossibleAnswer, ...] = Field(min_length=2)
    sources: tuple[str, ...] = Field(min_length=1)
