"""A case told in plain words, region by region: findings, what happened, and since when."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from cavyround.engines.spoken.items import Item, items_of
from cavyround.engines.spoken.lexicon import lexicon_of
from cavyround.engines.spoken.names import Names
from cavyround.engines.spoken.numbers import number_at
from cavyround.engines.spoken.reading import reading_of
from cavyround.engines.spoken.result import ReadAnimal, SaidFinding
from cavyround.engines.spoken.spots import Spot
from cavyround.engines.spoken.tokens import Token, tokens_of
from cavyround.facts.observation import Side, Status
from cavyround.knowledge.book import Knowledge

# A step may be named for a region.
PLACES_OF_STEPS = {
    "manner": "whole",
    "condition": "whole",
    "weight": "whole",
    "eating": "appetite",
    "eyes": "eye",
    "ears": "ear",
    "chin_neck": "chin",
    "chest_back": "back",
    "nipples": "nipple",
    "genitals": "whole",
    "bottom": "anus",
    "legs_gait": "hind_leg",
    "feet": "foot",
    "history": "",
}
HOURS = {
    "minute": Decimal("0.0167"),
    "hour": Decimal(1),
    "day": Decimal(24),
    "night": Decimal(24),
    "week": Decimal(168),
    "fortnight": Decimal(336),
    "month": Decimal(730),
    "year": Decimal(8766),
}
SAID_HOURS = {
    "yesterday": Decimal(24),
    "overnight": Decimal(10),
    "last night": Decimal(14),
    "this morning": Decimal(5),
    "today": Decimal(8),
    "just now": Decimal("0.5"),
    "months": Decimal(2000),
    "weeks": Decimal(400),
    "years": Decimal(9000),
    "always": Decimal(9000),
    "days": Decimal(72),
}
FEW = {
    "few": Decimal(3),
    "couple": Decimal(2),
    "several": Decimal(4),
    "a": Decimal(1),
    "an": Decimal(1),
}


# Up to here a time is short: from twelve hours without food or droppings on it is an emergency
# (findings table, nothing eaten for 12 h or more).
SHORT_HOURS = Decimal(12)
GUT = frozenset({"appetite", "droppings", "urine"})
OVER = re.compile(
    r"\b(spring|summer|autumn|winter|last year|(months?|years?) (ago|back)|as a (pup|baby)"
    r"|treated|cleared( up)?|january|february|march|april|june|july|august|september|october"
    r"|november|december)\b"
)
STILL = re.compile(r"\b(still|now|again|since|today|yesterday|back again|not (cleared|gone))\b")
SINCE = re.compile(
    r"\b(since|for (the (last|past) )?(about )?(a|an|two|three|four|five|six|\d+))\b"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What a told case comes to: findings with the text they came from, events, hours so far."""

    findings: tuple[tuple[SaidFinding, str], ...]
    events: tuple[str, ...]
    hours: Decimal | None
    named: frozenset[str] = frozenset()
    not_understood: tuple[str, ...] = ()


# So few words or fewer may say nothing ("none", "not looked at"): more that gave no finding were
# not understood, and an animal is not well because nobody could read what was written of it.
FEW_WORDS = 1


def read_told(findings: Mapping[str, str], *, also: str, duration: str, book: Knowledge) -> Told:
    """Read a case told by region.

    Args:
        findings: region (or step, or ``history``) to what was found there, in plain words.
        also: further words about the animal, such as its coat and skin.
        duration: since when, in plain words; unknown is None, never nought.
        book: the knowledge.
    """
    said: list[tuple[SaidFinding, str]] = []
    unread: list[str] = []
    for key, text in findings.items():
        region = PLACES_OF_STEPS.get(key, key)
        read = read_region(region, text, book=book).findings
        if key == "history":
            read = tuple(one for one in read if not _is_over(one, text))
        said += [(one, text) for one in read if not _is_told_with_side(one, read)]
        if not read and key != "history" and len(text.split()) > FEW_WORDS:
            unread.append(text)
    said += [
        (one, also)
        for one in read_region("", also, book=book).findings
        if one.finding in ("discoloured", "bald_patch")
    ]
    everything = ". ".join((*findings.values(), duration))
    return Told(
        findings=tuple(said),
        events=events_in(everything, book),
        hours=hours_in(duration, book),
        named=_named_in(duration, book),
        not_understood=tuple(unread),
    )


