"""How a dose is measured: the mark on a syringe, thinned first where it must be."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from cavyround.engines.dosing.diluting import dilution_for
from cavyround.engines.dosing.given import Syringe
from cavyround.engines.dosing.measuring import (
    Rounding,
    Unmeasured,
    count_drops,
    count_pieces,
    error_words,
    measure_volume,
    weigh_out,
)
from cavyround.engines.dosing.resolving import Resolved
from cavyround.engines.dosing.said import Dilution, Direction, Findings, Measure, Reason
from cavyround.facts.orders import Order, Product
from cavyround.facts.quantities import Activity, Drops, Mass, Pieces, Volume, over
from cavyround.facts.saying_amounts import amount_words, number_words
from cavyround.facts.strengths import PerPiece, PerVolume
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.medicines import Medicine

ADD_SYRINGE = "Add a syringe you have to the list, or ask the vet how to split it."
WEAKER = "Ask the vet for a weaker liquid, or with what this one may be thinned."
HUNDRED = Decimal(100)


@dataclass(frozen=True, slots=True, kw_only=True)
class Handed:
    """What is measured, thinned where it had to be, and a better way where there is one.

    ``measure`` None: it cannot be measured; ``instead`` then shows how thinning would help.
    """

    measure: Measure | None = None
    dilution: Dilution | None = None
    instead: Dilution | None = None


def hand(
    resolved: Resolved,
    order: Order,
    product: Product,
    syringes: Sequence[Syringe],
    rounding: Rounding,
    *,
    book: Knowledge,
) -> tuple[Handed, Findings]:
    """How to measure a dose, or why it cannot be measured with what is in the hand."""
    found = Findings()
    match resolved.product:
        case Volume() as volume:
            return _drawn(volume, order, product, syringes, rounding, book)
        case Mass() as paste:
            measure = weigh_out(paste, rounding, book=book)
            found.say("A syringe marked in mL does not measure grams: weigh it out.")
        case Drops() as drops:
            measure = count_drops(drops, rounding, book=book)
        case Pieces() as pieces:
            strength = product.strength
            piece = strength.piece if isinstance(strength, PerPiece) else "piece"
            measure = count_pieces(pieces, piece)
    if isinstance(measure, Unmeasured):
        found.reasons.append(_not_whole(resolved))
        return Handed(), found
    _warn(measure, found, book)
    return Handed(measure=measure), found


def _drawn(
    volume: Volume,
    order: Order,
    product: Product,
    syringes: Sequence[Syringe],
    rounding: Rounding,
    book: Knowledge,
) -> tuple[Handed, Findings]:
    found = Findings()
    medicine = book.medicines.named(order.drug)
    fitting = _fitting(syringes, medicine, product, found)
    if not fitting:
        words = "No syringe for this medicine is in the hand."
        found.reasons.append(_against("no_syringe", words, "Say which syringes you have."))
        return Handed(), found
    measure = measure_volume(volume, fitting, rounding, book=book)
    if isinstance(measure, Unmeasured) and not measure.holds:
        words = f"No syringe in the hand holds {amount_words(volume)}."
        found.reasons.append(_against("no_syringe_holds_it", words, ADD_SYRINGE))
        return Handed(), found
    warn = book.number("dose_round_warn_pct")
    if isinstance(measure, Measure) and abs(measure.error_pct) <= warn:
        _least_part(measure, fitting, found, book)
        return Handed(measure=measure), found
    thinned = None
    if isinstance(product.strength, PerVolume):
        diluent = order.diluent.strip()
        thinned = dilution_for(volume, product.strength, diluent, fitting, rounding, book=book)
    if thinned is not None and thinned.diluent:
        return Handed(measure=thinned.measure, dilution=thinned), found
    if isinstance(measure, Measure):
        _warn(measure, found, book)
        _least_part(measure, fitting, found, book)
        return Handed(measure=measure, instead=thinned), found
    found.reasons.append(_too_small(volume, measure))
    return Handed(instead=thinned), found


def _fitting(
    syringes: Sequence[Syringe], medicine: Medicine | None, product: Product, found: Findings
) -> list[Syringe]:
    """The syringes made for this medicine; one for insulin is for insulin of its strength only."""
    classes = set(medicine.classes) if medicine else set()
    own = [one for one in syringes if one.only_for and one.only_for in classes]
    if any(one.only_for and one.only_for not in classes for one in syringes):
        found.say("The marks of an insulin syringe are units, not mL: never for another medicine.")
    if "insulin" in classes:
        return [one for one in own if _counts_units(one, product)]
    return [one for one in syringes if not one.only_for]


def _counts_units(syringe: Syringe, product: Product) -> bool:
    strength = product.strength
    if not isinstance(strength, PerVolume) or not isinstance(strength.active, Activity):
        return False
    return strength.per_ml == over(Decimal(1), syringe.mark_ml) == HUNDRED


def _warn(measure: Measure, found: Findings, book: Knowledge) -> None:
    if abs(measure.error_pct) > book.number("dose_round_warn_pct"):
        found.say(f"The mark is off by more than a twentieth: {error_words(measure)}.")


def _least_part(
    measure: Measure, syringes: Sequence[Syringe], found: Findings, book: Knowledge
) -> None:
    holds = next(one.holds_ml for one in syringes if one.code == measure.device)
    least = book.number("dose_syringe_least_part_pct")
    if measure.to.number * HUNDRED < least * holds:
        words = f"Less than {number_words(least)} % of the syringe is measured badly"
        found.say(f"{words}: draw it up slowly and look at the mark twice.", ("CP",))


def _too_small(volume: Volume, unmeasured: Unmeasured) -> Reason:
    words = f"{amount_words(volume)} is too little to measure with the syringes in the hand"
    best = unmeasured.best
    if best is not None and best.direction is Direction.EXACT:
        words += ": it lies on a mark, but so few marks are too easily misread"
    elif best is not None and best.to.number:
        words += f": the nearest mark is {error_words(best)}"
    return _against("too_small_to_measure", f"{words}.", WEAKER)


def _not_whole(resolved: Resolved) -> Reason:
    said = amount_words(resolved.product)
    if isinstance(resolved.product, Pieces):
        words = f"It would take {said}, and a pipette, tube, tablet or implant is given whole."
        do = "Ask the vet for one that holds the dose, or for a liquid."
        return _against("pieces_not_whole", words, do)
    return _against("too_small_to_measure", f"{said} cannot be measured well enough.", WEAKER)


def _against(code: str, words: str, do: str) -> Reason:
    return Reason(code=code, words=words, do=do, may="nobody")
