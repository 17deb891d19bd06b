"""What a word says of the place it is told of, and not of the animal or of another place.

"Rough and dull" told of the coat is how the coat looks; "nothing runny" told of the droppings
denies one look and not all of them. Our own mapping; no published source states it.
"""

import re
from collections.abc import Sequence

from cavyround.engines.spoken.result import SaidFinding
from cavyround.engines.spoken.tokens import Span
from cavyround.facts.observation import Grade, Status

# What is passed, eaten or breathed has no skin or coat of its own.
NO_SKIN = frozenset({"urine", "droppings", "appetite", "breathing"})
OF_SKIN = frozenset({"thick", "dull", "thin_hair", "greasy"})
# "Dull" and "flat" alone, told of these: the place lies flat, the coat has no shine.
FLAT = re.compile(
    r"((lies|lying|lay|sits|all|quite|very|a bit) )?(flat|dull|lifeless)", re.IGNORECASE
)
MAY_BE_FLAT = frozenset({"skin", "coat", "grease_gland", "nipple", "vulva", "anus", "perineal_sac"})
# "He's flat", "has gone dull in himself": the animal, wherever it is told.
OF_ITSELF = re.compile(
    r"\b(he|she|it|him|her|they|pig|piggy|animal)( |'|\u2019)?"
    r"(s|is|was|looks|seems|has|feels|very|in|just)?\b[^.;,]{0,15}"
    r"\b(flat|dull|lifeless)\b|\b(flat|dull) in (him|her|it)self",
    re.IGNORECASE,
)
# "None, nothing runny either".
NONE_AT_ALL = re.compile(
    r"\s*(none|nothing|nowt|zero|nil|no (droppings|poos?|poops?))\s*[.;,:]", re.IGNORECASE
)
NOTHING = re.compile(r"(nothing|none|nowt|no)", re.IGNORECASE)
PARTS = re.compile(r"[.;,:]")
CLUMP = re.compile(
    r"\b(ball|clump|wad|lump|plug|wodge|dollop|blob|mass)s? of [^.;,]{0,25}"
    r"(poo|droppings?|muck|gunge|stuff|caecals?|cecals?|dung|mess|hair)",
    re.IGNORECASE,
)
ANOTHER = re.compile(r"\b(and|beside|next to|under|behind|near|also|plus|with a)\b", re.IGNORECASE)
ON_HAIR = re.compile(r"\b(on|off|from|in|into|to|over)( the| her| a bit of)?\s*$", re.IGNORECASE)


def is_only_a_look(
    region: str, one: SaidFinding, word: Span, read: Sequence[SaidFinding], text: str
) -> bool:
    """Whether a finding read at a place is only how that place looks, or where a thing is."""
    if one.status is Status.ABSENT:
        return False
    said = text[word.start : word.end]
    if one.finding == "none_passed":
        return _denies_one_look(word, read, text)
    if one.finding == "lethargic":
        of_itself = OF_ITSELF.search(_part(text, word.start))
        return region in MAY_BE_FLAT and FLAT.fullmatch(said) is not None and of_itself is None
    if region in NO_SKIN and one.region in ("skin", "coat"):
        return one.finding in OF_SKIN
    if one.finding == "lump" and region == "perineal_sac":
        return _is_size_of_the_clump(word, read, text)
    if one.finding == "debris" and said.lower().startswith("hair"):
        return ON_HAIR.search(text[: word.start]) is not None
    return False


def _denies_one_look(word: Span, read: Sequence[SaidFinding], text: str) -> bool:
    """ "Nothing runny": the same "nothing" says that another thing is not there."""
    if NOTHING.fullmatch(text[word.start : word.end]) is None or NONE_AT_ALL.match(text):
        return False
    return any(
        other.status is Status.ABSENT
        and any(span.start == word.start for span in other.spans)
        and not PARTS.search(text[word.end : max(span.start for span in other.spans)])
        for other in read
    )


def _is_size_of_the_clump(word: Span, read: Sequence[SaidFinding], text: str) -> bool:
    """ "A ball of soft poo the size of a grape": the clump again, and no growth."""
    packed = any(f.finding == "impacted" and f.status is Status.PRESENT for f in read)
    clumps = [clump for clump in CLUMP.finditer(text) if clump.start() <= word.start]
    if not packed or not clumps:
        return False
    between = text[clumps[-1].end() : word.start]
    return not PARTS.search(between) and not ANOTHER.search(between)


def _part(text: str, start: int) -> str:
    begin = max((stop.end() for stop in PARTS.finditer(text, 0, start)), default=0)
    end = PARTS.search(text, start)
    return text[begin : end.start() if end else len(text)]


# What a sow in season may show at the vulva, and what is not of it (findings table,
# perineum_female: "small open or pink, moist vulva without blood for a day").
OF_SEASON = frozenset({"swelling", "wet", "red"})
NOT_OF_SEASON = frozenset({"blood", "discharge", "stuck_out", "smell", "sore", "lump", "wound"})


def of_season(read: Sequence[tuple[SaidFinding, str]]) -> list[tuple[SaidFinding, str]]:
    """An open, slightly puffy and moist vulva of a sow told to be in season is of the season."""
    there = [one for one, _ in read if one.status is not Status.ABSENT]
    at_vulva = {one.finding for one in there if one.region == "vulva"}
    in_season = any(one.finding == "in_season" for one in there)
    if not in_season or "open" not in at_vulva or at_vulva & NOT_OF_SEASON:
        return list(read)
    return [(one, text) for one, text in read if not _is_of_season(one)]


def _is_of_season(one: SaidFinding) -> bool:
    slight = one.grade in (None, Grade.SLIGHT) or one.finding == "wet"
    present = one.status is not Status.ABSENT
    return present and one.region == "vulva" and one.finding in OF_SEASON and slight
