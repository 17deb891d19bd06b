"""Of which place a told finding is.

A case is told place by place. What stands at a place is of that place, unless its words name
another: the reader of notes, who must guess the place, files "pus" without a place at the nose.
Our own mapping; no published source states it.
"""

import re
from collections.abc import Iterable
from dataclasses import replace

from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.result import SaidFinding
from cavyround.engines.spoken.spots import FEET, LEGS
from cavyround.engines.spoken.tokens import Span
from cavyround.engines.spoken.told_over import as_it_stands, has_passed
from cavyround.facts.observation import Side, Status
from cavyround.knowledge.book import Knowledge

# The whole animal and its cover are everywhere: what is found there may be of any place.
EVERYWHERE = frozenset({"", "whole", "skin", "coat", "appetite", "breathing", "droppings", "urine"})
# Skin and hair spoken of at a place are those of the place.
COVER = frozenset({"skin", "coat"})
SIDES = frozenset({"side", "sides"})
# What is not named but filed with these is believed only where it could have been told of them;
# never asked of what alone would be urgent.
TOLD_NEAR = {
    "clumped": frozenset({"anus", "perineal_sac", "belly"}),
    "gritty": frozenset({"vulva", "penis", "anus", "groin", "belly"}),
    "small": frozenset({"anus", "perineal_sac", "belly"}),
    "soft": frozenset({"anus", "perineal_sac", "belly"}),
    "misshapen": frozenset({"anus", "perineal_sac", "belly"}),
}
# Said right before a thing these say how it looks: "a hard brown scab", "a waxy white lump".
LOOKS = frozenset({"discoloured", "hard", "greasy", "dry", "soft"})
THINGS = frozenset(
    {"scab", "lump", "crust", "discharge", "plug", "hard_skin", "cyst", "abscess", "wax", "debris"}
)
OF_SPACE = re.compile(r"^[\s-]*$")
# What a breath count is told with.
BREATH = re.compile(r"\b(breath\w*|resp\w*|per min\w*|a min\w* at rest|counted)\b", re.IGNORECASE)


def at_its_place(
    region: str, text: str, read: Iterable[SaidFinding], items: list[Item], book: Knowledge
) -> tuple[SaidFinding, ...]:
    """The findings of a text told of a region: each at its place, without what was misplaced."""
    named = _named(items)
    kept = []
    for one in read:
        moved = _moved(region, one, items, named, book)
        if moved is not None and not _is_no_count(region, moved, text):
            kept.append(as_it_stands(moved, _word(moved, items), text))
    kept = [
        one
        for one in kept
        if not _is_a_look(one, kept, items, text)
        and not has_passed(one, _word(one, items), text)
        and not _is_of_heat(one, kept, text)
        and not _is_of_pups(one, kept, text)
    ]
    return tuple(_bearing(_thickened(one, kept), text) for one in kept)


def _named(items: list[Item]) -> frozenset[str]:
    """The regions the words name; a foot said is also its leg."""
    named = set()
    for item in items:
        for means in item.mark_means():
            if means.sort in ("place", "places") and item.word not in SIDES:
                named.add(means.code)
    ends = {*FEET.values(), *LEGS.values(), "foot", "nails"}
    return frozenset(named | ends if named & ends else named)


def _moved(
    region: str, one: SaidFinding, items: list[Item], named: frozenset[str], book: Knowledge
) -> SaidFinding | None:
    if region in EVERYWHERE or region not in book.vocabulary.regions or one.region == region:
        return one
    if one.region in named - COVER:
        return one
    senses = [
        means.entry
        for item in items
        if item.has("sign", one.finding) and _is_said_by(one, item)
        for means in item.of("sign")
        if means.code == one.finding
    ]
    if any(region in sense.at for sense in senses):
        return replace(one, region=region)
    if one.finding == "fluffed_up" and one.region == "whole":
        # "The scar has puffed up like a marble": of a place it is a swelling, of the coat a sign.
        return replace(one, region=region, finding="swelling")
    near = TOLD_NEAR.get(one.finding)
    if near is not None and region not in near:
        return None
    return one


def _is_said_by(one: SaidFinding, item: Item) -> bool:
    return any(span.start <= item.span.start < span.end for span in one.spans)


