"""What holds of any note: order, filler, alarm, nonsense."""

import random
import sys
from itertools import permutations
from types import FrameType
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavyround.engines.spoken import read_note, red_flags
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge
from tests.engines.spoken.said import signs

BOOK = load_knowledge()
INDEPENDENT = (
    "Left eye weepy.",
    "Weight nine eighty.",
    "No sneezing.",
    "Ears clean.",
    "Nails done.",
    "Belly soft.",
    "Scab on his back.",
)
FILLER = ("um", "er", "you know", "let me see now", "okay then", "hmm")
ALARMS = (
    ("There are maggots on her bottom.", "maggots"),
    ("He's collapsed.", "collapsed"),
    ("She's breathing with her mouth open.", "open_mouth"),
    ("He's having a seizure.", "fits"),
    ("She's dragging both back legs.", "dragging_legs"),
)


@given(st.permutations(INDEPENDENT))
def test_the_order_of_independent_sentences_changes_nothing(order: list[str]) -> None:
    assert signs(BOOK, " ".join(order)) == signs(BOOK, " ".join(INDEPENDENT))


@given(st.lists(st.sampled_from(FILLER), min_size=1, max_size=7), st.randoms(use_true_random=False))
def test_filler_changes_nothing(fillers: list[str], chance: random.Random) -> None:
    sentences = list(INDEPENDENT)
    for filler in fillers:
        sentences.insert(chance.randrange(len(sentences) + 1), f"{filler.capitalize()}.")
    assert signs(BOOK, " ".join(sentences)) == signs(BOOK, " ".join(INDEPENDENT))


@given(st.text(max_size=300))
def test_any_text_is_read_without_a_fault(text: str) -> None:
    note = read_note(text, book=BOOK)
    assert all(text[one.span.start : one.span.end] for one in note.words)


@pytest.mark.parametrize(("alarm", "finding"), ALARMS)
def test_an_emergency_sign_is_told_at_once_also_before_the_sentence_ends(
    book: Knowledge, alarm: str, finding: str
) -> None:
    said = f"Eyes clear, ears clean. {alarm.rstrip('.')}"
    assert finding in {one.finding for one in red_flags(said, book=book, checking="Fudge")}


@pytest.mark.parametrize(("alarm", "finding"), ALARMS)
def test_one_more_calm_sentence_takes_no_alarm_away(
    book: Knowledge, alarm: str, finding: str
) -> None:
    for order in permutations((alarm, "Eyes clear.", "Nails done.")):
        flags = red_flags(" ".join(order), book=book, checking="Fudge")
        assert finding in {one.finding for one in flags}


@pytest.mark.parametrize(
    "text",
    [
        "If she collapses ring me.",
        "No maggots.",
        "He hasn't had a seizure.",
        "My dog had a seizure.",
    ],
)
def test_no_alarm_where_it_is_not_said_of_this_animal(book: Knowledge, text: str) -> None:
    assert red_flags(text, book=book, checking="Fudge") == ()


def nonsense(words: int) -> str:
    chance = random.Random(3)  # noqa: S311 -- the same nonsense every time
    consonants, vowels = "bcdfghjklmnpqrstvwxyz", "aeiou"
    return " ".join(
        "".join(
            chance.choice(consonants) + chance.choice(vowels) for _ in range(chance.randint(1, 4))
        )
        for _ in range(words)
    )


def test_five_thousand_words_of_nonsense_give_nothing(book: Knowledge) -> None:
    assert read_note(nonsense(5000), book=book).animals == ()


@pytest.mark.parametrize(
    "text",
    [
        "Das Meerschweinchen hat heute gut gefressen, Augen klar, Nase trocken, sehr munter.",
        "El cuy come bien, los ojos están limpios, no tiene secreción, sin diarrhea, muy bien.",
        "Le cochon d'Inde mange bien, les yeux sont clairs, pas d'écoulement, la peau est sèche.",
        "豚鼠今天吃得很好。",
        "🐹🐹😀 ❤️ 👀 👍🏽 🚫",
    ],
)
def test_other_languages_give_no_finding(book: Knowledge, text: str) -> None:
    assert all(not one.findings for one in read_note(text, book=book).animals)


def steps_to_read(text: str, book: Knowledge) -> int:
    """Lines of the reader's own code run for this text: the same on every machine, unlike time."""
    steps = 0

    def line(_frame: FrameType, event: str, _value: object) -> Any:
        nonlocal steps
        steps += event == "line"
        return line

    before = sys.gettrace()
    sys.settrace(line)
    try:
        read_note(text, book=book)
    finally:
        sys.settrace(before)
    return steps


@pytest.mark.parametrize("piece", ["no ", "a", ",", "1 ", "left ear crusty ", "Fudge ", "- "])
def test_a_long_text_takes_no_more_than_its_share(book: Knowledge, piece: str) -> None:
    """Ten times the text takes about ten times the steps, not a hundred times."""

    def took(size: int) -> int:
        return steps_to_read((piece * (size // len(piece) + 1))[:size], book)

    took(200)
    assert took(10_000) <= 12 * took(1_000)
