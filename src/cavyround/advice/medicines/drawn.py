"""What a worked-out dose takes from the shelf, and what is kept of how it was worked out."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from cavyround.advice.medicines.working import WorkedDose
from cavyround.engines.dosing import Dose
from cavyround.facts.orders import Order
from cavyround.facts.quantities import Drops, Mass, MassUnit, Pieces, Volume
from cavyround.facts.saying_amounts import amount_words, strength_words
from cavyround.facts.strengths import Mix

SAME_UNIT = {Volume: "mL", Mass: "g", Pieces: "pieces", Drops: "drops"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """The fields of a dose entry that follow from the worked-out dose."""

    amount: Decimal | None
    unit: str
    lot: UUID | None
    syringe: str
    weight_g: Decimal | None
    weighed_at: datetime | None
    worked: dict[str, Any]


def drawn_of(worked: WorkedDose) -> Drawn:
    """What goes with a dose that was given as it was worked out.

    Of a liquid that is thinned it is the strong liquid that is taken for it. A refusal has no
    amount, and its reasons are kept.
    """
    result = worked.result
    amount, unit = _amount(result) if isinstance(result, Dose) else (None, "")
    return Drawn(
        amount=amount,
        unit=unit,
        lot=worked.lot.pk if worked.lot else None,
        syringe=result.measure.device if isinstance(result, Dose) else "",
        weight_g=worked.weight.grams,
        weighed_at=worked.weight.at,
        worked=_kept(worked),
    )


def _amount(dose: Dose) -> tuple[Decimal | None, str]:
    if dose.dilution is not None:
        return dose.dilution.stock.ml, SAME_UNIT[Volume]
    to = dose.measure.to
    number = to.in_unit(MassUnit.G) if isinstance(to, Mass) else to.number
    return number, SAME_UNIT[type(to)]


def draw_words(order: Order, dose: Dose) -> str:
    """What to draw up, so that a thinned dose is never taken for one of the strong liquid."""
    if dose.dilution is None:
        return dose.measure.words
    if is_wash(order):
        return f"make up {mark_words(order, dose)}"
    return f"thin it first; then {dose.dilution.then_words}"


def is_wash(order: Order) -> bool:
    """Whether it is made up to be put on the animal, and not drawn up to be given."""
    return isinstance(order.dose, Mix)


def mark_words(order: Order, dose: Dose) -> str:
    """How much it is in the fewest words: of a wash what is made up, of a thinned liquid that.

    The mark of a thinned liquid says so wherever it stands: drawn from the bottle it kills.
    """
    if dose.dilution is None:
        return amount_words(dose.measure.to)
    if is_wash(order):
        return f"{amount_words(dose.dilution.volume)} of {strength_words(dose.dilution.strength)}"
    return f"{amount_words(dose.measure.to)} thinned"


def device_words(order: Order, dose: Dose) -> str:
    """What it is measured with, and of which liquid where there are two."""
    words = dose.measure.device_words
    if dose.dilution is None:
        return words
    return f"{words}, of the {'concentrate' if is_wash(order) else 'thinned liquid'}"


def _kept(worked: WorkedDose) -> dict[str, Any]:
    result = worked.result
    if isinstance(result, Dose):
        return {
            "mark": draw_words(worked.order, result),
            "amount": result.amount_words,
            "gives": result.gives_words,
            "by_hand": result.by_hand,
            "published": result.published.verdict.value,
            "second": list(worked.second),
            "set_aside": [reason.key for reason, _ in result.set_aside],
            "knowledge": result.knowledge_version,
        }
    return {
        "refused": [reason.words for reason in result.reasons],
        "knowledge": result.knowledge_version,
    }
