"""How each sign is meant: there, not there, perhaps; after NegEx and ConText, for speech."""

from cavyround.engines.spoken.breaths import OF_PLACE
from cavyround.engines.spoken.clauses import JOINS, Clause
from cavyround.engines.spoken.items import Item
from cavyround.facts.observation import Status

# A word that begins something new, so that a "no" before it reaches no further.
NEW_SUBJECT = frozenset(
    [
        "he",
        "she",
        "it",
        "they",
        "there",
        "theres",
        "i",
        "we",
        "is",
        "are",
        "has",
        "have",
        "got",
        "looks",
        "seems",
        "feels",
        "now",
        "today",
        "that",
        "this",
        "also",
        "still",
        "does",
        "can",
        "will",
        "thats",
        "hers",
        "his's",
        "with",
    ]
)
MEASURED = frozenset({"a", "some", "an", "couple", "few", "one", "two", "three", "several"})
DENYING = frozenset(
    [
        "no",
        "not",
        "hasnt",
        "isnt",
        "cant",
        "wont",
        "without",
        "didnt",
        "doesnt",
        "couldnt",
        "havent",
        "never",
        "wouldnt",
    ]
)
# Alone these deny what follows; after a place they say that nothing came.
BARE_NO = frozenset({"nil", "none", "nothing", "zero"})
# "not touched his veg, breathing fast": such a word denies the verb behind it.
VERBAL = frozenset({"not", "hasnt", "didnt", "wont", "doesnt", "havent"})
FAR = 9
BENIGN = frozenset({"normal", "bright", "eating_normally", "lively"})


def scope(clauses: list[Clause]) -> None:
    """Note on every sign of a sentence whether it is there."""
    reach = _Reach()
    sentence = -1
    for index, clause in enumerate(clauses):
        if clause.sentence != sentence:
            reach.ends()
            sentence = clause.sentence
        reach.crosses_comma()
        _walk(clause, reach, clauses[index : index + 4])
        _after(clause)


class _Reach:
    """How far a "no" reaches."""

    def __init__(self) -> None:
        self.cue: Item | None = None
        self.ends()

    def ends(self) -> None:
        """Nothing is denied any more."""
        self.cue, self.signs, self.comma, self.joined, self.since = None, 0, False, False, 0

    def begins(self, cue: Item) -> None:
        """A word that denies."""
        self.cue, self.signs, self.comma, self.joined, self.since = cue, 0, False, False, 0

    def crosses_comma(self) -> None:
        """A comma: a list may go on."""
        if self.cue is not None:
            self.comma = True
            if self.signs == 0:
                # "No, Oreo": an answer, nothing denied.
                self.ends()

    def joins(self, word: str) -> None:
        """ "and", "or": the list goes on, after "or" also to a new quality."""
        self.joined = word != "and" or self.joined
        if word == "and" and self.cue is not None:
            self.comma = True

    def goes_on(self) -> None:
        """A word that changes nothing; too many of them end it."""
        self.since += 1
        if self.since > FAR:
            self.ends()


def _walk(clause: Clause, reach: _Reach, ahead: list[Clause]) -> None:
    measured = False
    for at, item in enumerate(clause.items):
        if item.left_out:
            continue
        _step(clause.items, at, reach, ahead, measured=measured)
        measured = (
            item.word in MEASURED
            or item.cue("slight", "moderate", "marked")
            or (measured and item.word in ("of", "bit", "little", "very"))
        )


def _step(
    items: list[Item], at: int, reach: _Reach, ahead: list[Clause], *, measured: bool
) -> None:
    """What one word does to the reach of a "no"."""
    item = items[at]
    if item.cue("not_a_no"):
        reach.ends()
    elif _denies(item, items, at):
        reach.begins(item)
    elif item.has("sign"):
        _judge(item, reach, measured=measured, ahead=ahead)
    elif item.cue("fragment_end") or item.name or item.number:
        reach.ends()
    elif item.word in JOINS:
        reach.joins(item.word)
    elif (reach.cue is not None and item.has("place")) or item.has("places"):
        if _is_another_place(items, at, reach):
            reach.ends()
    elif reach.signs and item.word.split(" ")[0] in NEW_SUBJECT:
        reach.ends()
    elif reach.cue is not None:
        reach.goes_on()


def _is_another_place(items: list[Item], at: int, reach: _Reach) -> bool:
    """Whether something new begins with a place: nothing ties it to what was denied."""
    before = items[at - 1].word if at else ""
    verb = reach.cue is not None and reach.cue.word in VERBAL and reach.since > 0
    return bool(reach.signs or verb) and not _linked(items, at) and before not in JOINS


