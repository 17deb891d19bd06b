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
PAST = re.compile(r"\b(was|were|had|been|went|got|lost|came|broke|caught)\b", re.IGNORECASE)
# "On day four of the antibiotic for a scratched eye": what a medicine is given for.
TREATED = re.compile(
    r"\b(antibiotics?|syrup|drops|medicine|meds|painkillers?|metacam|meloxicam|cream|ointment|course"
    r"|tablets|jabs?|injections?|treat(ed|ment))\b[^.;,]{0,25}\bfor\b",
    re.IGNORECASE,
)
WELL = frozenset({"normal", "eating_normally", "bright"})
END = re.compile(r"[.;]")


OVER = re.compile(
    r"\b(spring|summer|autumn|winter|easter|christmas|xmas|new year|last (year|month)"
    r"|(months?|years?) (ago|back)|as a (pup|baby|youngster|kit|wee thing)"
    r"|when (he|she) was (a|little|young|small|tiny)|treated|cleared( up)?|healed"
    r"|used to (have|be|get)|once had"
    r"|january|february|march|april|june|july|august|september|october|november|december"
    r"|(last|in|since|of|back in|this|early|late|mid) may)\b"
)
# "Clear ever since", "long since better", "combed her all over today and nothing".
ENDED = re.compile(
    r"\b((all |been |long )?(clear|clean|fine|well|better|ok|okay|good|healed|gone|none|nothing"
    r"|no (trouble|problem|sign|bother|more|issue)s?|right as rain|sound|sorted|mended|over)"
    r"( (of it|with it|now|it|at all|seen|again))* (ever )?since( then)?"
    r"|(long|ages|all|completely|fully|well|now) (since )?(better|gone|over|healed|clear|cleared"
    r"|mended|sorted|recovered)"
    r"|(grown|grew|growing) (back|out|in)|regrown"
    r"|(and|but|found|,) (found )?(nothing|none|not a thing|not one)( (there|left|seen|now|today"
    r"|to (see|find|be seen|be found)))*\s*(?=$|[,.;])"
    r"|(healed|cleared|mended|settled|went|gone|sorted)( up| down| itself| away| over)?"
    r"( (completely|nicely|well|fine|now|by itself|in a week))?\s*(?=$|[,.;]))",
    re.IGNORECASE,
)
STILL = re.compile(
    r"\b(still|now|again|since|today|yesterday|back again"
    r"|(not|never|hardly|\w+n.t)( \w+)? (cleared|gone|healed|better)"
    r"|come back|came back|keeps|returned|worse)\b"
)


def sentence_of(one: SaidFinding, text: str) -> str:
    """The sentence a finding was told in."""
    start = min((span.start for span in one.spans), default=0)
    return part_at(r"[^.;]+", text, start)


def part_at(parts: str, text: str, start: int) -> str:
    """The part of a text in which a place of it lies."""
    for part in re.finditer(parts, text):
        if part.start() <= start < part.end():
            return part.group()
    return text


def is_over(one: SaidFinding, text: str) -> bool:
    """ "Had ringworm in the spring, treated": of another season, or said to be over."""
    low = sentence_of(one, text).lower()
    return bool(OVER.search(low)) and not STILL.search(_without_its_end(low))


PART = re.compile(r"[,:]|\b(?:but|though|although|until|till)\b")


def _without_its_end(low: str) -> str:
    """The sentence without the parts that say it ended, so that their "since" tells no more."""
    return ", ".join(part for part in PART.split(low) if not ENDED.search(part))


def is_of_another_season(one: SaidFinding, text: str) -> bool:
    """ "Had lice back in July, combed her all over today and nothing", told of the coat.

    At a place of its own, where today is told, a past must both have a time and be ended.
    """
    low = sentence_of(one, text).lower()
    return (
        one.status is Status.PRESENT
        and PAST.search(low) is not None
        and OVER.search(low) is not None
        and ENDED.search(low) is not None
        and not STILL.search(_without_its_end(low))
    )


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
    if one.status is Status.ABSENT or not (PAST.search(sentence) or TREATED.search(sentence)):
        return False
    today = [other for other in now if other.region == one.region]
    well = any(
        other.finding in WELL or (other.finding, other.status) == (one.finding, Status.ABSENT)
        for other in today
    )
    ill = any(other.status is not Status.ABSENT and other.finding not in WELL for other in today)
    return well and not ill
