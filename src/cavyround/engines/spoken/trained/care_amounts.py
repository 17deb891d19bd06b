"""What was given and how much: as the rules have it for the same words, else the number beside."""

from collections.abc import Sequence

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.doses import amount_beside
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Given, Sheet

DOSED = frozenset({"medicine_dose", "vitamin_c", "syringe_feed", "probiotic"})
AskFor = tuple[str, str, tuple[Item, ...]]


def amount_of_care(
    given: Given, where: int, items: Sequence[Item], ruled: Sequence[Sheet]
) -> AskFor | None:
    """Fill in product, value and unit; returns the question for a unit that nobody said.

    ``where``: the place among ``items`` of the word that says the care.
    """
    item = items[where]
    for sheet in ruled:
        for other in sheet.care:
            if other.care == given.care and any(one is item for one in other.items):
                given.product, given.value, given.unit = other.product, other.value, other.unit
                given.items += [one for one in other.items if one not in given.items]
                return question_of_unit(given)
    sentence = _sentence(where, items)
    product = next((one.of("product")[0].code for one in sentence if one.has("product")), "")
    if given.care in DOSED:
        given.product = product
        clause = Clause([one for one in sentence if not one.is_break], 0, opens=False)
        given.value, given.unit, used = amount_beside(clause, [item])
        given.items += [one for one in used if one not in given.items]
    return question_of_unit(given)


def question_of_unit(given: Given) -> AskFor | None:
    """What is asked of a dose that was said without its unit."""
    if given.care not in DOSED or given.value is None or given.unit is not None:
        return None
    words = f"{given.value} of what? Milligrams or millilitres?"
    return ("dose_unit", words, tuple(given.items))


def _sentence(where: int, items: Sequence[Item]) -> list[Item]:
    """What stands between the two full stops, or commas, around an item."""
    begin = next((at + 1 for at in range(where, -1, -1) if items[at].is_break), 0)
    end = next((at for at in range(where, len(items)) if items[at].is_break), len(items))
    return list(items[begin:end])
