"""Which unit a number was said with, and what else it may count: days, things, a bowl."""

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item

NEAR = 4
LEAST_PLAIN = 100
TIMES = frozenset(
    {
        "minutes",
        "weeks",
        "months",
        "days",
        "years",
        "hours",
        "percent",
        "per",
        "times",
        "week",
        "month",
        "year",
        "day",
        "hour",
        "minute",
    }
)
VESSELS = frozenset(
    {"box", "tub", "bowl", "basket", "carrier", "towel", "container", "crate", "bucket", "lid"}
)


def unit_of(items: list[Item], at: int) -> tuple[Item | None, str]:
    """The word for the unit and its code; None and empty where none was said."""
    for index in (at + 1, at + 2):
        if index >= len(items) or items[index].number is not None:
            break
        units = items[index].of("unit")
        if units:
            return items[index], units[0].code
        if items[index].word not in ("of", "a", "and a half"):
            break
    return None, ""


def is_food(items: list[Item], at: int) -> bool:
    """ "two hundred grams of hay": what was weighed is no animal."""
    return any(one.word == "of" for one in items[at + 2 : at + 3])


def is_about(items: list[Item], at: int, sort: str) -> bool:
    """Whether a word of that sort stands shortly before the number."""
    return any(one.has("about", sort) for one in items[max(0, at - NEAR) : at])


def counts_things(items: list[Item], at: int, things: frozenset[str]) -> bool:
    """Whether the number counts times or ``things`` rather than measures."""
    if at + 1 >= len(items):
        return False
    following = items[at + 1]
    first = following.word.split()[0] if following.word else ""
    number = items[at].number
    small = number is not None and number.value < LEAST_PLAIN
    if first in TIMES:
        return True
    return small and (first in things or following.has("place"))


def is_equipment(clause: Clause) -> bool:
    """Whether the scales or a vessel are spoken of."""
    words = clause.words
    return any(one.has("about", "equipment") for one in clause.items) and bool(VESSELS & set(words))
