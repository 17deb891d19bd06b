"""A weight as it was written: the number, the unit if one was said, and the grams it comes to."""

import re
import unicodedata
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum

from cavyround.facts.entries import HEAVIEST_G, LIGHTEST_G
from cavyround.web.templatetags.words import GRAMS_PER_OUNCE, OUNCES_PER_POUND

TENTH = Decimal("0.1")
FRACTIONS = "¼½¾⅛⅜⅝⅞"
# A comma before exactly three digits may part the thousands or the decimals: the unit decides.
NUMBER = rf"\d{{1,3}}(?:,\d{{3}})+\.\d+|\d+[.,]\d+|\d+[ ]?[{FRACTIONS}]|\d+|[{FRACTIONS}]"
# "912,4/3/2026" is a weight and a day, "912,4" a weight alone, and "912-3" neither.
ENDS = r"(?!\w|[./-]\d|,\d+(?![\d./-]))"
GRAMS = r"g|gr|grams?|grammes?"
KILOGRAMS = r"kg|kgs|kilos?|kilograms?|kilogrammes?"
POUNDS = r"lbs?\.?|pounds?"
OUNCES = r"oz\.?|ounces?"
AMOUNT = re.compile(
    rf"(?P<pounds>{NUMBER})[ ]*(?:{POUNDS})[ ,]*(?P<ounces>{NUMBER})(?:[ ]*(?:{OUNCES}))?{ENDS}"
    rf"|(?P<number>{NUMBER})[ ]*(?:(?P<g>{GRAMS})|(?P<kg>{KILOGRAMS})"
    rf"|(?P<lb>{POUNDS})|(?P<oz>{OUNCES})){ENDS}"
    rf"|(?P<bare>{NUMBER}){ENDS}",
    re.IGNORECASE,
)
THOUSANDS = re.compile(r"\d{1,3}(,\d{3})+(\.\d+)?")


class Unit(StrEnum):
    """What a number stands for."""

    G = "g"
    KG = "kg"
    LB = "lb"
    OZ = "oz"


IN_GRAMS = {
    Unit.G: Decimal(1),
    Unit.KG: Decimal(1000),
    Unit.LB: GRAMS_PER_OUNCE * OUNCES_PER_POUND,
    Unit.OZ: GRAMS_PER_OUNCE,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """A weight as written. ``unit`` is None where none was said; ``ounces`` stand beside pounds."""

    number: str
    unit: Unit | None = None
    ounces: str = ""
    written: str = ""


@dataclass(frozen=True, slots=True)
class Weight:
    """The grams of an amount, to a tenth; or why there are none, in words."""

    grams: Decimal | None = None
    why: str = ""


def amount_of(found: re.Match[str]) -> Amount:
    """What a match of AMOUNT says."""
    written = found.group().strip()
    if found["pounds"]:
        return Amount(number=found["pounds"], unit=Unit.LB, ounces=found["ounces"], written=written)
    for unit in Unit:
        if found[unit.value]:
            return Amount(number=found["number"], unit=unit, written=written)
    return Amount(number=found["bare"], written=written)


def whole_amount(text: str) -> Amount | None:
    """The amount a text consists of; None where there is anything else in it."""
    found = AMOUNT.fullmatch(text.strip())
    return amount_of(found) if found else None


def weight_of(amount: Amount, unsaid: Unit | None) -> Weight:
    """The grams of an amount; ``unsaid`` is the unit of numbers that say none, if somebody said."""
    unit = amount.unit or unsaid
    if unit is None:
        return Weight(why=f"“{amount.written}” has no unit: say what such numbers are in.")
    number = _decimal(amount.number, unit)
    rest = _decimal(amount.ounces, Unit.OZ) if amount.ounces else Decimal(0)
    if amount.ounces and rest >= OUNCES_PER_POUND:
        return Weight(why=f"“{amount.written}”: 16 oz make a pound, so the ounces go to 15.9.")
    grams = number * IN_GRAMS[unit] + rest * IN_GRAMS[Unit.OZ]
    return _bounded(grams.quantize(TENTH, ROUND_HALF_UP), amount)


def _bounded(grams: Decimal, amount: Amount) -> Weight:
    if grams <= 0:
        return Weight(why=f"“{amount.written}” cannot be a weight: nothing was weighed.")
    if not LIGHTEST_G <= grams <= HEAVIEST_G:
        return Weight(
            why=f"“{amount.written}” is {grams.normalize():,f} g, and no guinea pig weighs that "
            f"({LIGHTEST_G} to {HEAVIEST_G:,} g). Look at the digits and the unit."
        )
    return Weight(grams)


def _decimal(text: str, unit: Unit) -> Decimal:
    """The number a text says. ``1,043 g`` are a thousand and more; ``1,043 kg`` one and a bit."""
    if THOUSANDS.fullmatch(text) and (unit in (Unit.G, Unit.OZ) or "." in text):
        return Decimal(text.replace(",", ""))
    last = text[-1]
    if last in FRACTIONS:
        whole = text[:-1].strip() or "0"
        return Decimal(whole) + Decimal(str(unicodedata.numeric(last)))
    return Decimal(text.replace(",", "."))
