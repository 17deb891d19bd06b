"""The words of a clause that belong to one care: up to where another thought is joined on."""

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item

JOINS = frozenset({"and", "but", "then", "so"})
REASONS = frozenset({"because", "cos", "cause", "although", "though", "as"})
# After a join, these begin another thought.
BEGINS = frozenset(
    [
        "i",
        "he",
        "she",
        "it",
        "they",
        "we",
        "will",
        "needs",
        "need",
        "still",
        "gave",
        "did",
        "have",
        "has",
        "had",
        "due",
        "next",
        "going",
        "gonna",
        "then",
        "that",
        "now",
        "wants",
        "repeat",
        "again",
    ]
)


PATIENT = frozenset({"he", "she", "it", "they"})


def near_care(clause: Clause, item: Item, *, taken: bool = False) -> list[Item]:
    """The items in the same thought as a care.

    ``taken``: the care is one that the animal takes, so that what it did then belongs to it:
    "gave her the meds and she spat half of it out".
    """
    items = clause.items
    home = next(index for index, one in enumerate(items) if one is item)
    begin, end = 0, len(items)
    for at in range(1, len(items)):
        if not _joins_on(items, at):
            continue
        if at <= home:
            begin = at
        elif not (taken and _is_its_answer(items[at + 1 :])):
            end = at
            break
    return items[begin:end]


def _is_its_answer(rest: list[Item]) -> bool:
    return (
        bool(rest)
        and rest[0].word in PATIENT
        and not any(one.has("care") or one.has("product") for one in rest)
    )


def _joins_on(items: list[Item], at: int) -> bool:
    word = items[at].word
    if word in REASONS and not (word == "as" and items[at - 1].word in ("same", "good", "well")):
        following = items[at + 1].word.split()[:1] if at + 1 < len(items) else []
        return word != "as" or bool(following and following[0] in BEGINS)
    if word not in JOINS or at + 1 >= len(items):
        return False
    following_item = items[at + 1]
    first = (following_item.word or following_item.name).split()[:1]
    if first == ["the"] and at + 2 < len(items):
        first = items[at + 2].word.split()[:1]
    return bool(first) and (first[0] in BEGINS or following_item.tail in ("ve", "ll"))
