"""A case told in plain words, region by region: findings, what happened, and since when."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from cavyround.engines.spoken.items import Item, items_of
from cavyround.engines.spoken.names import Names
from cavyround.engines.spoken.reading import reading_of
from cavyround.engines.spoken.result import ReadAnimal, SaidFinding
from cavyround.engines.spoken.spots import Spot
from cavyround.engines.spoken.tokens import tokens_of
from cavyround.engines.spoken.told_contacts import contact_in
from cavyround.engines.spoken.told_eating import nothing_taken
from cavyround.engines.spoken.told_events import is_of_no_day
from cavyround.engines.spoken.told_over import is_told_otherwise_now
from cavyround.engines.spoken.told_places import at_its_place
from cavyround.engines.spoken.told_times import days_ago_in, hours_in
from cavyround.engines.spoken.told_words import words_at
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
    """What a told case comes to: findings with the text they came from, events, hours so far.

    ``ago``: how many days ago an event was, where its own words say so. ``unread_at``: the regions
    of the words that were not understood.
    """

    findings: tuple[tuple[SaidFinding, str], ...]
    events: tuple[str, ...]
    hours: Decimal | None
    named: frozenset[str] = frozenset()
    not_understood: tuple[str, ...] = ()
    unread_at: tuple[str, ...] = ()
    ago: Mapping[str, int] = field(default_factory=dict)


# So few words or fewer may say nothing ("none", "not looked at"): more that gave no finding were
# not understood, and an animal is not well because nobody could read what was written of it.
FEW_WORDS = 1


def read_told(
    findings: Mapping[str, str],
    *,
    also: str,
    duration: str,
    book: Knowledge,
    sex: str = "",
    today: date | None = None,
) -> Told:
    """Read a case told by region.

    Args:
        findings: region (or step, or ``history``) to what was found there, in plain words.
        also: further words about the animal, such as its coat and skin.
        duration: since when, in plain words; unknown is None, never nought.
        book: the knowledge.
        sex: the animal's, as far as it is known; of whom it lives with the other sex counts.
        today: the day of the case, for dates said in its words.
    """
    said: list[tuple[SaidFinding, str]] = []
    past: list[tuple[SaidFinding, str]] = []
    contacts: dict[str, str] = {}
    unread: dict[str, str] = {}
    for key, text in findings.items():
        region = PLACES_OF_STEPS.get(key, key)
        read, understood = _read_at(region, text, book)
        if key == "history":
            past += [(one, text) for one in read if not _is_over(one, text)]
            contacts |= {event: text for one, _ in past if (event := contact_in(one, text))}
            past = [(one, text) for one, text in past if not contact_in(one, text)]
            continue
        said += [(one, text) for one in read if not _is_told_with_side(one, read)]
        if not understood:
            unread[region] = text
    said += _still_so(past, [one for one, _ in said])
    said += _of_the_coat(also, book)
    everything = ". ".join((*findings.values(), duration))
    happened = {**contacts, **events_with_words(everything, book, sex=sex)}
    ago = {what: days_ago_in(words, book, today) for what, words in happened.items()}
    return Told(
        findings=tuple(said),
        events=tuple(happened),
        hours=hours_in(duration, book),
        named=_named_in(duration, book),
        not_understood=tuple(unread.values()),
        unread_at=tuple(unread),
        ago={what: days for what, days in ago.items() if days is not None},
    )


def _read_at(region: str, text: str, book: Knowledge) -> tuple[tuple[SaidFinding, ...], bool]:
    """What the rules read at a place, and whether they understood anything of it."""
    animal = read_region(region, text, book=book)
    read = at_its_place(region, text, animal.findings, _items(text, book, region), book)
    if region == "appetite" and (none := nothing_taken(text, read)) is not None:
        read = (*read, none)
    return read, bool(read) or animal.blanket or len(text.split()) <= FEW_WORDS


def _still_so(
    past: Sequence[tuple[SaidFinding, str]], now: Sequence[SaidFinding]
) -> list[tuple[SaidFinding, str]]:
    """What the history tells and today does not tell otherwise."""
    return [
        (one, text)
        for one, text in past
        if not is_told_otherwise_now(one, _sentence_of(one, text), now)
    ]


def _of_the_coat(also: str, book: Knowledge) -> list[tuple[SaidFinding, str]]:
    found = read_region("", also, book=book).findings
    return [(one, also) for one in found if one.finding in ("discoloured", "bald_patch")]


def _is_over(one: SaidFinding, text: str) -> bool:
    """ "Had ringworm in the spring, treated": of another season, or said to be over."""
    low = _sentence_of(one, text).lower()
    return bool(OVER.search(low)) and not STILL.search(low)


def _sentence_of(one: SaidFinding, text: str) -> str:
    start = min((span.start for span in one.spans), default=0)
    return part_at(r"[^.;]+", text, start)


def part_at(parts: str, text: str, start: int) -> str:
    """The part of a text in which a place of it lies."""
    for part in re.finditer(parts, text):
        if part.start() <= start < part.end():
            return part.group()
    return text


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
    reading = reading_of(text, book, region=region, framed=framed)
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
    return tuple(events_with_words(text, book))


def events_with_words(text: str, book: Knowledge, *, sex: str = "") -> dict[str, str]:
    """The events, each with the words it was told in, up to the next comma."""
    items = _items(text, book)
    found: dict[str, str] = {}
    for at, item in enumerate(items):
        before = items[max(0, at - 2) : at]
        denied, of_another = (any(one.cue(cue) for one in before) for cue in ("no", "other"))
        for one in item.of("event"):
            own = one.code == "other_sex_company" and _is_own_sex(item.word, sex)
            own = own or is_of_no_day(one.code, items, at, text, book)
            if not denied and not own and (one.entry.by_another or not of_another):
                found.setdefault(one.code, part_at(r"[^.;,]+", text, item.span.start))
    return found


# "Lives with sows", told of a sow: nobody of the other sex.
OF_SEX = {
    "female": frozenset({"sow", "sows", "female", "females", "sister", "sisters"}),
    "male": frozenset({"boar", "boars", "male", "males", "brother", "brothers"}),
}


def _is_own_sex(words: str, sex: str) -> bool:
    said = {of: any(word in names for word in words.split()) for of, names in OF_SEX.items()}
    return said.get(sex, False) and sum(said.values()) == 1 and "one of" not in words


def _items(text: str, book: Knowledge, region: str = "") -> list[Item]:
    return items_of(tokens_of(text), words_at(region, book), Names({}), book.words.numbers)
