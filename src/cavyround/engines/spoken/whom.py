"""Of whom a clause speaks: by name, of several at once, of all of them."""

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item

ALL_OF_THEM = frozenset(
    [
        "all of them",
        "both of them",
        "none of them",
        "the three of them",
        "all three",
        "all four",
        "the pair",
        "the two of them",
        "all weighed",
        "both had",
        "both have",
        "both took",
        "both got",
        "both are",
        "both eating",
        "they re",
        "the lot",
        "all eating",
        "both fine",
        "three of them",
        "two of them",
        "for both",
        "either of them",
        "the four of them",
        "both been",
        "both bright",
        "both good",
        "the pair of them",
        "of both",
        "all had",
        "all have",
        "all been",
        "they both",
        "they all",
        "neither of them",
        "every one of them",
        "both were",
        "all bright",
        "none of the",
    ]
)
GROUPS = frozenset(
    {"girls", "boys", "ladies", "lads", "sows", "boars", "babies", "pups", "pigs", "piggies"}
)
COUNTED = frozenset(["two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"])


def only_names(clause: Clause) -> bool:
    """ "Right, and now Nora": nothing is said but who comes next."""
    return all(
        item.name
        or item.word in ("and", "so", "okay", "right", "now", "first", "then")
        or item.cue("resume")
        for item in clause.items
    )


def ends_with_name(before: Clause, clause: Clause) -> bool:
    """Whether the clause goes on with names that the one before began."""
    return before.sentence == clause.sentence and bool(before.items and before.items[-1].name)


def are_joined(clause: Clause) -> bool:
    """ "Nora and Dot": nothing stands between the names but what joins them."""
    named = [at for at, item in enumerate(clause.items) if item.name]
    between = clause.items[named[0] : named[-1]]
    return all(item.name or item.word in ("and", "for", "or", "the", "both") for item in between)


def is_left_out(clause: Clause) -> bool:
    """Whether nothing of the clause is about this check."""
    return all(item.left_out for item in clause.items)


def is_bystander(clause: Clause, item: Item) -> bool:
    """ "her mate Nettle", "lives with Rex"."""
    at = clause.items.index(item)
    before = [one.word for one in clause.items[max(0, at - 2) : at]]
    return (
        bool(before)
        and before[-1] in ("with", "than", "from")
        and any(one.name for one in clause.items[:at])
    )


def group_words(clause: Clause) -> str:
    """ "the two girls": a group as it was said; empty where there is none."""
    words = clause.words
    for index, word in enumerate(words):
        if (
            word in GROUPS
            and index
            and (words[index - 1] in COUNTED or words[index - 1] in ("the", "all"))
        ):
            return "group: " + " ".join(words[max(0, index - 2) : index + 1])
    return ""


def begins_with_all(clause: Clause) -> bool:
    """ "both bright", "nobody's sneezing": of all that were named."""
    items = clause.items
    first = items[0].word if items else ""
    if first in ("nobody", "no one", "none of them", "everyone", "everybody", "they"):
        return True
    return first == "both" and len(items) > 1 and items[1].has("sign")


def means_all(clause: Clause) -> bool:
    """ "all of them", "both had": whether all that were named are meant."""
    text = " " + " ".join(clause.words[:40]) + " "
    return text.endswith(" on both ") or any(f" {phrase} " in text for phrase in ALL_OF_THEM)
