"""What a phone hears in words while it cannot ask the server: emergencies, plainly."""

import pytest

from cavyround.engines.spoken import red_flags
from cavyround.knowledge.book import Knowledge
from cavyround.web.checking.alarm_words import alarm_words, denying_words
from tests.web.client import say

HEARD = [
    "She's gasping for air",
    "there are maggots on her bottom",
    "He can't stand up",
    "Dragging her back legs.",
    "She's had a seizure",
    "He is collapsed in the hay",
    "She's rolling over and over",
    "he cannot breathe",
]
NOT_HEARD = ["No maggots.", "She isn't gasping", "not collapsed, lively", "Eyes clear, nails done"]


def heard(text: str, book: Knowledge) -> list[str]:
    found = say(
        "const { plainAlarms } = await use('unread'); return plainAlarms(text, round);",
        text=text,
        round={"alarm_words": alarm_words(book), "denying_words": denying_words(book)},
    )
    return [one["finding"] for one in found]


@pytest.mark.parametrize("text", HEARD)
def test_an_emergency_is_heard_as_the_server_hears_it(text: str, book: Knowledge) -> None:
    told = {flag.finding for flag in red_flags(text, book=book)}
    assert told
    assert told & set(heard(text, book))


@pytest.mark.parametrize("text", NOT_HEARD)
def test_what_is_denied_or_harmless_is_not(text: str, book: Knowledge) -> None:
    assert not red_flags(text, book=book)
    assert not heard(text, book)


def test_every_phrase_says_the_same_to_the_server(book: Knowledge) -> None:
    """Each sign is read as that sign by the reader itself, in at least one of its phrases."""
    beyond = {one.finding for one in book.words.signs if one.triage}
    for one in alarm_words(book):
        if one["finding"] in beyond:
            # Known to the triage alone, no finding of a dictated check.
            continue
        phrases = [phrase for phrase in one["phrases"] if "*" not in phrase]
        assert phrases or one["phrases"]
        read = {flag.finding for said in phrases[:12] for flag in red_flags(said, book=book)}
        assert not phrases or one["finding"] in read, one["finding"]
