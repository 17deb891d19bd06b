"""Cut a note into clauses: by its commas, by who speaks of what, and where nobody wrote a comma."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from cavyround.engines.spoken.breaths import begins_softly, is_run_on
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
