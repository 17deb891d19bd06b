"""Whether there is an order, whole, for this animal and still running."""

from datetime import datetime

from cavyround.engines.dosing.said import Findings, Reason
from cavyround.facts.animal import AnimalFacts
from cavyround.facts.orders import Order
from cavyround.facts.reading_amounts import NotRead

NO_ORDER = Reason(
    code="no_order",
    words="There is no order. Nothing is worked out without one.",
    do="Ask the vet, and write down who ordered what, when and why.",
    may="nobody",
)
ASK = "Ask the vet, and put it right in the order."


def look_at_order(order: Order, animal: AnimalFacts, *, now: datetime) -> Findings:
    """What the order lacks, and whether it holds for this animal today."""
    found = Findings()
    for about, missing in _missing(order):
        words = f"The order does not say {missing}."
        found.reasons.append(_against("order_incomplete", words, ASK, about))
    for about, read in (("dose", order.dose), ("strength", order.strength)):
        if isinstance(read, NotRead):
            words = f"The order's {about} {read.text!r} cannot be read: {read.words}."
            found.reasons.append(_against("unknown_unit", words, ASK, f"order_{about}"))
    if not order.is_for(animal.id):
        words = "The order is not for this animal."
        do = "Ask the vet whether it is for this one too."
        found.reasons.append(_against("not_for_this_animal", words, do))
    if order.ordered_at is not None and order.ordered_at > now:
        words = "The order is dated in the future: a clock or a date is wrong."
        found.reasons.append(_against("order_in_future", words, ASK))
    if order.stopped_at is not None and order.stopped_at <= now:
        found.reasons.append(_over("The order was stopped."))
    elif order.schedule is not None and _is_past(order, now):
        found.reasons.append(_over("The order's last day is over."))
    return found


def _missing(order: Order) -> list[tuple[str, str]]:
    said = (
        ("vet", "which vet ordered it", order.vet.strip()),
        ("when", "when it was ordered", order.ordered_at),
        ("why", "what it is for", order.why.strip()),
        ("drug", "which medicine", order.drug.strip()),
        ("route", "how it is given", order.route.strip()),
        ("schedule", "how often and how long", order.schedule),
    )
    return [(about, words) for about, words, there in said if not there]


def _is_past(order: Order, now: datetime) -> bool:
    last = order.schedule.ends.last_day if order.schedule else None
    return last is not None and last < now.date()


def _over(words: str) -> Reason:
    return _against("order_over", words, "Ask the vet for a new order.")


def _against(code: str, words: str, do: str, about: str = "") -> Reason:
    return Reason(code=code, words=words, do=do, may="nobody", about=about)
