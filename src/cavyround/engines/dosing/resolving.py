"""From what is ordered to what is taken from the bottle: drug, volume, paste, drops or pieces."""

from dataclasses import dataclass
from decimal import Decimal

from cavyround.engines.dosing.said import Findings, Measured, Reason
from cavyround.facts.orders import Product
from cavyround.facts.quantities import (
    Active,
    Activity,
    Amount,
    Drops,
    DropSize,
    Mass,
    Pieces,
    Volume,
    over,
    times,
)
from cavyround.facts.reading_amounts import NotRead
from cavyround.facts.saying_amounts import amount_words, strength_words
from cavyround.facts.strengths import PerMass, PerPiece, PerVolume, Strength
from cavyround.knowledge.medicines import Medicine

GRAM = Decimal("0.001")
DROPPED = frozenset({"in_eye", "in_ear"})
READ_LABEL = "Read the strength on the label, with its unit, and write it down."


@dataclass(frozen=True, slots=True, kw_only=True)
class Resolved:
    """One dose for one animal, unrounded. ``volume`` None: the product has none that is known."""

    ordered: Amount
    active: Active | None
    product: Measured
    volume: Volume | None


def resolve(
    ordered: Amount, product: Product, medicine: Medicine | None, route: str
) -> tuple[Resolved | None, Findings]:
    """What so much comes to in this product, or every reason why nobody can say."""
    strength = None if isinstance(product.strength, NotRead) else product.strength
    drop = product.drop if isinstance(product.drop, DropSize) else None
    match ordered:
        case Mass() | Activity():
            resolved = _from_active(ordered, strength, product, drop if route in DROPPED else None)
        case Volume():
            resolved = _from_volume(ordered, strength, product, medicine)
        case Drops():
            resolved = _from_drops(ordered, strength, drop, medicine)
        case Pieces():
            resolved = _from_pieces(ordered, strength)
    if isinstance(resolved, Resolved):
        return resolved, Findings()
    # What could not be read has its own reason already.
    read = product.strength if resolved.code == "no_strength" else product.drop
    unread = isinstance(read, NotRead)
    return None, Findings(reasons=[] if unread else [resolved])


def _from_active(
    wanted: Active, strength: Strength | None, product: Product, drop: DropSize | None
) -> Resolved | Reason:
    if strength is None:
        return _no_strength("The strength on the label is not known.")
    if type(wanted) is not type(strength.active):
        return _unlike(wanted, strength)
    match strength:
        case PerVolume():
            volume = strength.volume_of(wanted)
            liquid = volume if drop is None else drop.drops_in(volume)
            return Resolved(ordered=wanted, active=wanted, product=liquid, volume=volume)
        case PerPiece():
            pieces = strength.pieces_of(wanted)
            return Resolved(ordered=wanted, active=wanted, product=pieces, volume=None)
        case PerMass():
            paste = strength.paste_of(Mass(wanted.number))
            known = _volume_of_paste(paste, product.g_per_ml)
            measured = paste if known is None else known
            return Resolved(ordered=wanted, active=wanted, product=measured, volume=known)


def _volume_of_paste(paste: Mass, g_per_ml: Decimal | None) -> Volume | None:
    # A syringe is marked in mL; without a stated density it measures no gram of paste.
    return None if g_per_ml is None else Volume(over(times(paste.mg, GRAM), g_per_ml))


def _from_volume(
    volume: Volume, strength: Strength | None, product: Product, medicine: Medicine | None
) -> Resolved | Reason:
    active: Active | None = None
    match strength:
        case PerVolume():
            active = strength.active_in(volume)
        case PerMass() if product.g_per_ml is not None:
            grams = times(volume.ml, product.g_per_ml)
            active = strength.active_in(Mass(times(grams, Decimal(1000))))
        case PerMass() | PerPiece():
            return _unlike(volume, strength)
        case None if medicine is None or medicine.measured_by != "volume":
            return _no_strength("An order in mL says nothing without the strength on the label.")
    return Resolved(ordered=volume, active=active, product=volume, volume=volume)


def _from_drops(
    drops: Drops, strength: Strength | None, size: DropSize | None, medicine: Medicine | None
) -> Resolved | Reason:
    if size is None:
        return Reason(
            code="drop_size_unknown",
            words="A drop has no size here: the label states none.",
            do="Ask the vet for the amount in mL, or write down the drop size the label states.",
            may="nobody",
        )
    volume = size.volume_of(drops)
    if isinstance(strength, PerVolume):
        active = strength.active_in(volume)
        return Resolved(ordered=drops, active=active, product=drops, volume=volume)
    if strength is not None:
        return _unlike(drops, strength)
    if medicine is None or medicine.measured_by != "volume":
        return _no_strength("An order in drops says nothing without the strength on the label.")
    return Resolved(ordered=drops, active=None, product=drops, volume=volume)


def _from_pieces(pieces: Pieces, strength: Strength | None) -> Resolved | Reason:
    if isinstance(strength, PerPiece):
        active = strength.active_in(pieces)
        return Resolved(ordered=pieces, active=active, product=pieces, volume=None)
    if strength is not None:
        return _unlike(pieces, strength)
    return _no_strength("How much one piece holds is not known.")


def _no_strength(words: str) -> Reason:
    return Reason(code="no_strength", words=words, do=READ_LABEL, may="nobody")


def _unlike(wanted: Amount, strength: Strength) -> Reason:
    words = (
        f"The order is {amount_words(wanted)}, the label {strength_words(strength)}: "
        "the one cannot be turned into the other."
    )
    do = "Ask the vet to order it as the label counts it."
    return Reason(code="unit_unlike_label", words=words, do=do, may="nobody")
