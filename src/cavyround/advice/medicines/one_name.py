"""Doses that two people were to work out and that only one name stands for."""

from collections.abc import Sequence

from cavyround.advice.medicines.shelf import drug_is_controlled, is_controlled
from cavyround.facts.courses import WENT_IN
from cavyround.knowledge.book import Knowledge
from cavyround.record.models import DoseEntry


def one_name_where_two(entry: DoseEntry, known: Knowledge) -> tuple[str, ...]:
    """Why two people were to work out this dose, where something went in and one is named.

    What was done is kept whatever it lacks, so the lack must be told wherever it is read. The
    reasons are those the phone showed with the dose, and those that stand in order, bottle and
    formulary, for an entry that came without them. Empty where nothing is lacking.
    """
    if entry.second_id is not None or entry.outcome not in WENT_IN:
        return ()
    order = entry.course.order
    why = ["the order asks for it"] if order.second_check else []
    by_bottle = entry.lot is not None and is_controlled(entry.lot.product, known)
    if by_bottle or drug_is_controlled({"drug": order.drug}, known):
        why.append("a controlled medicine")
    medicine = known.medicines.named(order.drug) if order.drug else None
    if medicine is not None and medicine.second_person:
        why.append(medicine.second_person)
    return tuple(dict.fromkeys((*why, *_shown(entry.worked.get("second")))))


def _shown(second: object) -> Sequence[str]:
    """What the phone said it showed; it may be anything."""
    return [one for one in second if isinstance(one, str)] if isinstance(second, list) else []
