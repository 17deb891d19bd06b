"""Cut a note into clauses: by its commas, by who speaks of what, and where nobody wrote a comma."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from cavyround.engines.spoken.items import Item


@dataclass(slots=True)
class Clause:
    """What is said in one breath: the items up to a comma, a full stop or a joint."""

    items: list[Item]
    sentence: int
    opens: bool
    ended: str = ""
    soft: bool = False
    words: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        """All words, lower case."""
        self.words = [word for item in self.items for word in item.word.split()]

    def having(self, sort: str) -> list[Item]:
        """The items that may mean something of a sort and are read."""
        return [one for one in self.items if one.has(sort) and not one.left_out]

    def cued(self, *codes: str) -> bool:
        """Whether one of these cues is there."""
        return any(one.cue(*codes) for one in self.items)


# A clause that runs on without a break is cut here: nobody says more in one breath.
LONGEST_BREATH = 40
SUBJECTS = frozenset({"i", "he", "she", "it", "that", "they", "we", "this", "there"})
JOINS = frozenset({"and", "or", "nor"})
BEFORE_A_NAME = frozenset(
    [
        "on",
        "of",
        "for",
        "in",
        "with",
        "under",
        "from",
        "gave",
        "give",
        "to",
        "at",
        "and",
        "or",
        "by",
        "see",
        "about",
        "is",
        "called",
        "s",
        "named",
        "name",
        "weigh",
        "weighed",
        "did",
        "do",
        "think",
        "like",
        "then",
        "off",
        "from",
        "to",
        "under",
        "round",
        "over",
        "around",
        "behind",
    ]
)


def clauses_of(items: Iterable[Item]) -> list[Clause]:
    """Cut the items into clauses."""
    clauses: list[Clause] = []
    now: list[Item] = []
    sentence, opens, soft = 0, True, False

    def close(ended: str) -> None:
        nonlocal now, opens, soft
        if now or ended == "?":
            clauses.append(Clause(now, sentence, opens, ended, soft))
            opens = False
        now, soft = [], False

    listed = list(items)
    runs_on = is_run_on(listed)
    for index, item in enumerate(listed):
        if item.is_break:
            close("." if item.is_end and "?" not in item.stop else item.stop)
            if "?" in item.stop and clauses:
                clauses[-1].ended = "?"
            if item.is_end:
                sentence, opens = sentence + 1, True
            continue
        if len(now) >= LONGEST_BREATH or (
            now and _begins_anew(item, now, listed[index + 1] if index + 1 < len(listed) else None)
        ):
            close("")
        elif runs_on and now and begins_softly(listed, index, now):
            close("")
            soft = True
        now.append(item)
    close(".")
    return clauses


def _begins_anew(item: Item, so_far: list[Item], following: Item | None) -> bool:
    if (
        item.word == "both"
        and following is not None
        and (
            following.word in ("had", "have", "got", "took", "are", "been")
            or (following.has("sign") and any(one.has("sign") or one.number for one in so_far))
        )
    ):
        return True
    if item.name:
        last = so_far[-1]
        if any(one.name == item.name for one in so_far) or (last.name and item.tail == "s"):
            return True
        if last.word == "and" and following is not None and _tells_another(item, following, so_far):
            return True
        if last.name or last.word in BEFORE_A_NAME or last.tail in ("s", "re", "m"):
            return False
        return any(
            one.number or one.has("sign") or one.has("care") or one.cue("blanket") for one in so_far
        )
    if so_far[-1].word == "so" and item.word in SUBJECTS and len(so_far) > 1:
        return True
    if item.cue("fragment_end") and item.word in ("but", "though", "although", "except", "however"):
        return True
    return item.cue("correction") and item.word not in ("sorry", "rather", "not the")


def _tells_another(item: Item, following: Item, so_far: list[Item]) -> bool:
    """ "Pepper is one pound fifteen and Socks is two pounds three"."""
    said = any(one.name for one in so_far) and any(one.number or one.has("sign") for one in so_far)
    verb = following.word in ("is", "has", "weighs", "got", "looks", "was", "are")
    return said and (verb or following.number is not None or item.tail == "s")


# So many words without a full stop are a recogniser's that writes none.
RUN_ON = 18
OF_PLACE = frozenset(
    [
        "on",
        "in",
        "from",
        "off",
        "of",
        "around",
        "round",
        "under",
        "behind",
        "at",
        "over",
        "near",
        "to",
        "along",
        "by",
        "inside",
        "between",
        "across",
        "above",
        "below",
        "beneath",
        "beside",
        "throughout",
        "down",
        "underneath",
    ]
)
LINKS = OF_PLACE | frozenset(
    [
        "and",
        "or",
        "nor",
        "with",
        "the",
        "his",
        "her",
        "its",
        "their",
        "a",
        "an",
        "left",
        "right",
        "both",
        "no",
        "not",
        "any",
        "either",
        "each",
        "front",
        "back",
        "hind",
        "my",
    ]
)
LEADS = frozenset(
    {"his", "her", "the", "its", "their", "left", "right", "both", "front", "back", "hind"}
)
SPEAKS = frozenset(
    {"he", "she", "it", "i", "they", "we", "that", "there", "ive", "hes", "shes", "this"}
)
AFTER_THESE = frozenset(
    [
        "if",
        "when",
        "that",
        "as",
        "because",
        "and",
        "but",
        "or",
        "than",
        "what",
        "which",
        "while",
        "where",
        "how",
        "do",
        "did",
        "is",
        "are",
        "was",
        "has",
        "have",
        "can",
        "could",
        "will",
        "would",
        "so",
        "like",
        "think",
        "said",
        "says",
        "unless",
        "in",
        "case",
    ]
)
STATES = frozenset(
    {"is", "are", "was", "has", "have", "isnt", "arent", "not", "looks", "feels", "look"}
)
LIGHTEST_WEIGHT = 100
ORDINALS = frozenset({"first", "second", "third", "fourth", "fifth", "sixth", "next", "last"})


def is_run_on(items: list[Item]) -> bool:
    """Whether a text came without full stops."""
    words = sum(1 for item in items if not item.is_break)
    stops = sum(1 for item in items if item.is_break)
    return words > RUN_ON // 2 and words > stops * RUN_ON


def begins_softly(items: list[Item], at: int, so_far: list[Item]) -> bool:
    """Where a comma would stand: something has been said, and a new subject begins."""
    item, last = items[at], so_far[-1]
    if item.cue("resume") and item.word in ("anyway", "anyhow", "okay", "ok", "right so", "now"):
        return True
    following = items[at + 1].word if at + 1 < len(items) else ""
    if item.word in ORDINALS and following in ("is", "one", "up"):
        return True
    if item.cue("to_animal", "hypothetical", "question") and item.word not in AFTER_THESE:
        return last.word not in AFTER_THESE
    if not any(one.has("sign") or one.number or one.has("care") for one in so_far):
        return False
    if item.word.split()[:1] and item.word.split()[0] in SPEAKS:
        return last.word not in AFTER_THESE
    if item.cue("no") and item.word not in ("not", "nor"):
        return last.word not in AFTER_THESE | STATES
    if item.number is not None and item.number.value >= LIGHTEST_WEIGHT:
        return not last.has("about") and last.word not in LINKS | STATES
    return _new_place(items, at, so_far)


def _new_place(items: list[Item], at: int, so_far: list[Item]) -> bool:
    last = so_far[-1]
    if last.word in LINKS or (last.has("side") and last.word != "both"):
        return False
    said_of_me = len(so_far) > 1 and so_far[-2].word == "i"
    if last.has("verb") and (said_of_me or not last.has("sign")):
        # "i trimmed her nails": what was done to it.
        return False
    place = at
    while place < len(items) and items[place].word in LEADS and place < at + 3:
        place += 1
    if place >= len(items) or not (items[place].has("place") or items[place].has("places")):
        return False
    signs = [index for index, one in enumerate(so_far) if one.has("sign") or one.has("verb")]
    placed = [index for index, one in enumerate(so_far) if one.has("place") or one.has("places")]
    if placed and signs and placed[0] < signs[-1]:
        return True
    following = items[place + 1] if place + 1 < len(items) else None
    return following is not None and (
        following.has("sign") or following.word in STATES or items[place].tail == "s"
    )
