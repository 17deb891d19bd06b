"""Whether what is told of a place still holds: looked for and not found, passed, told of the past.

Our own mapping; no published source states it.
"""

import re
from collections.abc import Iterable
from dataclasses import replace

from cavyround.engines.spoken.result import SaidFinding
from cavyround.engines.spoken.tokens import Span
from cavyround.facts.observation import Status

# "Went over her for bites, nothing": looked for and not found.
LOOKED_FOR = re.compile(
    r"\b(look|looked|looking|went over|been over|checked|search\w*|felt|feel|hunted|combed)\b"
    r"[^.;]*?\bfor\b(?P<what>[^.;]*?)[,:;-]+\s*(and |but |found )*"
    r"(nothing|none|nowt|not one|no sign)\b",
    re.IGNORECASE,
)
# "Three sneezes this morning, none since": they were there.
NONE_SINCE = re.compile(r"\b(none|not one|nothing|no more|not again|nil) since\b", re.IGNORECASE)
# "Wet for a sec, now dry"; only of what alone is no emergency.
FLEETING = re.compile(
    r"\bfor (a|one|half a) (sec|secs|second|moment|minute|mo|tick)\b.*\b(now|then|since|after) "
    r"(dry|clean|clear|fine|normal|gone|ok|okay)\b",
    re.IGNORECASE,
)
PASSES = frozenset({"discharge", "watery", "wet", "red", "tear_milk"})
PAST = re.compile(r"\b(was|were|had|been|went)\b", re.IGNORECASE)
WELL = frozenset({"normal", "eating_normally", "bright"})
END = re.compile(r"[.;]")


def as_it_stands(one: SaidFinding, word: Span, text: str) -> SaidFinding:
    """The finding, there or not as the words around its own say."""
    start = word.start
    if one.status is Status.PRESENT:
        for looked in LOOKED_FOR.finditer(text):
            if looked.start("what") <= start < looked.end("what"):
                return replace(one, status=Status.ABSENT)
    since = NONE_SINCE.search(text) if one.status is Status.ABSENT else None
    if since is not None and start < since.start() and not END.search(text[start : since.start()]):
        return replace(one, status=Status.PRESENT)
    return one


def has_passed(one: SaidFinding, word: Span, text: str) -> bool:
    """ "Wet for a sec, now dry": it was, and is not."""
    if one.finding not in PASSES or one.status is Status.ABSENT:
        return False
    return any(
        word.start < said.start() and not END.search(text[word.start : said.start()])
        for said in FLEETING.finditer(text)
    )


def is_told_otherwise_now(one: SaidFinding, sentence: str, now: Iterable[SaidFinding]) -> bool:
    """Whether a sign of the past is answered by what its own place shows today.

    "Was off her food the first evening", and of her eating: "eats everything".
    """
    if one.status is Status.ABSENT or not PAST.search(sentence):
        return False
    today = [other for other in now if other.region == one.region]
    well = any(
        other.finding in WELL or (other.finding, other.status) == (one.finding, Status.ABSENT)
        for other in today
    )
    ill = any(other.status is not Status.ABSENT and other.finding not in WELL for other in today)
    return well and not ill
