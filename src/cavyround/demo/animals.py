"""What an animal of the invented herd is: who, how it came, where it lives, how it looks."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from cavyround.demo.clock import Clock
from cavyround.demo.coats import Look
from cavyround.record.animals import Coming

QUARANTINE_DAYS = 21


@dataclass(frozen=True, slots=True, kw_only=True)
class Came:
    """How it came, so many days ago."""

    ago: int
    how: str = "surrendered"
    source: str = ""
    told: str = ""
    sexed_as: str = "unknown"
    pen: str = "q1"
    known_well: bool = False

    def as_coming(self, clock: Clock) -> Coming:
        """As the record takes it."""
        return Coming(
            on=clock.day(self.ago),
            how=self.how,
            came_from=self.source,
            told=self.told,
            sexed_as=self.sexed_as,
            source="home" if self.known_well else "not_known",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """How it left, so many days ago."""

    ago: int
    how: str
    to: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cast:
    """One animal of the herd.

    ``born`` is how many days ago: one number if the day is known, the earliest
    and latest if not, None if nobody knows. ``grams`` is its grown weight;
    ``course`` bends its weight: (days ago, factor), straight between.
    ``last`` is how many days ago its last full check was. ``spells`` are the
    times it was with the rescue.
    """

    name: str
    sex: str
    born: int | tuple[int, int] | None
    came: Came
    home: str
    grams: int
    look: Look
    colour: str
    last: int = 0
    age_for_weight: int | None = None
    sure: str = "sure"
    neutered: str = "no"
    coat: tuple[str, ...] = ()
    dark: bool | None = None
    marks: str = ""
    chip: str = ""
    course: tuple[tuple[int, float], ...] = ()
    left: Left | None = None
    back: Came | None = None
    stated: Mapping[str, Any] = field(default_factory=dict)

    @property
    def key(self) -> str:
        """What the stories call it."""
        return self.name.lower()

    @property
    def days_old(self) -> int:
        """How old it is taken to be when its weight is made up."""
        if self.age_for_weight is not None:
            return self.age_for_weight
        if isinstance(self.born, tuple):
            return sum(self.born) // 2
        return self.born if self.born is not None else 500

    @property
    def spells(self) -> tuple[tuple[int, int], ...]:
        """The times it was here: from and to, in days ago."""
        end = self.left.ago + 1 if self.left else self.last
        if self.back is None:
            return ((self.came.ago, end),)
        return ((self.came.ago, end), (self.back.ago, self.last))

    def details(self, clock: Clock) -> dict[str, Any]:
        """What is stated of it on the day it comes."""
        earliest, latest = self.born if isinstance(self.born, tuple) else (self.born, self.born)
        return {
            "name": self.name,
            "sex": self.sex,
            "sex_sure": self.sure,
            "neutered": self.neutered,
            "born_earliest": None if earliest is None else clock.day(earliest),
            "born_latest": None if latest is None else clock.day(latest),
            "coat": list(self.coat),
            "colour": self.colour,
            "dark_skin": self.dark,
            "identity_marks": self.marks,
            "microchip": self.chip,
            "pregnant": "no" if self.sex == "boar" else "unknown",
            **self.stated,
        }
