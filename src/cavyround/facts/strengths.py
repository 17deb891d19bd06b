"""How strong a product is, and what an order asks for: so much per kg, per animal, or a mix."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from cavyround.facts.quantities import (
    GRAMS_PER_KG,
    GRAMS_PER_POUND,
    Active,
    Activity,
    Amount,
    Mass,
    Pieces,
    Volume,
    kilograms,
    over,
    times,
)


class Per(StrEnum):
    """What an ordered amount is for: each kilogram, or the whole animal."""

    KG = "kg"
    ANIMAL = "animal"


def _refuse_nothing(*numbers: Decimal) -> None:
    if any(number <= 0 for number in numbers):
        msg = "a strength is so much in so much, both more than nought"
        raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class PerVolume:
    """So much drug in so much liquid, as the label says it: 10 mg/mL, 125 mg in 3 mL."""

    active: Active
    volume: Volume

    def __post_init__(self) -> None:
        """Refuse nothing in something."""
        _refuse_nothing(self.active.number, self.volume.ml)

    @property
    def per_ml(self) -> Decimal:
        """Milligrams or units in a millilitre."""
        return over(self.active.number, self.volume.ml)

    @property
    def unit(self) -> str:
        """How ``per_ml`` is said."""
        return "mg/mL" if isinstance(self.active, Mass) else "units/mL"

    def volume_of(self, wanted: Active) -> Volume:
        """The liquid that holds so much; TypeError where one is mass and the other activity."""
        self._refuse_other_kind(wanted)
        return Volume(over(times(wanted.number, self.volume.ml), self.active.number))

    def active_in(self, volume: Volume) -> Active:
        """What so much of the liquid holds."""
        return type(self.active)(over(times(self.active.number, volume.ml), self.volume.ml))

    def weaker(self, factor: Decimal) -> "PerVolume":
        """The strength once one part is made up to ``factor`` parts."""
        return PerVolume(self.active, self.volume.scaled(factor))

    def is_as_strong_as(self, other: "Strength") -> bool:
        """Whether both hold the same in the same, however written."""
        return (
            isinstance(other, PerVolume)
            and type(self.active) is type(other.active)
            and times(self.active.number, other.volume.ml)
            == times(other.active.number, self.volume.ml)
        )

    def _refuse_other_kind(self, wanted: Active) -> None:
        if type(wanted) is not type(self.active):
            msg = "milligrams and units of activity do not turn into each other"
            raise TypeError(msg)


@dataclass(frozen=True, slots=True)
class PerMass:
    """So much drug in so much paste: 18.7 mg/g."""

    active: Mass
    paste: Mass

    def __post_init__(self) -> None:
        """Refuse nothing in something, and more drug than paste."""
        _refuse_nothing(self.active.mg, self.paste.mg)
        if self.active.mg > self.paste.mg:
            msg = "a paste cannot hold more drug than paste"
            raise ValueError(msg)

    @property
    def mg_per_g(self) -> Decimal:
        """Milligrams in a gram."""
        return over(times(self.active.mg, Decimal(1000)), self.paste.mg)

    def paste_of(self, wanted: Mass) -> Mass:
        """The paste that holds so much."""
        return Mass(over(times(wanted.mg, self.paste.mg), self.active.mg))

    def active_in(self, paste: Mass) -> Mass:
        """What so much paste holds."""
        return Mass(over(times(self.active.mg, paste.mg), self.paste.mg))

    def is_as_strong_as(self, other: "Strength") -> bool:
        """Whether both hold the same in the same, however written."""
        return isinstance(other, PerMass) and times(self.active.mg, other.paste.mg) == times(
            other.active.mg, self.paste.mg
        )


@dataclass(frozen=True, slots=True)
class PerPiece:
    """So much drug in each pipette, tube, tablet or implant."""

    active: Active
    piece: str

    def __post_init__(self) -> None:
        """Refuse an empty piece."""
        _refuse_nothing(self.active.number)

    def pieces_of(self, wanted: Active) -> Pieces:
        """How many hold so much, not rounded; TypeError for the other kind of amount."""
        if type(wanted) is not type(self.active):
            msg = "milligrams and units of activity do not turn into each other"
            raise TypeError(msg)
        return Pieces(over(wanted.number, self.active.number))

    def active_in(self, pieces: Pieces) -> Active:
        """What so many hold."""
        return self.active.scaled(pieces.count)

    def is_as_strong_as(self, other: "Strength") -> bool:
        """Whether both hold the same."""
        return isinstance(other, PerPiece) and self == other


Strength = PerVolume | PerMass | PerPiece


@dataclass(frozen=True, slots=True)
class DosePer:
    """What an order asks for: so much per kg of body weight, or so much per animal."""

    amount: Amount
    per: Per

    def __post_init__(self) -> None:
        """Refuse to give nothing."""
        _refuse_nothing(self.amount.number)

    def for_weight(self, grams: Decimal) -> Amount:
        """The amount for an animal of this weight."""
        if self.per is Per.ANIMAL:
            return self.amount
        return self.amount.scaled(kilograms(grams))


@dataclass(frozen=True, slots=True)
class Mix:
    """A wash or rinse made up to a strength, so much of it: 0.2 % w/v, 100 mL."""

    strength: PerVolume
    volume: Volume

    def __post_init__(self) -> None:
        """Refuse a mix of no volume, or one counted in units."""
        _refuse_nothing(self.volume.ml)
        if isinstance(self.strength.active, Activity):
            msg = "a wash is made up by mass"
            raise TypeError(msg)


def per_kg_from_per_lb(number: Decimal) -> Decimal:
    """A dose per pound as a dose per kg, by the exact pound."""
    return over(times(number, GRAMS_PER_KG), GRAMS_PER_POUND)


def per_lb_from_per_kg(number: Decimal) -> Decimal:
    """A dose per kg as a dose per pound, by the exact pound."""
    return over(times(number, GRAMS_PER_POUND), GRAMS_PER_KG)
