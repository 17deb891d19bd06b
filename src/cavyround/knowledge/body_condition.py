"""Body condition by feel: what each score is, and what it means beside the weight."""

from typing import Literal

from pydantic import Field, field_validator, model_validator

from cavyround.knowledge.conditions import Strict, Text
from cavyround.knowledge.urgency import Urgency

Look = Literal["bony", "ideal", "round"]
Change = Literal["fell", "stayed", "rose"]
Weight = Literal["falling", "steady", "rising", "heavy", "light"]


class ConditionScore(Strict):
    """One score from 1 to 5: its name, what hands and eyes find, how far from the ideal weight."""

    score: int = Field(ge=1, le=5)
    words: Text
    feel: Text
    against_ideal: Text
    sources: tuple[str, ...] = Field(min_length=1)


class BesideWeightWhen(Strict):
    """Fits where every key given fits. What is not known fits none: nothing is read into it.

    ``unless_weight`` leaves out what another entry says better of such a weight.
    """

    look: tuple[Look, ...] = ()
    change: tuple[Change, ...] = ()
    weight: tuple[Weight, ...] = Field(min_length=1)
    unless_weight: tuple[Weight, ...] = ()
    grown: bool | None = None

    @model_validator(mode="after")
    def _says_something_of_the_hand(self) -> "BesideWeightWhen":
        if not (self.look or self.change):
            msg = "what stands beside the weight needs `look` or `change`"
            raise ValueError(msg)
        return self


class BesideWeight(Strict):
    """What it means when the hand and the scales do not say the same."""

    id: Text
    says: Text
    when: BesideWeightWhen
    because: Text
    may_be: tuple[Text, ...] = ()
    if_pregnant: str = ""
    do_now: tuple[Text, ...] = Field(min_length=1)
    do_not: tuple[Text, ...] = ()
    urgency: Urgency
    urgency_sources: tuple[str, ...] = Field(min_length=1)
    sources: tuple[str, ...] = Field(min_length=1)

    @field_validator("urgency", mode="before")
    @classmethod
    def _read_urgency(cls, given: object) -> object:
        if isinstance(given, str):
            try:
                return Urgency.from_code(given)
            except KeyError:
                known = ", ".join(level.code for level in Urgency)
                msg = f"unknown urgency {given!r}; one of {known}"
                raise ValueError(msg) from None
        return given
