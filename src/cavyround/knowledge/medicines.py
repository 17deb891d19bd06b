"""What is published about medicines in guinea pigs, and how sure each number is.

``seen``: the number was read in the source named, for guinea pigs. ``memory``: the source
is named from memory and was not read. ``unverified``: seen, but not to be built on (a lay
page, another species, a layout that had to be guessed). Only ``seen`` may ever be called
"inside the published range".
"""

import re
from collections.abc import Iterable, Mapping
from decimal import Decimal
from functools import cached_property
from typing import Literal

from pydantic import Field, field_validator, model_validator

from cavyround.knowledge.conditions import Strict, Text
from cavyround.knowledge.facts_of_trade import Span
from cavyround.knowledge.giving import Route, SyringeKind
from cavyround.knowledge.medicine_names import finding, folded, is_found
from cavyround.knowledge.sureness import May, Sourced, Sure

DoseUnit = Literal[
    "mg/kg",
    "mcg/kg",
    "units/kg",
    "mL/kg",
    "mL/kg/day",
    "mg/animal",
    "mcg/animal",
    "units/animal",
    "mL/animal",
    "% w/v",
    "% w/w",
    "g/L",
]


class PublishedDose(Sourced):
    """One published dose: never averaged with another. No routes: its source does not say.

    ``every_hours`` is how often; left out where the source gives single doses or no time.
    """

    low: Decimal = Field(gt=0)
    high: Decimal = Field(gt=0)
    unit: DoseUnit
    routes: tuple[str, ...] = ()
    every_hours: Span | None = None
    course: str = ""
    sure: Sure
    note: str = ""

    @model_validator(mode="after")
    def _runs_upwards(self) -> "PublishedDose":
        if self.high < self.low:
            msg = f"a range runs upwards: {self.low} to {self.high}"
            raise ValueError(msg)
        if self.every_hours is not None and not (0 < self.every_hours.low <= self.every_hours.high):
            msg = f"a range runs upwards: {self.every_hours.low} to {self.every_hours.high} hours"
            raise ValueError(msg)
        if self.sure == "seen" and not self.routes and "% " not in self.unit:
            msg = "a dose whose route nobody states is not `seen`"
            raise ValueError(msg)
        return self


class DoseStop(Sourced):
    """An amount above which a dose is stopped, whatever is published."""

    above: Decimal = Field(gt=0)
    unit: DoseUnit
    may: May
    words: Text
    sure: Sure


class AnimalLimit(Sourced):
    """For which animals a medicine is not, and who may decide otherwise.

    ``value`` is the age in days or the weight in grams of the two ``below`` limits.
    No routes: by every route.
    """

    when: Literal["pregnant", "nursing", "below_days", "below_g"]
    value: Decimal | None = Field(default=None, gt=0)
    routes: tuple[str, ...] = ()
    may: May
    words: Text
    sure: Sure

    @model_validator(mode="after")
    def _below_what(self) -> "AnimalLimit":
        if self.when.startswith("below") != (self.value is not None):
            msg = "`value` goes with below_days and below_g, and only with them"
            raise ValueError(msg)
        return self


class MedicineCaution(Sourced):
    """A caution shown beside a dose."""

    words: Text
    sure: Sure


class Medicine(Sourced):
    """A medicine as the formulary knows it. ``routes`` are those it is published or labelled for.

    ``counted_as`` names the ways its dose is counted where there are several (the whole
    of a combined product, or one part): then order and label must both say which.
    ``weight_within_days`` is how old a weighing may be, where other than usual.
    ``second_person`` says why two people work it out, empty where they need not.
    """

    id: Text
    name: Text
    also: tuple[Text, ...] = ()
    classes: tuple[str, ...] = Field(min_length=1)
    routes: tuple[str, ...] = Field(min_length=1)
    measured_by: Literal["mass", "units", "volume", "wash"] = "mass"
    counted_as: tuple[Text, ...] = ()
    doses: tuple[PublishedDose, ...] = ()
    stops: tuple[DoseStop, ...] = ()
    limits: tuple[AnimalLimit, ...] = ()
    cautions: tuple[MedicineCaution, ...] = ()
    second_person: str = ""
    controlled: bool = False
    weight_within_days: int | None = Field(default=None, ge=1)
    round_down: bool = False


