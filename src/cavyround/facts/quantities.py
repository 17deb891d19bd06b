"""Amounts that carry their unit: mass, units of activity, volume, drops, whole pieces.

The types are our own and closed. A general library of units reads far more than a vet's
order may say (``M``, ``mcg`` as a prefix, ``%`` alone) and works in floats unless told
otherwise; here a milligram cannot be added to a millilitre without the type checker
objecting, and there is one way in: :mod:`cavyround.facts.reading_amounts`.
The tests hold the conversions against such a library.

All arithmetic is in decimals of 50 digits. Conversions between units are by powers of ten
and exact; nothing is rounded before the one rounding to a mark on a syringe.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Context, Decimal, DivisionByZero, InvalidOperation, Overflow
from enum import StrEnum
from typing import Self

# Its own context: what other code does to the ambient one cannot reach a dose.
EXACT = Context(
    prec=50, rounding=ROUND_HALF_EVEN, traps=[InvalidOperation, DivisionByZero, Overflow]
)
# By definition of the international pound.
GRAMS_PER_POUND = Decimal("453.59237")
GRAMS_PER_KG = Decimal(1000)


def times(one: Decimal, other: Decimal) -> Decimal:
    """The product to 50 digits."""
    return EXACT.multiply(one, other)


def over(one: Decimal, other: Decimal) -> Decimal:
    """The quotient to 50 digits; DivisionByZero for nought below."""
    return EXACT.divide(one, other)


def kilograms(grams: Decimal) -> Decimal:
    """A body weight in kg, exactly a thousandth of its grams."""
    return times(grams, Decimal("0.001"))


class MassUnit(StrEnum):
    """The units a mass is said in."""

    G = "g"
    MG = "mg"
    MCG = "mcg"


class VolumeUnit(StrEnum):
    """The units a volume is said in."""

    L = "L"
    ML = "mL"


MG_IN = {MassUnit.G: Decimal(1000), MassUnit.MG: Decimal(1), MassUnit.MCG: Decimal("0.001")}
ML_IN = {VolumeUnit.L: Decimal(1000), VolumeUnit.ML: Decimal(1)}
MG_PER = {MassUnit.G: Decimal("0.001"), MassUnit.MG: Decimal(1), MassUnit.MCG: Decimal(1000)}
ML_PER = {VolumeUnit.L: Decimal("0.001"), VolumeUnit.ML: Decimal(1)}


def _refuse_odd(number: Decimal, what: str) -> None:
    if not number.is_finite() or number < 0:
        msg = f"{what} is a number and not less than nought: {number}"
        raise ValueError(msg)


@dataclass(frozen=True, slots=True, order=True)
class Mass:
    """A mass of drug or of product, kept in milligrams."""

    mg: Decimal

    def __post_init__(self) -> None:
        """Refuse what is no amount."""
        _refuse_odd(self.mg, "a mass")

    @classmethod
    def of(cls, number: Decimal, unit: MassUnit) -> Self:
        """So many grams, milligrams or micrograms."""
        return cls(times(number, MG_IN[unit]))

    def in_unit(self, unit: MassUnit) -> Decimal:
        """The same mass as a number of that unit."""
        return times(self.mg, MG_PER[unit])

    @property
    def number(self) -> Decimal:
        """In milligrams."""
        return self.mg

    def scaled(self, factor: Decimal) -> Self:
        """So many times as much."""
        return type(self)(times(self.mg, factor))


@dataclass(frozen=True, slots=True, order=True)
class Volume:
    """A volume of product, kept in millilitres."""

    ml: Decimal

    def __post_init__(self) -> None:
        """Refuse what is no amount."""
        _refuse_odd(self.ml, "a volume")

    @classmethod
    def of(cls, number: Decimal, unit: VolumeUnit) -> Self:
        """So many litres or millilitres."""
        return cls(times(number, ML_IN[unit]))

    def in_unit(self, unit: VolumeUnit) -> Decimal:
        """The same volume as a number of that unit."""
        return times(self.ml, ML_PER[unit])

    @property
    def number(self) -> Decimal:
        """In millilitres."""
        return self.ml

    def scaled(self, factor: Decimal) -> Self:
        """So many times as much."""
        return type(self)(times(self.ml, factor))


@dataclass(frozen=True, slots=True, order=True)
class Activity:
    """International units of a drug; never turned into a mass, as that differs by drug."""

    units: Decimal

    def __post_init__(self) -> None:
        """Refuse what is no amount."""
        _refuse_odd(self.units, "an activity")

    @property
    def number(self) -> Decimal:
        """In units."""
        return self.units

    def scaled(self, factor: Decimal) -> Self:
        """So many times as much."""
        return type(self)(times(self.units, factor))


@dataclass(frozen=True, slots=True, order=True)
class Drops:
    """A number of drops; a volume only by a stated :class:`DropSize`."""

    count: Decimal

    def __post_init__(self) -> None:
        """Refuse what is no amount."""
        _refuse_odd(self.count, "a number of drops")

    @property
    def number(self) -> Decimal:
        """How many."""
        return self.count

    def scaled(self, factor: Decimal) -> Self:
        """So many times as many."""
        return type(self)(times(self.count, factor))


@dataclass(frozen=True, slots=True, order=True)
class Pieces:
    """Pipettes, tubes, tablets or implants; given whole."""

    count: Decimal

    def __post_init__(self) -> None:
        """Refuse what is no amount."""
        _refuse_odd(self.count, "a number of pieces")

    @property
    def number(self) -> Decimal:
        """How many."""
        return self.count

    def scaled(self, factor: Decimal) -> Self:
        """So many times as many."""
        return type(self)(times(self.count, factor))


Amount = Mass | Activity | Volume | Drops | Pieces
Active = Mass | Activity


@dataclass(frozen=True, slots=True)
class DropSize:
    """So many drops make so much: what the dropper's own label states."""

    drops: Decimal
    volume: Volume

    def __post_init__(self) -> None:
        """Refuse a drop of no size."""
        if not self.drops.is_finite() or self.drops <= 0 or self.volume.ml <= 0:
            msg = "a drop has a size"
            raise ValueError(msg)

    def volume_of(self, drops: Drops) -> Volume:
        """What so many drops come to."""
        return Volume(over(times(drops.count, self.volume.ml), self.drops))

    def drops_in(self, volume: Volume) -> Drops:
        """How many drops make the volume, not rounded."""
        return Drops(over(times(volume.ml, self.drops), self.volume.ml))
