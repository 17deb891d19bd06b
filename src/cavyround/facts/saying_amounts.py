"""Amounts as they are written for people: 0.4 mg, never .4 or 4.0; micrograms in full.

The rules are those of the published lists of error-prone abbreviations: a nought before
the point, none after the last figure, a space before the unit, a comma from 1,000 on.
"""

from decimal import ROUND_HALF_UP, Decimal

from cavyround.facts.quantities import (
    EXACT,
    Activity,
    Amount,
    Drops,
    DropSize,
    Mass,
    MassUnit,
    Pieces,
    Volume,
)
from cavyround.facts.strengths import DosePer, Mix, Per, PerMass, PerPiece, PerVolume, Strength

FIGURES = 4
COMMAS_FROM = 1000
HOURS_IN_DAY = Decimal(24)
IN_MICROGRAMS_TOO_BELOW_MG = Decimal("0.1")


def number_words(number: Decimal, figures: int = FIGURES) -> str:
    """A number with a nought before the point and none at its end, to so many figures.

    Whole numbers keep all their figures; more than ``figures`` are cut after the point only.
    """
    if not number:
        return "0"
    places = max(0, figures - 1 - number.adjusted())
    rounded = number.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP, EXACT)
    plain = f"{rounded:,f}" if abs(rounded) >= COMMAS_FROM else f"{rounded:f}"
    return plain.rstrip("0").rstrip(".") if "." in plain else plain


def is_exact(number: Decimal, figures: int = FIGURES) -> bool:
    """Whether ``number_words`` says all of it."""
    return Decimal(number_words(number, figures).replace(",", "")) == number


def amount_words(amount: Amount) -> str:
    """An amount with its unit: ``0.32 mg``, ``100 units``, ``0.5 mL``, ``12 drops``."""
    match amount:
        case Mass():
            return mass_words(amount)
        case Volume(ml):
            return f"{number_words(ml)} mL"
        case Activity(units):
            return _counted(units, "unit")
        case Drops(count):
            return _counted(count, "drop")
        case Pieces(count):
            return _counted(count, "piece")


def mass_words(mass: Mass) -> str:
    """In mg, whatever it was ordered in, so that two amounts are compared at a glance."""
    return f"{number_words(mass.mg)} mg"


def both_units_words(amount: Amount) -> str:
    """As ``amount_words``; a very small mass in micrograms too, written out."""
    words = amount_words(amount)
    if isinstance(amount, Mass) and amount.mg < IN_MICROGRAMS_TOO_BELOW_MG:
        return f"{words} ({_counted(amount.in_unit(MassUnit.MCG), 'microgram')})"
    return words


def _counted(number: Decimal, what: str) -> str:
    return f"{number_words(number)} {what}" + ("" if number == 1 else "s")


def dose_words(dose: DosePer | Mix) -> str:
    """``0.4 mg/kg``, ``0.025 mg per animal``, ``100 mL of 2 mg/mL``."""
    if isinstance(dose, Mix):
        return f"{amount_words(dose.volume)} of {strength_words(dose.strength)}"
    amount = amount_words(dose.amount)
    return f"{amount}/kg" if dose.per is Per.KG else f"{amount} per animal"


def strength_words(strength: Strength) -> str:
    """``10 mg/mL``, ``18.7 mg/g``, ``0.15 mg in a pipette``."""
    match strength:
        case PerVolume():
            per_ml = type(strength.active)(strength.per_ml)
            return f"{amount_words(per_ml)}/mL"
        case PerMass():
            return f"{number_words(strength.mg_per_g)} mg/g"
        case PerPiece(active, piece):
            return f"{amount_words(active)} in a {piece}"


def drop_size_words(size: DropSize) -> str:
    """``30 drops make 1 mL``."""
    return f"{amount_words(Drops(size.drops))} make {amount_words(size.volume)}"


def hours_words(hours: Decimal, to_hours: Decimal | None = None) -> str:
    """A time between doses: ``every 12 hours``, ``every 7 to 14 days``; never an abbreviation."""
    last = hours if to_hours is None else to_hours
    in_days = last > HOURS_IN_DAY and not hours % HOURS_IN_DAY and not last % HOURS_IN_DAY
    size, what = (HOURS_IN_DAY, "day") if in_days or hours == last == HOURS_IN_DAY else (1, "hour")
    low, high = number_words(hours / size), number_words(last / size)
    if low != high:
        return f"every {low} to {high} {what}s"
    return f"every {what}" if low == "1" else f"every {low} {what}s"
