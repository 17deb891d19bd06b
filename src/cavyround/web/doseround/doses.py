"""One dose of the day as the phone shows it: everything it needs without a connection."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.urls import NoReverseMatch, reverse
from django.utils import timezone

from cavyround.advice.medicines.drawn import draw_words, drawn_of
from cavyround.advice.medicines.running import RunningCourse
from cavyround.advice.medicines.working import WorkedDose
from cavyround.engines.courses import Act, Slot
from cavyround.engines.courses.dose_round import DoseToGive
from cavyround.engines.dosing import Dose, Refusal, Syringe
from cavyround.facts.quantities import Mass, Volume
from cavyround.facts.saying_amounts import amount_words, number_words
from cavyround.web.templatetags.words import moment

# Reasons a weighing mends: they ask to weigh first.
WEIGH_CODES = frozenset(
    {"no_weight", "weight_doubtful", "weight_in_future", "weight_too_old", "weight_changing"}
)
AGAIN = frozenset({Act.GIVE_REST, Act.GIVE_AGAIN})


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """One due dose with what was worked out for it; ``sitting`` None: done today.

    ``advised`` says why the vet is rung before it: advice given since the vet ordered it.
    """

    to_give: DoseToGive
    running: RunningCourse
    worked: WorkedDose | None
    sitting: int | None
    syringes: dict[str, Syringe]
    advised: str = ""

    @property
    def slot(self) -> Slot:
        """The due dose."""
        return self.to_give.slot

    @property
    def key(self) -> str:
        """What names the due dose on the phone: the same as long as it is due."""
        return f"{self.running.course.id}:{self.slot.number}"


def as_shown(one: Shown) -> dict[str, Any]:
    """All of it."""
    return {**_about(one), **_when(one), **_amount(one)}


def treatment_key(one: Shown) -> str:
    """What makes it one treatment with others."""
    return one.running.course.order


def _about(one: Shown) -> dict[str, Any]:
    course, order = one.running.course, one.running.row.order
    return {
        "key": one.key,
        "course": course.id,
        "number": one.slot.number,
        "animal": course.animal,
        "treatment": treatment_key(one),
        "what": course.what,
        "medicine": course.is_medicine,
        "by_weight": course.by_weight,
        "why": order.why,
        "note": order.note,
        "advised": one.advised,
        "address": course_address(one.running),
        "dose_words": order.dose,
        "ordered_words": _ordered(one),
        "rules": _rules(course.schedule.rules_words),
    }


def course_address(running: RunningCourse) -> str:
    """The course's own page; the animal's where there is none."""
    try:
        return reverse("course", args=[running.row.pk])
    except NoReverseMatch:
        return reverse("animal", args=[running.row.animal_id])


def _rules(words: Iterable[str]) -> list[str]:
    """What the order says of doses that do not go as planned; days off are no matter here."""
    return [line for line in words if not line.startswith("On a day off")]


def _ordered(one: Shown) -> str:
    order = one.running.row.order
    said = " ".join(part for part in (order.dose, one.running.course.schedule.words) if part)
    by = f" Ordered by {order.vet}, {moment(order.ordered_at)}." if order.vet else ""
    return f"Order: {said}.{by}"


def _when(one: Shown) -> dict[str, Any]:
    slot, due, given = one.slot, one.running.due, one.to_give
    left = "" if due.left is None else f" of {slot.number - 1 + max(due.left, 1)}"
    return {
        "sitting": one.sitting,
        "from_at": given.from_at.isoformat(),
        "until_at": given.until_at.isoformat(),
        "nth_words": f"dose {slot.number}{left if one.sitting is not None else ''}",
        "due_words": _due_words(one),
        "often_words": one.running.course.schedule.words.split(",")[0],
        "says": slot.says,
        "again": slot.act in AGAIN,
        "tries": [
            {
                "id": each.id,
                "at": each.at.isoformat(),
                "outcome": each.outcome.value,
                "why": each.why,
                "by": each.by,
            }
            for each in slot.tries
        ],
    }


def _due_words(one: Shown) -> str:
    """``due at 08:00``; nothing where any time of the day will do."""
    at = timezone.localtime(one.slot.due_at)
    if one.running.course.schedule.at or one.running.course.schedule.in_hours:
        return f"due at {at:%H:%M}" if at.date() == _today(one) else f"due {moment(at)}"
    return "" if one.slot.day >= _today(one) else f"due {one.slot.day:%-d %B}"


def _today(one: Shown) -> date:
    return timezone.localtime(one.to_give.from_at).date()


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
    "typed_unit": "",
    "dilution": None,
    "lot": None,
    "drawn_amount": None,
    "drawn_unit": "",
    "route_words": "",
    "worked": {},
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


def _amount(one: Shown) -> dict[str, Any]:
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


def _dose(one: Shown, worked: WorkedDose, dose: Dose) -> dict[str, Any]:
    measure = dose.measure
    syringe = one.syringes.get(measure.device)
    shown_syringe = None
    if syringe is not None and isinstance(measure.to, Volume):
        shown_syringe = {
            "code": syringe.code,
            "holds": float(syringe.holds_ml),
            "mark": float(syringe.mark_ml),
            "unit": syringe.marked_in,
        }
    # Of a thinned liquid the mark says so, wherever it stands: drawn from the bottle it kills.
    mark = amount_words(measure.to) + (" thinned" if dose.dilution else "")
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
        "gives_words": dose.gives_words,
        "published_words": dose.published.words,
        "withdrawal_words": dose.withdrawal_words,
        "cautions": [caution.words for caution in dose.cautions],
        "traps": [trap.words for trap in dose.traps],
        "second": list(worked.second),
        "syringe": shown_syringe,
        "device_words": measure.device_words + (", of the thinned liquid" if dose.dilution else ""),
        "to": float(measure.to.number),
        "typed_unit": _typed_unit(dose, syringe),
        "dilution": list(dose.dilution.steps) if dose.dilution else None,
        "drawn_amount": _plain(drawn.amount) if drawn.amount is not None else None,
        "drawn_unit": drawn.unit,
        "worked": {
            **drawn.worked,
            "weight_words": weight.words if weight else "",
            "product_words": _product(worked),
        },
    }


def _typed_unit(dose: Dose, syringe: Syringe | None) -> str:
    """The unit in which a second person types what they get; empty where nothing is drawn."""
    if not isinstance(dose.measure.to, Volume) or syringe is None or dose.dilution is not None:
        return ""
    return syringe.marked_in


def _plain(number: Decimal) -> str:
    """To six places at most, as the record keeps it."""
    return number_words(number, 6).replace(",", "")
