"""Lengths of time as an order says them: so many elapsed hours, or so many civil days."""

from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum

LONGEST_HOURS = 72
LONGEST_DAYS = 400


class Unit(StrEnum):
    """Hours pass on any clock; days are days of the calendar, be they 23 or 25 hours long."""

    HOURS = "hours"
    DAYS = "days"


@dataclass(frozen=True, slots=True)
class Length:
    """So many hours or days; a whole number, never less than nought."""

    amount: int
    unit: Unit

    def __post_init__(self) -> None:
        """Refuse a length that is no whole number, is negative, or is longer than makes sense."""
        if isinstance(self.amount, bool) or not isinstance(self.amount, int):
            msg = f"{self.amount!r} is no whole number of {self.unit}"
            raise ValueError(msg)
        longest = LONGEST_HOURS if self.unit is Unit.HOURS else LONGEST_DAYS
        if not 0 <= self.amount <= longest:
            hint = "; write it in days" if self.unit is Unit.HOURS else ""
            msg = f"{self.amount} {self.unit} is not between 0 and {longest} {self.unit}{hint}"
            raise ValueError(msg)

    @property
    def span(self) -> timedelta:
        """Its usual length; a civil day is taken as 24 hours."""
        return timedelta(**{self.unit.value: self.amount})

    @property
    def words(self) -> str:
        """``12 hours``, ``1 day``."""
        unit = self.unit.removesuffix("s") if self.amount == 1 else self.unit
        return f"{self.amount} {unit}"


def hours(amount: int) -> Length:
    """So many elapsed hours."""
    return Length(amount, Unit.HOURS)


def days(amount: int) -> Length:
    """So many civil days."""
    return Length(amount, Unit.DAYS)
