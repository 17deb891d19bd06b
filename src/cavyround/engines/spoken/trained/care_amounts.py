"""What was given and how much: as the rules have it for the same words, else the number beside."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.doses import amount_beside
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Given, Sheet

DOSED = frozenset({"medicine_dose", "vitamin_c", "syringe_feed", "probiotic"})
# So far behind a care stands what belongs to it.
AFTER = 4
AskFor = tuple[str, str, tuple[Item, ...]]


def amount_of_care(
    given: Given,
    where: int,
    items: Sequence[Item],
    ruled: Sequence[Sheet],
    care_of: Mapping[str, str],
) -> AskFor | None:
    """Fill in product, value and unit; returns the question for a unit that nobody said.

    ``where``: the place among ``items`` of the word that says the care. ``care_of``: the care that
    a product is given for, where it is not a dose of medicine.
    """
    item = items[where]
    for sheet in ruled:
        for other in sheet.care:
            if other.care == given.care and any(one is item for one in other.items):
                given.product, given.value, given.unit = other.product, other.value, other.unit
                if _is_far(items[where], other, items) and _take_right_after(given, where, items):
                    return question_of_unit(given)
                given.items += [one for one in other.items if one not in given.items]
                return question_of_unit(given)
    sentence = _sentence(where, items)
    products = [one.of("product")[0].code for one in sentence if one.has("product")]
    own = [one for one in products if care_of.get(one, "medicine_dose") == given.care]
    if given.care in DOSED:
        given.product = own[0] if own else ""
        if not _take_right_after(given, where, items):
            given.value, given.unit, used = _amount(item, sentence)
            given.items += [one for one in used if one not in given.items]
    return question_of_unit(given)


def _is_far(item: Item, other: Given, items: Sequence[Item]) -> bool:
    """Whether the number the rules took stands well before the care, beyond other words."""
    numbers = [one for one in other.items if one.number is not None]
    if not numbers:
        return False
    places = {id(one): at for at, one in enumerate(items)}
    return places[id(item)] - places.get(id(numbers[0]), 0) > AFTER


def _take_right_after(given: Given, where: int, items: Sequence[Item]) -> bool:
    """ "The meloxicam, nought point four": the number right after, with its unit or nothing."""
    after = [one for one in items[where + 1 : where + 1 + AFTER] if one.stop != ","]
    if not after or after[0].number is None:
        return False
    unit = [one for one in after[1:2] if one.has("unit", "ml") or one.has("unit", "mg")]
    beyond = items.index(unit[0] if unit else after[0]) + 1
    following = items[beyond] if beyond < len(items) else None
    if following is not None and (following.word == "of" or not (unit or following.is_break)):
        # "..., two mil of probiotic as well": not of the one before.
        return False
    value, code, used = amount_beside(
        Clause([after[0], *unit], 0, opens=False), after[:1], anew=True
    )
    if value is None:
        return False
    given.value, given.unit = value, code
    given.items += [one for one in used if one not in given.items]
    return True


def _amount(item: Item, sentence: Sequence[Item]) -> tuple[Decimal | None, str | None, list[Item]]:
    """The nearest number that is no other's."""
    words = [one for one in sentence if not one.is_break]
    return amount_beside(Clause(words, 0, opens=False), [item])


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