class Danger(Sourced):
    """A substance that harms guinea pigs: its names, and parts of names that give it away.

    Names are looked for as whole words, ``parts`` inside words (``^cef``: where one begins).
    No routes: by every route, also in eye drops, ear drops and ointments.
    """

    id: Text
    names: tuple[Text, ...] = Field(min_length=1)
    parts: tuple[Text, ...] = ()
    classes: tuple[str, ...] = ()
    routes: tuple[str, ...] = ()
    may: Literal["nobody", "vet", "carer"]
    words: Text
    sure: Sure

    @cached_property
    def pattern(self) -> re.Pattern[str]:
        """Finds it in a folded name."""
        return re.compile(finding(self.names, self.parts))


class DrugClass(Sourced):
    """Medicines that work alike. ``not_with``: classes never given beside it."""

    words: Text
    one_at_a_time: bool = True
    not_with: tuple[str, ...] = ()


class PrintedWrongly(Strict):
    """A dose as a source misprints it, so that it is known when it comes back as an order."""

    value: Decimal = Field(gt=0)
    unit: DoseUnit


class Trap(Sourced):
    """A trap of units, salts or labels, with what to look for."""

    id: Text
    medicine: str = ""
    words: Text
    printed: PrintedWrongly | None = None

    @model_validator(mode="after")
    def _of_a_medicine(self) -> "Trap":
        if self.printed is not None and not self.medicine:
            msg = "a misprint names its `medicine`"
            raise ValueError(msg)
        return self


class Abbreviation(Sourced):
    """A way of writing that is misread, never used here. ``pattern`` finds it in a text."""

    written: Text
    pattern: Text
    taken_for: Text
    write: Text
    sure: Sure

    @field_validator("pattern")
    @classmethod
    def _can_be_searched(cls, given: str) -> str:
        try:
            re.compile(given)
        except re.error as wrong:
            msg = f"cannot be searched for: {wrong}"
            raise ValueError(msg) from None
        return given


class Medicines(Strict):
    """All that is known about medicines."""

    formulary: tuple[Medicine, ...]
    dangers: tuple[Danger, ...]
    classes: Mapping[str, DrugClass]
    routes: Mapping[str, Route]
    syringes: Mapping[str, SyringeKind]
    traps: tuple[Trap, ...]
    abbreviations: tuple[Abbreviation, ...]

    @cached_property
    def by_name(self) -> dict[str, Medicine]:
        """Every medicine by each of its folded names and its id."""
        return {
            folded(name): medicine
            for medicine in self.formulary
            for name in (medicine.id, medicine.name, *medicine.also)
        }

    @cached_property
    def _routes_by_name(self) -> dict[str, str]:
        return {
            name: code
            for code, route in self.routes.items()
            for name in (code, route.words, *route.read_as)
        }

    def named(self, name: str) -> Medicine | None:
        """The medicine of this name, None where the formulary has none."""
        return self.by_name.get(folded(name))

    def route_named(self, name: str) -> str:
        """The code of a route by its code, its words or what people write; empty for none."""
        return self._routes_by_name.get(name.strip(), "")

    @cached_property
    def _any_danger(self) -> re.Pattern[str]:
        return re.compile("|".join(danger.pattern.pattern for danger in self.dangers))

    def dangers_in(self, names: Iterable[str]) -> tuple[Danger, ...]:
        """Every danger that one of the names gives away, by whatever route."""
        # Most names hold none: one search for all of them says so.
        searched = [name for name in map(folded, names) if is_found(self._any_danger, name)]
        return tuple(
            danger
            for danger in self.dangers
            if any(is_found(danger.pattern, name) for name in searched)
        )

    def classes_of(self, names: Iterable[str]) -> frozenset[str]:
        """The classes of all medicines and dangers these names mean."""
        names = tuple(names)
        medicines = [medicine for name in names if (medicine := self.named(name)) is not None]
        classes = [medicine.classes for medicine in medicines]
        classes += [danger.classes for danger in self.dangers_in(names)]
        return frozenset(one for several in classes for one in several)
