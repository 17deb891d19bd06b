"""What a second person types who works a dose out alone, and what it must be."""

from typing import Any

from cavyround.advice.medicines.drawn import is_wash, mark_words
from cavyround.engines.dosing import Dose, Syringe
from cavyround.facts.orders import Order
from cavyround.facts.quantities import Drops, Mass, MassUnit, Pieces, Volume
from cavyround.facts.saying_amounts import strength_words

UNITS = {Volume: "mL", Mass: "g", Pieces: "pieces", Drops: "drops"}


def typed_of(order: Order, dose: Dose, syringe: Syringe | None) -> dict[str, Any] | None:
    """The unit typed in, of which liquid, the mark, and the amount before it was rounded to it.

    None where no sum leads from order, label and weight to what is drawn: a concentrate so
    strong that it is thinned before a wash is made of it.
    """
    to, dilution = dose.measure.to, dose.dilution
    exact, of = dose.product, ""
    if dilution is not None and is_wash(order):
        if dilution.stock != to:
            return None
        exact, of = to, f"of the concentrate, to make up {mark_words(order, dose)}"
    elif dilution is not None:
        of = f"of the thinned liquid, {strength_words(dilution.strength)}"
        if isinstance(exact, Volume):
            exact = Volume(exact.ml * dilution.factor)
    if type(exact) is not type(to):
        exact = to
    # A barrel marked in units is read in units.
    counted = isinstance(to, Volume) and syringe is not None and syringe.marked_in != UNITS[Volume]
    per = float(syringe.mark_ml) if syringe is not None and counted else 1.0
    return {
        "unit": syringe.marked_in if syringe is not None and counted else UNITS[type(to)],
        "of": of,
        "mark": _number(to) / per,
        "exact": _number(exact) / per,
    }


def _number(amount: Volume | Mass | Drops | Pieces) -> float:
    return float(amount.in_unit(MassUnit.G) if isinstance(amount, Mass) else amount.number)