def _is_over(one: SaidFinding, text: str) -> bool:
    """ "Had ringworm in the spring, treated": of another season, or said to be over."""
    start = min((span.start for span in one.spans), default=0)
    sentence = text
    for part in re.finditer(r"[^.;]+", text):
        if part.start() <= start < part.end():
            sentence = part.group()
    low = sentence.lower()
    return bool(OVER.search(low)) and not STILL.search(low)


def _is_told_with_side(one: SaidFinding, read: Sequence[SaidFinding]) -> bool:
    """A lump that is first named and then placed "behind the right shoulder" is one lump."""
    return one.side is Side.NOT_SAID and any(
        other.side is not Side.NOT_SAID
        and (other.region, other.finding, other.status) == (one.region, one.finding, one.status)
        for other in read
    )


def _named_in(duration: str, book: Knowledge) -> frozenset[str]:
    """The findings a duration was said of: "diarrhoea since last night"."""
    read = read_region("", duration, book=book).findings
    return frozenset(one.finding for one in read if one.status is not Status.ABSENT)


def hours_of(told: Told, one: SaidFinding, text: str, book: Knowledge) -> Decimal | None:
    """Since when one finding is told to be there; None where nobody said so of it.

    What is said beside the finding goes first. A short time is never taken for a finding it was
    not said of: "swollen since this morning" says nothing of how long the animal has not eaten,
    and a time that nobody knows counts as long.
    """
    said = SINCE.search(text.lower())
    if said and (beside := hours_in(text[said.start() :], book)) is not None:
        return beside
    if told.hours is None or told.hours >= SHORT_HOURS:
        return told.hours
    if told.named:
        return told.hours if one.finding in told.named else None
    regions = {
        seen.region
        for seen, _ in told.findings
        if seen.status is not Status.ABSENT and not book.is_benign(seen.finding)
    }
    # A fall an hour ago lamed it an hour ago; how long it has not eaten is another thing.
    return None if one.region in GUT and regions - GUT else told.hours


def read_region(region: str, text: str, *, book: Knowledge, framed: bool = True) -> ReadAnimal:
    """What a text says of a region that is known; empty for a text that says nothing."""
    reading = reading_of(text, book, triage=True, framed=framed)
    if region in book.vocabulary.regions:
        reading.desk.topic = (Spot(region, Side.NOT_SAID, 0),)
        reading.desk.home = reading.desk.topic
    reading.desk.current = [TABLE]
    note = reading.note()
    read = note.animals[0] if note.animals else ReadAnimal(name=TABLE)
    if framed and region and not read.findings:
        # What stands at a place of this animal is said of it, whoever else is named beside it:
        # before nothing is understood, the words are read without asking of whom they are.
        return read_region(region, text, book=book, framed=False)
    return read


TABLE = "the animal"


def events_in(text: str, book: Knowledge) -> tuple[str, ...]:
    """What happened to the animal, by the words for it, unless it is denied."""
    items = _items(text, book)
    found: dict[str, None] = {}
    for at, item in enumerate(items):
        before = items[max(0, at - 2) : at]
        denied, of_another = (any(one.cue(cue) for one in before) for cue in ("no", "other"))
        for one in item.of("event"):
            if not denied and (one.entry.by_another or not of_another):
                found.setdefault(one.code)
    return tuple(found)


def _items(text: str, book: Knowledge) -> list[Item]:
    return items_of(tokens_of(text), lexicon_of(book), Names({}), book.words.numbers)


def hours_in(text: str, book: Knowledge) -> Decimal | None:
    """How long something has been so; None where the words do not say."""
    low = text.lower()
    tokens = tokens_of(text)
    for at, token in enumerate(tokens):
        unit = token.word.rstrip("s")
        if unit not in HOURS or token.kind != "word":
            continue
        count = _count_before(tokens, at, book)
        if count is not None:
            return (count * HOURS[unit]).quantize(Decimal("0.01"))
    for words, hours in SAID_HOURS.items():
        if re.search(rf"\b{words}\b", low):
            return hours
    return None


def _count_before(tokens: tuple[Token, ...], at: int, book: Knowledge) -> Decimal | None:
    for start in range(max(0, at - 4), at):
        number = number_at(tokens, start, book.words.numbers)
        if number is not None and number.end == at:
            return number.value
    before = tokens[at - 1].word if at else ""
    if before in ("a", "an") and at > 1 and tokens[at - 2].word == "half":
        return Decimal("0.5")
    if before == "of" and at > 1:
        before = tokens[at - 2].word
    return FEW.get(before)