def _denies(item: Item, items: list[Item], at: int) -> bool:
    if not item.cue("no") and not _begins_with_no(item):
        return False
    if item.has("sign", "not_felt") and not any(
        one.has("place", "testicle") or one.has("places", "testicle") for one in items
    ):
        # "can't feel anything broken"; of a testicle it is what was found.
        return any(one.has("sign") for one in items[at + 1 :])
    if item.has("sign") and (
        item.word not in BARE_NO or any(one.has("place") or one.has("places") for one in items[:at])
    ):
        return False
    following = items[at + 1] if at + 1 < len(items) else None
    return not (
        item.word == "no"
        and following is not None
        and (
            following.name
            or following.word in ("its", "it", "that", "he", "she", "you", "i", "sorry")
        )
    )


def _begins_with_no(item: Item) -> bool:
    """ "hasn't had", "didn't see": longer words that deny as well."""
    return item.cue("not_done", "skip") and item.word.split()[0] in DENYING - {"no", "not", "cant"}


def _linked(items: list[Item], at: int) -> bool:
    """Whether a place is tied to what stands before it by a preposition."""
    for index in range(at - 1, max(-1, at - 5), -1):
        if items[index].word in OF_PLACE:
            return True
        if items[index].has("sign"):
            return False
    return False


def _judge(item: Item, reach: _Reach, *, measured: bool, ahead: list[Clause]) -> None:
    forms = {one.entry.form for one in item.of("sign")}
    codes = {one.code for one in item.of("sign")}
    if reach.cue is None:
        return
    if reach.since and reach.cue.word in VERBAL and item.word.startswith("breathing "):
        # "not well breathing is fast": the sign brings its own place.
        reach.ends()
        return
    if item.word.split()[0] in DENYING:
        # "no droppings" is there, whatever was denied before it.
        reach.ends()
        return
    if reach.signs and reach.comma:
        new = measured and not reach.joined
        quality = "thing" not in forms and not reach.joined and not _or_ahead(ahead, item)
        if new or (quality and not _doing_list(reach, forms)) or codes <= BENIGN:
            reach.ends()
            return
    elif reach.signs and codes <= BENIGN:
        reach.ends()
        return
    item.notes["status"] = Status.ABSENT
    reach.cue.used = True
    item.notes["cue"] = str(reach.cue.start)
    reach.signs += 1
    reach.comma = False
    reach.since = 0


def _doing_list(reach: _Reach, forms: set[str]) -> bool:
    """ "no sneezing, coughing or wheezing": doings in a list after "no" go on."""
    return (
        reach.cue is not None
        and reach.cue.word in ("no", "without", "nil", "never")
        and ("doing" in forms)
    )


def _or_ahead(ahead: list[Clause], item: Item) -> bool:
    sentence = ahead[0].sentence if ahead else -1
    seen = False
    for clause in ahead:
        if clause.sentence != sentence:
            return False
        for one in clause.items:
            if one is item:
                seen = True
                continue
            if not seen:
                continue
            if one.word in ("or", "nor"):
                return True
            if one.cue("fragment_end") or one.word in NEW_SUBJECT or one.has("place"):
                return False
    return False


def _after(clause: Clause) -> None:
    """ "wheeze absent", "lump not found", "sneezing has stopped"; and what is perhaps there."""
    items = clause.items
    for at, item in enumerate(items):
        if item.left_out or (item.has("sign") and not item.cue("no_after")):
            continue
        if item.cue("no_after") and not (item.cue("only_last") and items[at + 1 :]):
            sign = _sign_before(items, at)
            if sign is not None and sign.notes.get("status") is None:
                sign.notes["status"] = Status.ABSENT
                sign.notes["cue"] = str(item.start)
                item.used = True
    if any(item.cue("hedge") and not item.left_out for item in items):
        for item in items:
            if item.has("sign") and item.notes.get("status") is None:
                item.notes["status"] = Status.UNCERTAIN
                item.notes["hedged"] = "yes"
    for item in items:
        if item.cue("hedge"):
            item.used = True


def _sign_before(items: list[Item], at: int) -> Item | None:
    for index in range(at - 1, -1, -1):
        if items[index].has("sign") and not items[index].cue("no_after"):
            return items[index]
        if items[index].cue("fragment_end") or items[index].name:
            return None
    return None
