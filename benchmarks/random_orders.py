"""Random orders worked out twice: by the engine, and beside it in fractions from the plain numbers.

What is checked of each: that the dose is the one ordered, that no more than a tenth is lost
or gained on the way to the mark (so no tenfold slip), that every amount is said with its
unit and reads back as itself, that a heavier animal never gets less, and that a point
lost in the order is stopped wherever nothing published reaches so far.
"""

import random
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction

from cavyround.engines.dosing import (
    Dose,
    InHand,
    KnownWeight,
    Refusal,
    Syringe,
    syringe_in_hand,
    work_out,
)
from cavyround.facts.animal import AnimalFacts, Born, Known, Sex
from cavyround.facts.orders import Lot, Order, Product
from cavyround.facts.quantities import Activity, Mass, Volume
from cavyround.facts.reading_amounts import read_amount, read_dose, read_strength
from cavyround.facts.schedules import Ending, Schedule, days
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.medicines import Medicine, PublishedDose

NOW = datetime(2026, 3, 3, 9, tzinfo=UTC)
HAND = ("ml_1_by_0_01", "ml_2_5_by_0_1", "ml_5_by_0_2", "ml_10_by_0_5", "ml_20_by_1")
COUNTED = {"mg/kg": "mg", "mcg/kg": "mcg", "units/kg": "units"}
# How many of the first unit make the second.
WAYS = {
    "mg": (("mg", 1), ("mcg", 1000), ("micrograms", 1000), ("g", Fraction(1, 1000))),
    "mcg": (("mcg", 1), ("mg", Fraction(1, 1000))),
    "units": (("units", 1), ("IU", 1)),
}
IN_MG = {"mg": Fraction(1), "mcg": Fraction(1, 1000), "units": Fraction(1)}
SLIPS = (Fraction(10), Fraction(100), Fraction(1000), Fraction(1, 10), Fraction(1, 1000))
SLIP_ONE_IN = 4
SAID = re.compile(r"[0-9][0-9,]*(?:\.[0-9]+)? (?:mg|micrograms?|units?|mL|drops?|g)")
FIGURES_SHOWN = Fraction(1, 1000)
MOST_OFF = Fraction(1, 10)


@dataclass(frozen=True, slots=True, kw_only=True)
class RandomOrder:
    """One order with the plain numbers it was made from, in mg or units and mL."""

    order: Order
    product: Product
    grams: int
    heavier: int
    medicine: Medicine
    per_kg: Fraction
    per_ml: Fraction
    slipped: bool


@dataclass(frozen=True, slots=True)
class Checked:
    """How many became doses and refusals, and what was wrong of how many."""

    doses: int
    refusals: int
    wrong: Counter[str]


def random_orders(count: int, seed: int, book: Knowledge) -> Iterator[RandomOrder]:
    """So many orders, the same for the same seed."""
    chance = random.Random(seed)  # noqa: S311 -- invention, no secret
    rows = [
        (medicine, dose)
        for medicine in book.medicines.formulary
        for dose in medicine.doses
        if dose.unit in COUNTED and dose.routes and "insulin" not in medicine.classes
    ]
    for _ in range(count):
        medicine, dose = chance.choice(rows)
        yield _one(chance, medicine, dose)


def _one(chance: random.Random, medicine: Medicine, dose: PublishedDose) -> RandomOrder:
    unit = COUNTED[dose.unit]
    low, high = Fraction(dose.low), Fraction(dose.high)
    number = _short(low + (high - low) * Fraction(chance.randrange(101), 100))
    slipped = chance.randrange(SLIP_ONE_IN) == 0
    if slipped:
        number *= chance.choice(SLIPS)
    written, size = chance.choice(WAYS[unit])
    per_kg = number * IN_MG[unit]
    grams = chance.randrange(300, 1500)
    per_ml, label = _strength(chance, unit, per_kg * grams / 1000)
    order = Order(
        id="order",
        drug=medicine.name,
        vet="a vet",
        ordered_at=NOW,
        why="to be checked",
        dose=read_dose(f"{_text(number * size)} {written}/kg"),
        route=chance.choice(dose.routes),
        schedule=_schedule(dose),
        animals=frozenset({"boar"}),
        counted_as=medicine.counted_as[0] if medicine.counted_as else "",
        diluent=chance.choice(("", "water")),
    )
    product = Product(
        id="product",
        name="",
        drug=medicine.name,
        strength=read_strength(label),
        counted_as=order.counted_as,
    )
    return RandomOrder(
        order=order,
        product=product,
        grams=grams,
        heavier=grams + chance.randrange(1, 300),
        medicine=medicine,
        per_kg=per_kg,
        per_ml=per_ml,
        slipped=slipped,
    )


def _strength(chance: random.Random, unit: str, needed: Fraction) -> tuple[Fraction, str]:
    """A strength near what is needed for a tenth of a mL to ten, written in one of many ways."""
    wanted = needed / Fraction(chance.choice((5, 10, 20, 50, 100, 200, 500, 1000)), 100)
    per_ml = max(_short(wanted), Fraction(1, 1000))
    if unit == "units":
        return per_ml, f"{_text(per_ml)} units/mL"
    ml = chance.choice((2, 3, 5, 100))
    ways = [
        f"{_text(per_ml)} mg/mL",
        f"{_text(per_ml * 1000)} mcg/mL",
        f"{_text(per_ml * ml)} mg in {ml} mL",
    ]
    if per_ml <= 1000:
        ways.append(f"{_text(per_ml / 10)} % w/v")
    return per_ml, chance.choice(ways)


