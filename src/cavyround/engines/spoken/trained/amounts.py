"""The number that stands at a word the network points to: its value, its unit, its grams."""

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.units import unit_of
from cavyround.engines.spoken.weighing import (
    GRAMS_PER_KG,
    GRAMS_PER_OZ,
    LEAST_BARE,
    MOST_GRAMS,
    OZ_PER_LB,
    grams_after_a_kilo,
    plain_number,
    rest_of_weight,
)

GRAMS = {
    "g": Decimal(1),
    "kg": GRAMS_PER_KG,
    "oz": GRAMS_PER_OZ,
    "lb": GRAMS_PER_OZ * OZ_PER_LB,
}
TENTH = Decimal("0.1")
# In these units, and from this weight on, a number goes on in the unit said before it.
CARRIED = ("oz", "kg", "lb")
LEAST_CARRIED = 150


class Amount(NamedTuple):
    """A number as it was said, with the words it took; ``grams`` only for a weight."""

    value: Decimal | str
    unit: str | None
    grams: Decimal | None
    items: tuple[Item, ...]


def weight_at(items: Sequence[Item], at: int, before: str | None = None) -> Amount | None:
    """The weight, or change of weight, that begins at an item; None where there is none.

    A number without a unit is grams: on the scales nothing else is said without its unit. But
    after "thirty one ounces" the next one's "thirty three" is no 33 grams. ``before``: the unit
    of the weight said before.
    """
    items = list(items)
    if items[at].number is None:
        return _bare_kilo(items, at)
    number = items[at].number
    assert number is not None  # noqa: S101 -- looked at just above
    unit_item, unit = unit_of(items, at)
    if unit_item is None or unit not in GRAMS:
        small = number.decimal or number.value < LEAST_BARE
        if small and before in CARRIED and number.value * GRAMS[before] >= LEAST_CARRIED:
            return _amount(number.value, before, number.value * GRAMS[before], (items[at],))
        if number.decimal:
            # "one point one": of what nobody said.
            return None
        return _amount(number.value, "g", number.value, (items[at],))
    grams = GRAMS[unit] * number.value
    used = [items[at], unit_item]
    rest = rest_of_weight(items, items.index(unit_item) + 1)
    if unit == "lb" and rest is not None and rest[0] < OZ_PER_LB:
        said = f"{plain_number(number.value)}lb{plain_number(rest[0])}oz"
        return _amount(said, "lb_oz", grams + GRAMS_PER_OZ * rest[0], (*used, *rest[1]))
    if unit == "kg" and rest is not None and not number.decimal and rest[0] < GRAMS_PER_KG:
        grams += rest[0]
        return _amount(grams, "g", grams, (*used, *rest[1]))
    return _amount(number.value, unit, grams, tuple(used))


def _bare_kilo(items: list[Item], at: int) -> Amount | None:
    """ "a kilo", "a kilo and fifty"."""
    if items[at].word not in ("kilo", "kg"):
        return None
    grams, used = grams_after_a_kilo(items, at)
    if used:
        return _amount(grams, "g", grams, (items[at], *used))
    return _amount(Decimal(1), "kg", grams, (items[at],))


def _amount(
    value: Decimal | str, unit: str, grams: Decimal, items: tuple[Item, ...]
) -> Amount | None:
    if not 0 < grams <= MOST_GRAMS:
        return None
    return Amount(value, unit, grams.quantize(TENTH), items)


TOP_SCORE = 5
UNIT_OF = {"body_condition": "of_5", "breath_rate": "per_min", "heart_rate": "per_min"}


def count_at(items: Sequence[Item], at: int, finding: str) -> Amount | None:
    """The number of a score, a rate or a temperature; its unit is the scale's or the one said."""
    number = items[at].number
    if number is None:
        return None
    unit_item, said = unit_of(list(items), at)
    if finding == "body_condition" and not 0 < number.value <= TOP_SCORE:
        return None
    unit = UNIT_OF.get(finding) or (said or None)
    used = (items[at], unit_item) if unit_item is not None else (items[at],)
    return Amount(number.value, unit, None, used)
