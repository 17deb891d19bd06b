"""How medicines are given: by which way, how much at once, with which syringe."""

from decimal import Decimal
from typing import Literal

from pydantic import Field, model_validator

from cavyround.knowledge.conditions import Text
from cavyround.knowledge.sureness import May, Sourced, Sure


class VolumeLimit(Sourced):
    """The most that is given at once by a route: so many mL, or so many for each kg."""

    ml: Decimal = Field(gt=0)
    per: Literal["dose", "kg"]
    may: May
    words: Text
    sure: Sure


class Route(Sourced):
    """A way a medicine is given. ``read_as`` is what people write; it is never shown."""

    words: Text
    read_as: tuple[Text, ...] = ()
    by: Literal["carer", "vet"]
    limits: tuple[VolumeLimit, ...] = ()


class SyringeKind(Sourced):
    """A syringe: what it holds and what one mark on it is.

    ``only_for`` names the one class it is for, empty for all; ``marked_in`` what its
    marks count.
    """

    words: Text
    holds_ml: Decimal = Field(gt=0)
    mark_ml: Decimal = Field(gt=0)
    marked_in: Literal["mL", "units"] = "mL"
    only_for: str = ""
    sure: Sure
    note: str = ""

    @model_validator(mode="after")
    def _whole_marks(self) -> "SyringeKind":
        if self.holds_ml % self.mark_ml:
            msg = f"marks of {self.mark_ml} mL do not end at {self.holds_ml} mL"
            raise ValueError(msg)
        return self
