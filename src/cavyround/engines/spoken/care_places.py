"""Care left or put off at a place where only one is ever done: "nails I've left"."""

from collections.abc import Iterable

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk
from cavyround.engines.spoken.spots import Spot

SOLE = {"nails": "nail_trim", "grease_gland": "grease_gland_clean", "perineal_sac": "sac_clean"}
LOOKING = frozenset({"see", "look", "looked", "check", "checked", "seen", "looking"})
LEFT = frozenset({"it", "them", "those", "that", "for", "until", "till"})
TO_DO = frozenset(
    [
        "do",
        "doing",
        "done",
        "trim",
        "trimming",
        "trimmed",
        "cut",
        "cutting",
        "clip",
        "clipping",
        "clean",
        "cleaning",
        "emptying",
        "sorting",
        "seeing",
    ]
)


def care_of_place(clause: Clause, spots: list[Spot], desk: Desk) -> Iterable[tuple[str, Item]]:
    """The care that was not done, or is still to do, and the word that says so."""
    if any(item.left_out and not _only_the_reason(clause, item) for item in clause.items):
        return
    said = [spot for spot in spots if spot.region in SOLE]
    of_topic = [spot for spot in desk.topic if spot.region in SOLE] if not spots else []
    left = next((item for item in clause.items if _is_left(clause, item)), None)
    if said or of_topic:
        place = (said or of_topic)[0].region
        if left is not None:
            left.notes["care_status"] = "not_done"
            yield SOLE[place], left
        elif said and (item := _to_do(clause)) is not None:
            done = item.word == "done" or "done it" in " ".join(clause.words)
            item.notes["care_status"] = "done" if done else "planned"
            yield SOLE[place], item


def _only_the_reason(clause: Clause, item: Item) -> bool:
    """ "didn't do his nails because he'd had them last week": why is history, not that."""
    return item.left_out == "history" and "because" in clause.words


def _to_do(clause: Clause) -> Item | None:
    """ "nails still to do", "her sac wants emptying"."""
    if not TO_DO & set(clause.words):
        return None
    plan = next((item for item in clause.items if item.cue("plan") or item.tail == "ll"), None)
    if plan is None and "done it" in " ".join(clause.words):
        # "his sac wanted doing and I've done it".
        return next(item for item in clause.items if "done" in item.word)
    return plan


def _is_left(clause: Clause, item: Item) -> bool:
    at = clause.items.index(item)
    before = clause.items[at - 1] if at else None
    after = clause.items[at + 1].word.split()[0] if at + 1 < len(clause.items) else ""
    first = item.word.split()[0]
    if first == "left":
        after_i = before is not None and (before.word == "i" or before.tail == "ve")
        return after_i or after in LEFT - {"for"} or item.word in ("left it", "left them")
    if first == "no":
        return "either" in clause.words and item.cue("no") and bool(after)
    return (
        item.cue("not_done", "skip")
        and not set(item.word.split()) & LOOKING
        and first not in ("leaving", "so")
    )