def _schedule(dose: PublishedDose) -> Schedule:
    first = date(2026, 3, 3)
    if dose.every_hours is None or dose.every_hours.low < 24:
        return Schedule(every=None, ends=Ending(doses=1), first_on=first)
    often = days(int(dose.every_hours.low) // 24)
    return Schedule(every=often, ends=Ending(doses=3), first_on=first)


def _short(number: Fraction) -> Fraction:
    """The number to three figures, as a person would write it."""
    shown = Decimal(number.numerator) / Decimal(number.denominator)
    return Fraction(Decimal(f"{shown:.3g}"))


def _text(number: Fraction) -> str:
    """In plain digits, never cut."""
    exact = Decimal(number.numerator) / Decimal(number.denominator)
    plain = f"{exact:f}"
    return plain.rstrip("0").rstrip(".") if "." in plain else plain


def check(orders: Iterator[RandomOrder], book: Knowledge) -> Checked:
    """Work each out at two weights and count what is wrong."""
    hand = tuple(syringe_in_hand(book, code) for code in HAND)
    doses = refusals = 0
    wrong: Counter[str] = Counter()
    for one in orders:
        result = worked(one, one.grams, hand, book)
        if isinstance(result, Refusal):
            refusals += 1
        else:
            doses += 1
            heavier = worked(one, one.heavier, hand, book)
            wrong.update(faults(one, result, heavier))
        if one.slipped and _nothing_reaches(one) and not _stopped(result):
            wrong["a lost point was not stopped"] += 1
    return Checked(doses, refusals, wrong)


def worked(
    one: RandomOrder, grams: int, hand: Sequence[Syringe], book: Knowledge
) -> Dose | Refusal:
    """What the engine says, for a grown boar of this weight."""
    born = Born(earliest=date(2024, 3, 3), latest=date(2024, 3, 3))
    boar = AnimalFacts(id="boar", sex=Sex.BOAR, pregnant=Known.NO, born=born)
    weight = KnownWeight(grams=Decimal(grams), at=NOW)
    lot = Lot(id="lot", product="product", expires_on=date(2030, 1, 1))
    in_hand = InHand(product=one.product, lot=lot, syringes=tuple(hand))
    return work_out(one.order, boar, weight, in_hand, now=NOW, book=book)


def faults(one: RandomOrder, dose: Dose, heavier: Dose | Refusal) -> Iterator[str]:
    """What is wrong with a dose, and with the one for the heavier animal beside it."""
    expected = one.per_kg * one.grams / 1000
    if dose.active is None or Fraction(dose.active.number) != expected:
        yield "another dose than was ordered"
    if isinstance(dose.active, Activity) != (one.medicine.measured_by == "units"):
        yield "units became milligrams"
    if abs(goes_in(one, dose) - expected) > expected * MOST_OFF:
        yield "a slip on the way to the mark"
    if not _reads_back(dose.amount_words, expected):
        yield "the amount as written is another"
    if not all(SAID.search(words) for words in (dose.measure.words, dose.gives_words)):
        yield "a number without its unit"
    if isinstance(heavier, Dose) and _is_less(one, dose, heavier):
        yield "a heavier animal got less"


def goes_in(one: RandomOrder, dose: Dose) -> Fraction:
    """The drug at the mark, from the mark and the label alone."""
    factor = Fraction(dose.dilution.factor) if dose.dilution else Fraction(1)
    to = dose.measure.to
    return Fraction(to.ml) * one.per_ml / factor if isinstance(to, Volume) else Fraction(0)


def _reads_back(words: str, expected: Fraction) -> bool:
    read = read_amount(words.partition(" (")[0].replace(",", ""))
    if not isinstance(read, Mass | Activity):
        return False
    return abs(Fraction(read.number) - expected) <= expected * FIGURES_SHOWN


def _is_less(one: RandomOrder, dose: Dose, heavier: Dose) -> bool:
    if dose.active is None or heavier.active is None:
        return True
    more = heavier.active.number > dose.active.number
    return not more or goes_in(one, heavier) < goes_in(one, dose)


def _nothing_reaches(one: RandomOrder) -> bool:
    """Whether the ordered dose is ten times some published one, and above or below them all."""
    rows = [row for row in one.medicine.doses if row.unit in COUNTED]
    rows = [row for row in rows if not row.routes or one.order.route in row.routes]
    sizes = [IN_MG[COUNTED[row.unit]] for row in rows]
    pairs = [(Fraction(r.low) * s, Fraction(r.high) * s) for r, s in zip(rows, sizes, strict=True)]
    above = all(one.per_kg > high for _, high in pairs)
    below = all(one.per_kg < low for low, _ in pairs)
    if len(rows) < len([row for row in one.medicine.doses if one.order.route in row.routes]):
        return False  # a range counted another way may reach it
    return (above and any(one.per_kg >= 10 * low for low, _ in pairs)) or (
        below and any(10 * one.per_kg <= high for _, high in pairs)
    )


def _stopped(result: Dose | Refusal) -> bool:
    """An amount nobody could read is not worked out either."""
    return isinstance(result, Refusal) and bool({"tenfold", "unknown_unit"} & set(result.codes))
