"""What is not said of this animal now: advice, if and when, once, questions, speech to others."""

from cavyround.engines.spoken.answers import answered
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item

# Such a frame holds on through the sentence until the speaker comes back.
HELD = frozenset({"hypothetical", "general_talk", "other_person", "question"})
CUES = (
    ("to_animal", "to_animal"),
    ("hypothetical", "hypothetical"),
    ("general", "general_talk"),
    ("other", "other_person"),
    ("history", "history"),
)
YOU = frozenset({"you", "your", "youre", "yourself"})
# "You can feel every rib" is said of the animal.
YOU_SEE = frozenset({"can", "could", "know", "see", "feel", "d", "hear", "cant", "wouldnt"})
WEEKDAYS = frozenset(
    ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday", "yesterday"]
)
WAS = frozenset({"was", "had", "were", "wasnt", "did", "got", "hadnt"})
IS = frozenset(
    {
        "is",
        "are",
        "has",
        "been",
        "still",
        "since",
        "now",
        "today",
        "isnt",
        "hasnt",
        "booked",
        "till",
        "until",
    }
)
ASKING = frozenset({"what", "who", "how", "where", "why"})
FUTURE = frozenset({"will", "gonna", "tomorrow"})
# In a long breath without commas a cue reaches so many words on, and no further.
SHORT_BREATH = 16
REACH = {
    "to_animal": 5,
    "history": 6,
    "general_talk": 12,
    "hypothetical": 14,
    "other_person": 9,
    "question": 8,
}
BACK = {
    "to_animal": 2,
    "history": 5,
    "general_talk": 3,
    "hypothetical": 5,
    "other_person": 2,
    "question": 0,
}


def leave_strange(clauses: list[Clause]) -> None:
    """A sentence of words of which hardly any is known, as in another language, says nothing."""
    sentences: dict[int, list[Item]] = {}
    for clause in clauses:
        sentences.setdefault(clause.sentence, []).extend(clause.items)
    for items in sentences.values():
        known = sum(len(item.word.split()) for item in items if _is_known(item))
        words = sum(len(item.word.split()) for item in items)
        if words >= LEAST_WORDS and known < words * LEAST_KNOWN:
            for item in items:
                item.left_out = "no_content"


# Measured on the worked notes: of every sentence of six words or more, over half are known.
LEAST_WORDS = 6
LEAST_KNOWN = 0.45


def _is_known(item: Item) -> bool:
    return bool(item.mark or item.number or item.name or item.plain)


def frame(clauses: list[Clause], *, several: bool) -> None:
    """Mark every item that is not said of an animal on the table now, with the reason."""
    leave_strange(clauses)
    held, sentence = "", -1
    for index, clause in enumerate(clauses):
        if clause.sentence != sentence:
            held, sentence = "", clause.sentence
        if answered(clause, clauses[index + 1 : index + 2]):
            continue
        if held and (_comes_back(clause) or _turns_back(clause)):
            held = ""
        why, cue_at = _frame_of(
            clause, clauses[index + 1] if index + 1 < len(clauses) else None, several=several
        )
        if why:
            _leave_out(clause, why, cue_at)
            held = why if why in HELD else held
        elif held and not any(item.name for item in clause.items):
            _leave_out(clause, held, 0)
        elif held:
            held = ""


def _comes_back(clause: Clause) -> bool:
    first = next((item for item in clause.items if item.word not in ("and", "so")), None)
    return first is not None and first.cue("resume")


def _turns_back(clause: Clause) -> bool:
    """Without commas: a place, a name, a number or a "no" begins what is said of the animal."""
    if not clause.soft:
        return False
    first = next(
        (item for item in clause.items if item.word not in ("his", "her", "the", "both")), None
    )
    return first is not None and bool(
        first.name
        or first.number
        or first.has("place")
        or first.has("places")
        or first.cue("no")
        or first.has("side")
    )


def _frame_of(clause: Clause, following: Clause | None, *, several: bool) -> tuple[str, int]:
    question = _question_at(clause, following)
    if question >= 0:
        return "question", question
    for cue, why in CUES:
        for at, item in enumerate(clause.items):
            if not item.cue(cue):
                continue
            if _is_of_this_one(cue, clause, at, several=several):
                continue
            return why, at
    at = _watched_for(clause)
    if at >= 0:
        return "hypothetical", at
    at = _to_you(clause)
    if at >= 0:
        return "to_animal", at
    if _was_then(clause):
        return "history", 0
    return "", 0


def _is_of_this_one(cue: str, clause: Clause, at: int, *, several: bool) -> bool:
    """Whether a cue says nothing here: compared with another day, or "they" are those checked."""
    if cue == "history":
        return _is_of_now(clause) or _is_compared(clause, at)
    if cue != "general":
        return False
    word = clause.items[at].word
    if word.startswith("they") and clause.cued("no_after"):
        # "Had lice, they're all gone now": the lice are.
        return True
    return several and word in ("they do", "they get", "they all", "they never")


def _question_at(clause: Clause, following: Clause | None) -> int:
    if clause.ended == "?":
        starts = [at for at, item in enumerate(clause.items) if item.cue("question")]
        return starts[0] if starts else 0
    for at, item in enumerate(clause.items[:3]):
        if item.word in ASKING and item.tail != "s":
            # "What he does have is a torn ear": nothing is asked.
            continue
        if item.cue("question") and all(one.cue("resume") or one.name for one in clause.items[:at]):
            return at if following is None or clause.opens or at else -1
    return -1


def _watched_for(clause: Clause) -> int:
    """ "watch Duke for blood": what may come."""
    items = clause.items
    for at in range(len(items) - 2):
        if items[at].word in ("watch", "check", "monitor") and items[at + 1].name:
            return at + 2 if items[at + 2].word == "for" else -1
    return -1


def _to_you(clause: Clause) -> int:
    for at, item in enumerate(clause.items):
        words = item.word.split()
        if words and words[0] in YOU:
            next_word = clause.items[at + 1].word if at + 1 < len(clause.items) else ""
            if words[0] == "you" and (
                (len(words) > 1 and words[1] in YOU_SEE)
                or next_word.split(" ")[0] in YOU_SEE
                or item.tail == "d"
            ):
                continue
            return at
    return -1


def _is_compared(clause: Clause, at: int) -> bool:
    """ "smaller than yesterday": said of now."""
    before = clause.items[at - 1].word.split()[-1] if at and clause.items[at - 1].word else ""
    return before in ("than", "since", "from", "like", "as")


def _is_of_now(clause: Clause) -> bool:
    return clause.cued("now") and not any(word in WAS for word in clause.words)


def _was_then(clause: Clause) -> bool:
    words = set(clause.words)
    return bool(words & WEEKDAYS and words & WAS and not words & IS)


def _leave_out(clause: Clause, why: str, at: int) -> None:
    items = clause.items
    if len(clause.words) <= SHORT_BREATH:
        begin, end = 0, len(items)
    else:
        begin, end = max(0, at - BACK[why]), min(len(items), at + 1 + REACH[why])
    for index in range(begin, end):
        item = items[index]
        if index > at and _ends_reach(item, why):
            break
        if why == "history" and item.cue("no_after"):
            continue
        item.left_out = item.left_out or why


def _ends_reach(item: Item, why: str) -> bool:
    if item.cue("resume") and item.word not in ("so", "now", "right", "ok", "okay", "alright"):
        return True
    if why != "history" and item.word in ("anyway", "right"):
        return True
    return bool(item.name) and why != "history"
