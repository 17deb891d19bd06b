"""The closed little language in which rules say when they hold.

There is no "not": see docs/knowledge.md. An unknown key is a fault of the file.
"""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator


class Strict(BaseModel):
    """A frozen value read from a file; unknown keys are faults."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Amount(Strict):
    """A number with its unit."""

    value: Decimal
    unit: str


class Seen(Strict):
    """One observation fits every key given."""

    finding: tuple[str, ...] = Field(min_length=1)
    region: tuple[str, ...] = ()
    kind: tuple[str, ...] = ()
    kind_said: tuple[str, ...] = ()
    side: Literal["one", "both"] | None = None
    grade: tuple[str, ...] = ()
    from_: Amount | None = Field(default=None, alias="from")
    below: Amount | None = None
    for_hours: Decimal | None = None
    new: bool = False
    at_points: int = 1


class AnimalIs(Strict):
    """The animal fits every key given; unknown counts as fitting unless the key says otherwise."""

    sex: Literal["sow", "boar"] | None = None
    neutered: bool | None = None
    pregnant: bool = False
    pregnant_known: bool = False
    late_pregnant: bool = False
    after_birth_days: int | None = None
    from_months: Decimal | None = None
    below_months: Decimal | None = None
    coat: tuple[str, ...] = ()
    place: tuple[str, ...] = ()


class Happened(Strict):
    """It is known to have happened to the animal."""

    what: tuple[str, ...] = Field(min_length=1)
    within_days: int | None = None


class AtLeast(Strict):
    """At least so many of the conditions hold."""

    count: int = Field(ge=2)
    of: tuple["Condition", ...] = Field(min_length=2)


class Condition(Strict):
    """Exactly one of its keys is given."""

    all_: tuple["Condition", ...] | None = Field(default=None, alias="all", min_length=1)
    any_: tuple["Condition", ...] | None = Field(default=None, alias="any", min_length=1)
    at_least: AtLeast | None = None
    seen: Seen | None = None
    animal: AnimalIs | None = None
    event: Happened | None = None
    sign: tuple[str, ...] | None = Field(default=None, min_length=1)
    is_: str | None = Field(default=None, alias="is")

    @model_validator(mode="after")
    def _one_key(self) -> "Condition":
        if len(self.model_fields_set) != 1:
            msg = "a condition has exactly one of all, any, at_least, seen, animal, event, sign, is"
            raise ValueError(msg)
        return self


Text = Annotated[str, Field(min_length=1)]
AtLeast.model_rebuild()
Condition.model_rebuild()
