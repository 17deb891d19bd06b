"""How a note is read in bad conditions: measured on notes by others, each with a floor.

Common practice, no source: a phone's dictation writes no commas, digits for words, drops a word
in twenty, hears one word for another. The names of the pen are given, as at the table.
The floors are what was reached: they keep it from falling unseen.
"""

import random
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest

from cavyround.engines.spoken import as_gold, read_note
from cavyround.knowledge.book import Knowledge
from tests.engines.spoken.roughened import (
    in_digits,
    joined,
    misheard,
    two_at_once,
    with_words_lost,
    without_case,
)
from tests.scoring_notes import Note, Score, notes_in, score

FOLDER = Path(__file__).parents[2] / "scenarios" / "spoken"
SEED = 20261130
LEAST_TRIED = 100
LEAST_KEPT = 0.97
FLOORS = {"without case": 0.87, "in digits": 0.945, "words lost": 0.85, "two notes": 0.89}


@pytest.fixture(scope="module")
def notes() -> list[Note]:
    """Every third note of those written by others: enough to tell, few enough to wait for."""
    sets = ("dev", "second", "unread", "third")
    return [note for name in sets for note in notes_in(FOLDER / f"{name}_notes.jsonl")][::3]


def pen_of(note: Any) -> list[str]:
    """The names of a pen, as the page knows them."""
    names = [animal["animal"] for animal in note["animals"]]
    return [name for name in names if not name.startswith(("unnamed", "group", "pup"))]


def read(note: Any, text: str, book: Knowledge) -> dict[str, Any]:
    return {"id": note["id"], "animals": as_gold(read_note(text, book=book, pen=pen_of(note)))}


def scored(notes: Sequence[Any], way: Callable[[str], str], book: Knowledge) -> Score:
    return score(notes, [read(note, way(note["text"]), book) for note in notes], book)


@pytest.mark.parametrize("way", ["without case", "in digits", "words lost"])
def test_a_rough_note_is_read_nearly_as_well(way: str, notes: list[Note], book: Knowledge) -> None:
    chance = random.Random(SEED)  # noqa: S311 -- the same words are lost every time
    ways: dict[str, Callable[[str], str]] = {
        "without case": without_case,
        "in digits": lambda text: in_digits(text, book),
        "words lost": lambda text: with_words_lost(text, chance),
    }
    total = scored(notes, ways[way], book)
    assert total.f1() >= FLOORS[way], f"{total.f1():.3f}\n" + "\n".join(total.faults)
    assert total.counts["unit invented"] == 0


def test_two_notes_that_run_together_are_told_apart(notes: list[Note], book: Knowledge) -> None:
    both = [joined(*pair) for pair in two_at_once(notes)]
    total = scored(both, str, book)
    assert total.f1() >= FLOORS["two notes"], f"{total.f1():.3f}\n" + "\n".join(total.faults)


def test_a_misheard_word_is_read_as_what_was_meant(notes: list[Note], book: Knowledge) -> None:
    """Each slip of the data, where its neighbours betray it: the findings stay the same."""
    tried = kept = 0
    for note in notes[::2]:
        meant = read(note, note["text"], book)["animals"]
        signs = [[one["findings"] for one in meant]]
        for text in misheard(note["text"], book):
            tried += 1
            kept += [[one["findings"] for one in read(note, text, book)["animals"]]] == signs
    assert tried >= LEAST_TRIED
    assert kept >= tried * LEAST_KEPT, f"{kept} of {tried}"
