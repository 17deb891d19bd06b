"""The amount of one dose as the phone shows it: its mark, and all it rests on."""

from decimal import Decimal
from typing import Any

from cavyround.advice.medicines.drawn import (
    device_words,
    draw_words,
    drawn_of,
    is_wash,
    mark_words,
)
from cavyround.advice.medicines.working import WorkedDose
from cavyround.engines.courses import Act
from cavyround.engines.dosing import Dose, Refusal
from cavyround.facts.courses import Outcome
from cavyround.facts.quantities import Mass, Volume
from cavyround.facts.saying_amounts import number_words
from cavyround.web.doseround.second import typed_of
from cavyround.web.doseround.showing import Shown

# Reasons a weighing mends: they ask to weigh first.
WEIGH_CODES = frozenset(
    {"no_weight", "weight_doubtful", "weight_in_future", "weight_too_old", "weight_changing"}
)
NOTHING_WORKED: dict[str, Any] = {
    "state": "ready",
    "draws": False,
    "mark": "",
    "mark_words": "",
    "measure_words": "",
    "amount_words": "",
    "product_words": "",
    "weight_words": "",
    "weight_g": None,
    "weighed_at": None,
    "by_hand": "",
    "gives_words": "",
    "published_words": "",
    "withdrawal_words": "",
    "cautions": [],
    "traps": [],
    "reasons": [],
    "second": [],
    "syringe": None,
    "device_words": "",
    "to": None,
    "typed": None,
    "dilution": None,
    "lot": None,
    "drawn_amount": None,
    "drawn_unit": "",
    "route_words": "",
    "worked": {},
    "rest": False,
    "wash": False,
}


REST = (
    "Give what is left in the syringe that was kept for it. If nobody kept it, or nobody is sure "
    "that it is this one, give nothing: ring the vet."
)
SPAT_OUT = {
    "words": "It was spat out: nobody can measure how much of it is still to go in.",
    "do": "Give nothing more of this dose by guess: ring the vet.",
}
BROKEN: dict[str, Any] = {
    "state": "stop",
    "reasons": [
        {
            "words": "Something broke on our side when its amount was worked out.",
            "do": "Give nothing by guess: ask the vet, and tell whoever runs the tool.",
        }
    ],
}


def amount_of(one: Shown) -> dict[str, Any]:
    """The amount and all it rests on; of care that is no medicine nothing is worked out."""
    worked = one.worked
    if worked is None:
        missing = one.running.course.is_medicine and one.sitting is not None
        return {**NOTHING_WORKED, **(BROKEN if missing else {})}
    known = {
        **NOTHING_WORKED,
        "product_words": _product(worked),
        "lot": str(worked.lot.pk) if worked.lot else None,
    }
    if isinstance(worked.result, Refusal):
        return {**known, **_refused(worked.result)}
    if one.slot.act is Act.GIVE_REST:
        return {**known, **_rest(one, worked)}
    return {**known, **_dose(one, worked, worked.result)}


def _product(worked: WorkedDose) -> str:
    """What stands on the label of the bottle in the hand."""
    if worked.product is None:
        return ""
    strength = (worked.lot.strength if worked.lot else "") or worked.product.strength
    number = f"lot {worked.lot.number}" if worked.lot and worked.lot.number else ""
    return ", ".join(part for part in (worked.product.name, strength, number) if part)


def _refused(refusal: Refusal) -> dict[str, Any]:
    """Weighed first where weighing mends all; else not to be given."""
    weigh = [one for one in refusal.reasons if one.code in WEIGH_CODES]
    return {
        "state": "weigh" if len(weigh) == len(refusal.reasons) else "stop",
        "reasons": [{"words": one.words, "do": one.do} for one in refusal.reasons],
    }


def _rest(one: Shown, worked: WorkedDose) -> dict[str, Any]:
    """What is left of a dose that went in partly: nobody measured it, so it has no amount.

    The whole dose left the bottle before, so nothing leaves it now.
    """
    if any(each.outcome is Outcome.SPAT_OUT for each in one.slot.tries):
        return {"state": "stop", "reasons": [SPAT_OUT]}
    return {
        "mark": f"rest|{one.slot.number}",
        "mark_words": "the rest",
        "measure_words": REST,
        "second": list(worked.second),
        "lot": None,
        "worked": {
            "mark": "what was left in the syringe",
            "product_words": _product(worked),
            "second": list(worked.second),
        },
        "rest": True,
    }


def _dose(one: Shown, worked: WorkedDose, dose: Dose) -> dict[str, Any]:
    measure = dose.measure
    syringe = one.syringes.get(measure.device)
    shown_syringe, wash = None, is_wash(worked.order)
    # The mark in the concentrate is one step of making a wash up, and never what is given.
    if syringe is not None and isinstance(measure.to, Volume) and not wash:
        shown_syringe = {
            "code": syringe.code,
            "holds": float(syringe.holds_ml),
            "mark": float(syringe.mark_ml),
            "unit": syringe.marked_in,
        }
    mark = mark_words(worked.order, dose)
    drawn = drawn_of(worked)
    words = draw_words(worked.order, dose)
    weight = dose.weight
    return {
        "draws": isinstance(measure.to, Volume | Mass),
        "mark": "|".join(
            (mark, measure.device, str(worked.product.pk if worked.product else ""), dose.by_hand)
        ),
        "mark_words": mark,
        "measure_words": words[:1].upper() + words[1:],
        "amount_words": dose.amount_words,
        "route_words": dose.route_words,
        "weight_words": weight.words if weight else "",
        "weight_g": _plain(weight.grams) if weight else None,
        "weighed_at": weight.at.isoformat() if weight else None,
        "by_hand": dose.by_hand,
        "gives_words": "" if wash else dose.gives_words,
        "published_words": dose.published.words,
        "withdrawal_words": dose.withdrawal_words,
        "cautions": [caution.words for caution in dose.cautions],
        "traps": [trap.words for trap in dose.traps],
        "second": list(worked.second),
        "syringe": shown_syringe,
        "device_words": device_words(worked.order, dose),
        "wash": wash,
        "to": None if wash else float(measure.to.number),
        "typed": typed_of(worked.order, dose, syringe),
        "dilution": list(dose.dilution.steps) if dose.dilution else None,
        "drawn_amount": _plain(drawn.amount) if drawn.amount is not None else None,
        "drawn_unit": drawn.unit,
        "worked": {
            **drawn.worked,
            "weight_words": weight.words if weight else "",
            "product_words": _product(worked),
            "second": list(worked.second),
        },
    }


def _plain(number: Decimal) -> str:
    """To six places at most, as the record keeps it."""
    return number_words(number, 6).replace(",", "")
