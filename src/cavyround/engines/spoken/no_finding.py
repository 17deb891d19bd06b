"""Words that are signs elsewhere and are no finding here: talk, things, what somebody does."""

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.spots import Spot

NO_SIGN_BEFORE = frozenset({"check", "checks", "treatment", "season", "watch", "round", "test"})
DOES = frozenset(
    {"i", "ve", "not", "to", "did", "didnt", "havent", "we", "wont", "cant", "ll", "and", "dont"}
)
PRAISE = frozenset({"good", "clean", "nice", "lovely", "great", "clear", "bright", "fine", "super"})
ARTICLES = frozenset({"the", "a", "my", "our", "some", "any", "another", "that", "no"})
THEM = frozenset({"both", "them", "em", "him", "her", "it", "his", "nails", "those", "these"})


def is_of_a_thing(clause: Clause, at: int) -> bool:
    """ "the battery's flat", "lump check", "a good look": said of no animal."""
    items = clause.items
    following = items[at + 1] if at + 1 < len(items) else None
    if _says_how_much(items, at):
        return True
    if _praises_a_thing(items, at) or _is_caught(items, at):
        return True
    if following is not None and following.word.split()[0] in NO_SIGN_BEFORE:
        # "lump round", but "maggots round his bottom" has a place of the animal.
        round_a_place = following.word == "round" and any(
            one.has("place") or one.has("places") for one in items[at + 2 : at + 6]
        )
        return not round_a_place
    if following is not None and following.number and items[at].has("about", "lost"):
        return True
    subject = next((one for one in reversed(items[:at]) if one.has("about", "equipment")), None)
    return subject is not None and (
        subject.tail == "s" or items[items.index(subject) + 1].word in ("is", "are", "was", "were")
    )


def _says_how_much(items: list[Item], at: int) -> bool:
    """ "Two pounds flat", "a flat two pounds", "flat refused": exactly, altogether."""
    if items[at].word != "flat":
        return False
    before, after = items[max(0, at - 1) : at], items[at + 1 : at + 2]
    return any(one.number is not None or one.has("unit") for one in before) or any(
        one.number is not None or one.word.startswith("refus") for one in after
    )


def _is_caught(items: list[Item], at: int) -> bool:
    """ "got his foot stuck in the ladder": nothing is in the foot."""
    if items[at].word.split()[0] not in ("stuck", "caught", "wedged", "trapped") or not at:
        return False
    later = items[at + 1 : at + 5]
    return items[at - 1].has("place") and not any(one.has("place") for one in later)


def _praises_a_thing(items: list[Item], at: int) -> bool:
    """ "the good clippers", "a good look": a word of praise before a thing that is no place."""
    item = items[at]
    following = items[at + 1] if at + 1 < len(items) else None
    return (
        item.has("sign", "normal")
        and item.word in PRAISE
        and at > 0
        and items[at - 1].word in ARTICLES
        and following is not None
        and (following.mark is None or following.has("about", "equipment"))
        and not following.name
        and following.word not in ("and", "but", "or", "one", "ones")
    )


def is_doing(clause: Clause, at: int) -> bool:
    """ "I did not cut them": what somebody does is no finding."""
    before = clause.items[at - 1] if at else None
    after = clause.items[at + 1] if at + 1 < len(clause.items) else None
    if before is not None and (before.word in DOES - {"and", "to"} or before.tail in ("ve", "ll")):
        return True
    return (
        after is not None
        and after.word.split()[0] in THEM
        and (clause.items[at].word in ("cut", "scratch", "clean", "cuts", "flushed", "soaked"))
    )


def is_turn_of_speech(clause: Clause, at: int, spots: list[Spot], *, waiting: bool) -> bool:
    """Whether a word is none of its signs here; ``waiting``: a place still waits for its sign."""
    item = clause.items[at]
    if at == 0 and item.cue("resume") and not spots and not waiting:
        # "Okay then": nothing is said to be okay.
        return True
    if item.word == "spot on" and not spots:
        # The drops, no praise.
        return True
    if item.word == "smell" and not spots and not waiting and _only_exclaims(clause, at):
        return True
    following = clause.items[at + 1] if at + 1 < len(clause.items) else None
    # "a good scratch": how much, not how well.
    return item.word == "good" and following is not None and following.has("sign")


def _only_exclaims(clause: Clause, at: int) -> bool:
    """ "Ugh, the smell.": of nothing that was named."""
    return at == len(clause.items) - 1 and [one.word for one in clause.items[:at]] in (
        ["the"],
        ["that"],
        ["what", "a"],
    )


def is_comment(clause: Clause, at: int, spots: list[Spot]) -> bool:
    """ "but that's normal": a word about what was just said, no finding of its own."""
    item = clause.items[at]
    if spots or not item.has("sign", "normal") or item.word not in ("normal", "fine", "ok", "okay"):
        return False
    before = [one.word for one in clause.items[:at]]
    return (bool(before) and before[-1] in ("that", "thats", "which")) or before[-2:] in (
        ["that", "is"],
        ["which", "is"],
    )


def normal_predicate(clause: Clause) -> int | None:
    """Where the clause says that something "is normal": what was named is then no finding."""
    for at, item in enumerate(clause.items):
        if item.has("sign", "normal") and item.word == "normal" and at:
            before = clause.items[at - 1]
            if before.tail == "s" or before.word in ("is", "are", "thats", "that", "perfectly"):
                return at
    return None


def is_explained(item: Item, clause: Clause, predicate: int) -> bool:
    """Whether a sign is what the clause goes on to call normal."""
    if item.left_out or item.has("sign", "normal"):
        return False
    between = clause.items[clause.items.index(item) + 1 : predicate]
    return not any(one.word in ("but", "and") for one in between)