def _is_no_count(region: str, one: SaidFinding, text: str) -> bool:
    """ "Half a minute maybe" is a time, no count of breaths."""
    return one.finding == "breath_rate" and region != "breathing" and not BREATH.search(text)


def _word(one: SaidFinding, items: list[Item]) -> Span:
    """Where the sign's own word stands, apart from its place and what denies it."""
    own = [item.span for item in items if item.has("sign", one.finding) and _is_said_by(one, item)]
    return own[0] if own else max(one.spans, key=lambda span: span.start, default=Span(0, 0))


def _is_a_look(one: SaidFinding, read: list[SaidFinding], items: list[Item], text: str) -> bool:
    """A quality said right before a thing is that thing's, and no finding of its own."""
    if one.finding not in LOOKS or not one.spans:
        return False
    end = _word(one, items).end
    return any(
        other.finding in THINGS | LOOKS
        and end <= (start := _word(other, items).start)
        and OF_SPACE.match(text[end:start])
        and (other.finding in THINGS or _is_a_look(other, read, items, text))
        for other in read
        if other is not one
    )


# A big belly with pups in it is no bloat; tight as a drum or sore it stays one.
OF_PUPS = re.compile(
    r"big|huge|large|round|wide|enormous|fat|massive|barrel|swollen", re.IGNORECASE
)


def _is_of_pups(one: SaidFinding, read: list[SaidFinding], text: str) -> bool:
    there = {f.finding for f in read if f.status is not Status.ABSENT}
    said = " ".join(text[span.start : span.end] for span in one.spans)
    return (
        one.finding == "bloated"
        and bool(there & {"pregnant", "moving_pups"})
        and not there & {"hard", "pain_when_touched"}
        and "drum" not in one.kinds
        and OF_PUPS.search(said) is not None
    )


# A sow in heat is open, pink and moist for a day; blood, discharge or swelling is not of it
# (findings table, perineum_female: "small open or pink, moist vulva without blood for a day").
OF_HEAT = {
    "red": re.compile(r"pink", re.IGNORECASE),
    "wet": re.compile(r"moist|damp|wet", re.IGNORECASE),
}


def _is_of_heat(one: SaidFinding, read: list[SaidFinding], text: str) -> bool:
    if one.region != "vulva" or one.finding not in OF_HEAT:
        return False
    there = {
        f.finding
        for f in read
        if f.status is not Status.ABSENT and (f.region == "vulva" or f.finding == "in_season")
    }
    said = " ".join(text[span.start : span.end] for span in one.spans)
    return (
        bool(there & {"open", "in_season"})
        and not there & {"blood", "discharge", "swelling", "stuck_out", "smell", "sore"}
        and OF_HEAT[one.finding].search(said) is not None
    )


def _thickened(one: SaidFinding, read: list[SaidFinding]) -> SaidFinding:
    """Both nipples crusty and bigger are thickened nipples; a lump or one side stays what it is.

    Findings table, mammary: "crusty or thickened nipples in non-nursing sow".
    """
    crusty = any(
        other.region == "nipple" and other.finding == "crust" and other.status is Status.PRESENT
        for other in read
    )
    is_both = one.region == "nipple" and one.finding == "swelling" and one.side is Side.BOTH
    return replace(one, finding="thick") if is_both and crusty else one


# "Limping but puts it down", "still puts weight on it": lame, and the leg is used.
BEARS = re.compile(
    r"\b(puts?|putting|takes?|taking|bears?|bearing|walks|uses|using)"
    r" (it down|on it|it\b|(some |most |her |his |full |a bit of |a little )?weight)",
    re.IGNORECASE,
)
NO_WEIGHT = re.compile(r"\b(no|not|n't|never|without|won.?t|hardly|barely|any)\b", re.IGNORECASE)


def _bearing(one: SaidFinding, text: str) -> SaidFinding:
    if one.finding != "limp" or one.kinds or one.status is Status.ABSENT:
        return one
    said = next((part for part in re.split(r"[.;,]", text) if BEARS.search(part)), None)
    if said is None or NO_WEIGHT.search(said):
        return one
    return replace(one, kinds=frozenset({"bears_weight"}))
