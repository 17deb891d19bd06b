"""Published ranges in words and as numbers a dose can be held against."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Context, Decimal
from typing import Literal

from cavyround.engines.dosing.said import Standing
from cavyround.facts.quantities import GRAMS_PER_KG, Activity, Mass, Volume, kilograms, over, times
from cavyround.facts.saying_amounts import hours_words, number_words
from cavyround.facts.schedules import Schedule, Unit
from cavyround.facts.strengths import DosePer, Mix, Per
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.medicines import DoseUnit, PublishedDose

Dimension = Literal["mg", "units", "ml", "mg_per_ml", "mg_per_g"]
Basis = Literal["kg", "animal", "kg_day", "strength"]
HOURS_IN_DAY = Decimal(24)
MORE_OFTEN = "more often than published"
# A source that gives no time between doses says nothing of giving it again.
SINGLE_ONLY = "published as a single dose only"
# An amount that came by way of a division is compared to so many digits.
COMPARED = Context(prec=20)


@dataclass(frozen=True, slots=True)
class Counted:
    """What a unit of the formulary counts, for what, and how large it is."""

    dimension: Dimension
    basis: Basis
    size: Decimal
    words: str


COUNTED: Mapping[DoseUnit, Counted] = {
    "mg/kg": Counted("mg", "kg", Decimal(1), "mg/kg"),
    "mcg/kg": Counted("mg", "kg", Decimal("0.001"), "micrograms/kg"),
    "units/kg": Counted("units", "kg", Decimal(1), "units/kg"),
    "mL/kg": Counted("ml", "kg", Decimal(1), "mL/kg"),
    "mL/kg/day": Counted("ml", "kg_day", Decimal(1), "mL/kg over the day"),
    "mg/animal": Counted("mg", "animal", Decimal(1), "mg for the animal"),
    "mcg/animal": Counted("mg", "animal", Decimal("0.001"), "micrograms for the animal"),
    "units/animal": Counted("units", "animal", Decimal(1), "units for the animal"),
    "mL/animal": Counted("ml", "animal", Decimal(1), "mL for the animal"),
    "% w/v": Counted("mg_per_ml", "strength", Decimal(10), "% w/v"),
    "% w/w": Counted("mg_per_g", "strength", Decimal(10), "% w/w"),
    "g/L": Counted("mg_per_ml", "strength", Decimal(1), "g/L"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A dose as it is held against ranges: its size in every way it can be counted.

    ``sizes`` is per dose for the animal; ``per_day`` how many doses a day, None for a
    single one; ``basis`` what the order says it is for; ``each_kg_only``: of no known
    weight, so that nothing can be said for the whole animal.
    """

    sizes: Mapping[Dimension, Decimal]
    grams: Decimal | None
    per_day: Decimal | None
    basis: Basis
    each_kg_only: bool = False

    def in_unit(self, unit: DoseUnit) -> Decimal | None:
        """The dose as a number of that unit; None where it cannot be counted so."""
        counted = COUNTED[unit]
        size = self.sizes.get(counted.dimension)
        if size is None or (self.each_kg_only and counted.basis == "animal"):
            return None
        number = over(size, counted.size)
        if counted.basis == "kg_day":
            if self.per_day is None:
                return None
            number = times(number, self.per_day)
        if counted.basis in ("kg", "kg_day"):
            if self.grams is None:
                return None
            number = over(number, kilograms(self.grams))
        return COMPARED.plus(number)


def asked(
    dose: DosePer | Mix,
    sizes: Mapping[Dimension, Decimal],
    grams: Decimal | None,
    schedule: Schedule | None,
) -> Asked:
    """The dose of an order, ready to be compared."""
    basis: Basis = "strength"
    if isinstance(dose, DosePer):
        basis = "kg" if dose.per is Per.KG else "animal"
    per_day = doses_per_day(schedule) if schedule else None
    return Asked(sizes=sizes, grams=grams, per_day=per_day, basis=basis)


def asked_per_kg(dose: DosePer, schedule: Schedule | None) -> Asked:
    """A dose per kg for an animal whose weight nobody knows."""
    one_kg = asked(dose, sizes_of(dose.amount), GRAMS_PER_KG, schedule)
    return replace(one_kg, each_kg_only=True)


def sizes_of(*amounts: object) -> dict[Dimension, Decimal]:
    """The numbers of the amounts by what they count; what is None counts nothing."""
    found: dict[Dimension, Decimal] = {}
    for amount in amounts:
        match amount:
            case Mass(mg):
                found["mg"] = mg
            case Activity(units):
                found["units"] = units
            case Volume(ml):
                found["ml"] = ml
    return found


def doses_per_day(schedule: Schedule) -> Decimal | None:
    """How many doses a day while doses are given; None for a single dose."""
    times_of_day = max(1, len(schedule.at))
    if schedule.is_once:
        return Decimal(times_of_day) if times_of_day > 1 and schedule.every is None else None
    if schedule.every is None:
        return None
    if schedule.every.unit is Unit.HOURS:
        return over(HOURS_IN_DAY, Decimal(schedule.every.amount))
    return over(Decimal(times_of_day), Decimal(schedule.every.amount))


def standing(number: Decimal, low: Decimal, high: Decimal) -> Standing:
    """Where a number lies; both ends count as inside."""
    if number < low:
        return Standing.BELOW
    return Standing.ABOVE if number > high else Standing.INSIDE


def hours_between(per_day: Decimal) -> Decimal:
    """The hours from one dose to the next."""
    return COMPARED.plus(over(HOURS_IN_DAY, per_day))


def how_often(row: PublishedDose, per_day: Decimal | None) -> str:
    """How the time between doses compares; empty for a single dose, or where it fits."""
    if per_day is None:
        return ""
    if row.every_hours is None:
        return SINGLE_ONLY
    hours = hours_between(per_day)
    if hours < row.every_hours.low:
        return MORE_OFTEN
    return "less often than published" if hours > row.every_hours.high else ""


def range_words(row: PublishedDose, book: Knowledge) -> str:
    """``0.3 to 0.5 mg/kg by mouth or under the skin, every 14 days``."""
    low, high = number_words(row.low), number_words(row.high)
    words = low if low == high else f"{low} to {high}"
    words += f" {COUNTED[row.unit].words}"
    if row.routes:
        ways = " or ".join(book.medicines.routes[route].words for route in row.routes)
        words += f" {ways}"
    elif "%" not in row.unit:
        words += ", no route stated"
    if row.every_hours is not None:
        often, seldom = row.every_hours.low, row.every_hours.high
        words += f", {hours_words(often, seldom)}"
    return words
