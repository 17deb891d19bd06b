"""What is said of care afterwards: put off, done after all, only half of it, and when again."""

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk, Given

DOING = frozenset({"do", "done", "finish", "try"})
AGAIN = frozenset({"next", "second", "repeat", "again", "evening", "another"})
TO_COME = frozenset(
    [
        "due",
        "at",
        "on",
        "in",
        "tonight",
        "tomorrow",
        "come",
        "later",
        "still",
        "from",
        "monday",
        "tuesday",
        "wednesday",
        "thursday",
        "friday",
        "saturday",
        "sunday",
    ]
)
REPEATED = frozenset(
    {"medicine_dose", "vitamin_c", "syringe_feed", "spot_on", "probiotic", "eye_drops", "cream"}
)
SWALLOWED = frozenset({"down", "in", "spat", "swallowed"})


def again(clause: Clause, desk: Desk) -> None:
    """ "... went on tonight and the repeat is in ten days": what follows care in its clause."""
    _again(clause, desk, set(clause.words))


def turn(clause: Clause, desk: Desk) -> bool:
    """Change what was said last of care; True where the clause says that."""
    if not desk.last_care or any(item.left_out for item in clause.items):
        return False
    words = set(clause.words)
    return (
        _done_after_all(clause, desk, words)
        or _only_half(clause, desk, words)
        or _again(clause, desk, words)
        or _put_off(clause, desk, words)
    )


def _recent(clause: Clause, desk: Desk) -> list[tuple[str, Given]]:
    return [one for one in desk.last_care if clause.sentence - one[1].sentence <= 1]


def _done_after_all(clause: Clause, desk: Desk, words: set[str]) -> bool:
    """ "His sac wants emptying, so I've done that"."""
    if "done" not in words or not words & {"that", "it", "which", "them"} or clause.cued("plan"):
        return False
    if clause.cued("not_done", "no"):
        return False
    planned = [given for _, given in _recent(clause, desk) if given.status == "planned"]
    for given in planned:
        given.status = "done"
        given.items += [item for item in clause.items if item.word == "done"]
    return bool(planned)


def _only_half(clause: Clause, desk: Desk, words: set[str]) -> bool:
    """ "he only got half of it down"; "will do the rest tomorrow"."""
    rest = "rest" in words and bool(words & DOING)
    half = clause.cued("partly") and bool(words & SWALLOWED)
    if not rest and not half:
        return False
    done = [given for _, given in _recent(clause, desk) if given.status == "done"]
    for given in done:
        if rest or given.care in REPEATED:
            given.status = "partly"
    return bool(done)


def _again(clause: Clause, desk: Desk, words: set[str]) -> bool:
    """ "next due at nine tonight", "and again on the fourteenth", "the repeat is in ten days"."""
    to_come = " ".join(clause.words).endswith("to come")
    if not (words & AGAIN or to_come) or not words & TO_COME or _has_sign(clause):
        return False
    told = False
    recent = _recent(clause, desk)
    if "feed" in words:
        # "Syringe fed twenty mil, meloxicam given. Next feed at ten."
        sheets = [(name, one) for name in desk.of_now for one in desk.sheet(name).care]
        recent = [one for one in sheets if one[1].care == "syringe_feed"][-1:]
    for name, given in recent:
        if given.care in REPEATED and given.status in ("done", "partly"):
            again = Given(
                given.care,
                given.side,
                "planned",
                _plan_words(clause),
                given.product,
                sentence=clause.sentence,
            )
            desk.sheet(name).care.append(again)
            told = True
    return told


def _put_off(clause: Clause, desk: Desk, words: set[str]) -> bool:
    """ "haven't cut them, will do Sunday"."""
    future = _plan_words(clause)
    if not future or not words & DOING or _has_sign(clause):
        return False
    told = False
    for _, given in _recent(clause, desk):
        if given.status == "not_done":
            given.status = "planned"
            given.items += future
            told = True
    return told


def _plan_words(clause: Clause) -> list[Item]:
    plan = [item for item in clause.items if item.cue("plan")]
    return plan or [item for item in clause.items if item.tail == "ll"]


def _has_sign(clause: Clause) -> bool:
    return any(item.has("sign") and not item.cue("plan") for item in clause.items)
