"""How much was given: the number beside the care or in the next breath, with the unit said."""

from decimal import Decimal

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk

LARGEST_DOSE = Decimal(100)
MILLILITRES = frozenset({"ml", "mls", "mil", "mils", "millilitres", "milliliters"})
# So far behind a number stands what it is a number of.
AFTER = 4
CLOCK = frozenset({"at", "past", "about", "oclock", "half", "quarter"})


def amount_beside(
    clause: Clause, its_items: list[Item], *, anew: bool = False
) -> tuple[Decimal | None, str | None, list[Item]]:
    """The number nearest to the care, and its unit if one was said.

    ``anew``: a number that was read as something else before may be the one.
    """
    items = clause.items
    home = items.index(its_items[-1]) if its_items[-1] in items else 0
    best: tuple[int, int] | None = None
    for at, item in enumerate(items):
        taken = not anew and (item.used or bool(item.left_out))
        if item.number is None or taken or _is_clock(items, at):
            continue
        if _is_anothers(items, at, its_items):
            continue
        if best is None or abs(at - home) < best[0]:
            best = (abs(at - home), at)
    if best is None:
        return None, None, []
    at = best[1]
    number = items[at].number
    assert number is not None  # noqa: S101 -- looked at just above
    following = items[at + 1] if at + 1 < len(items) else None
    if following is not None and following.has("unit"):
        codes = [one.code for one in following.of("unit")]
        unit = next((code for code in codes if code in ("ml", "mg", "g")), None)
        if unit is None and set(codes) & {"kg", "lb", "oz"}:
            return None, None, []
        return number.value, unit, [items[at], following]
    if number.value > LARGEST_DOSE:
        return None, None, []
    # "ten mil of mush": the unit stands within the words of the care.
    unit = "ml" if following is its_items[0] and following.word.split()[0] in MILLILITRES else None
    return number.value, unit, [items[at]]


def _is_anothers(items: list[Item], at: int, its_items: list[Item]) -> bool:
    """ "Two mil of probiotic and the meloxicam": the two are not the meloxicam's."""
    if at and items[at - 1] in its_items:
        # "Meloxicam nought point three mil probiotic two mil".
        return False
    after = items[at + 1 : at + AFTER]
    given = [one for one in after if not one.has("unit") and one.word not in ("of", "the")][:1]
    own_product = any(one.has("product") for one in its_items)
    return any(
        one not in its_items and (one.has("product") if own_product else one.has("care"))
        for one in given
    )


def _is_clock(items: list[Item], at: int) -> bool:
    before = items[at - 1].word if at else ""
    after = items[at + 1].word if at + 1 < len(items) else ""
    return before in CLOCK or after in (
        "past",
        "to",
        "oclock",
        "am",
        "pm",
        "days",
        "weeks",
        "day",
        "drops",
        "drop",
        "times",
        "week",
        "hours",
        "o",
    )


def drops_of(clause: Clause) -> tuple[Decimal | None, str | None, list[Item]]:
    """ "three drops": the number before the drops, without a unit."""
    for at, item in enumerate(clause.items[:-1]):
        if item.number is not None and clause.items[at + 1].word.startswith("drop"):
            return item.number.value, None, [item]
    return None, None, []


def amount_of_last(clause: Clause, desk: Desk) -> None:
    """ "her metacam, nought point two": the number in the next breath is the dose's."""
    loose = [item for item in clause.items if item.number and not item.used and not item.left_out]
    if len(loose) != 1 or not desk.last_care:
        return
    rest = [item for item in clause.items if item is not loose[0] and not item.has("unit")]
    number = loose[0].number
    if (
        number is None
        or number.value > LARGEST_DOSE
        or any(
            not (item.word in ("of", "about", "a", "just", "so", "at") or item.has("product"))
            for item in rest
        )
    ):
        return
    units = [item for item in clause.items if item.has("unit")]
    code = units[0].of("unit")[0].code if units else None
    for name, given in desk.last_care:
        if (
            given.care in ("medicine_dose", "vitamin_c", "syringe_feed")
            and given.value is None
            and (abs(given.sentence - clause.sentence) <= 1)
        ):
            given.value, given.unit = number.value, code if code in ("ml", "mg", "g") else None
            given.items.append(loose[0])
            loose[0].used = True
            if given.unit is None:
                desk.sheet(name).asks.append(
                    (
                        "dose_unit",
                        f"{number.value} of what? Milligrams or millilitres?",
                        (loose[0],),
                    )
                )
