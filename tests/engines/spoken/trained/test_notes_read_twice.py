"""Notes read by the rules and then by the network, against what a reader of them wrote down.

``sixth`` was looked at while the network was taught, though nothing of it was; ``seventh``,
``eighth`` and ``ninth`` were read once, when all was done: their figures are the honest ones. No
names are given but where it says so. The floors are what was reached, so that it cannot fall
unseen; the aims stand in docs/spoken.md.
"""

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path

import pytest

from cavyround.engines.spoken import as_gold, read_note
from cavyround.knowledge.loading import load_knowledge
from cavyround.knowledge.trained import trained_weights
from tests.engines.spoken.test_notes_of_others import Reached
from tests.scoring_notes import Note, Score, notes_in, score

FOLDER = Path(__file__).parents[3] / "scenarios" / "spoken"
BOOK = load_knowledge()

SETS: Mapping[str, Reached] = {
    "sixth": Reached(
        notes=50,
        lenient=0.93,
        strict=0.93,
        care=0.96,
        present=0.95,
        negation=0,
        covered=5,
        weights=1,
    ),
    "seventh": Reached(
        notes=70,
        lenient=0.83,
        strict=0.82,
        care=0.67,
        present=0.85,
        negation=2,
        covered=9,
        weights=2,
        planned=2,
    ),
    "eighth": Reached(
        notes=80, lenient=0.77, strict=0.76, care=0.83, present=0.77, negation=1, covered=13
    ),
    "ninth": Reached(
        notes=60, lenient=0.81, strict=0.79, care=0.775, present=0.81, negation=5, covered=13
    ),
}
WITH_NAMES: Mapping[str, float] = {"seventh": 0.83, "eighth": 0.80, "ninth": 0.82}


def pen_of(note: Note) -> list[str]:
    """The names of a pen, as the page knows them."""
    names = [animal["animal"] for animal in note["animals"]]
    return [name for name in names if not name.startswith(("unnamed", "group", "pup"))]


def read(note: Note, pen: Sequence[str]) -> Note:
    trained = trained_weights()
    animals = as_gold(read_note(note["text"], book=BOOK, pen=pen, trained=trained))
    return {"id": note["id"], "animals": animals}


@cache
def _score(name: str, *, strict: bool = False, names: bool = False) -> Score:
    gold = notes_in(FOLDER / f"{name}_notes.jsonl")
    answers = [read(note, pen_of(note) if names else ()) for note in gold]
    return score(gold, answers, BOOK, strict=strict)


@pytest.mark.parametrize("name", SETS)
def test_what_was_read_is_what_a_reader_wrote_down(name: str) -> None:
    least = SETS[name]
    lenient, strict = _score(name), _score(name, strict=True)
    told = "\n".join(lenient.faults)
    assert lenient.f1() >= least.lenient, told
    assert strict.f1() >= least.strict, told
    assert lenient.f1("care ") >= least.care, told
    assert lenient.precision_of_present >= least.present, told
    assert lenient.counts["negation wrong"] <= least.negation, told
    assert lenient.counts["covered falsely"] <= least.covered, told
    assert lenient.counts["weight wrong"] <= least.weights, told


@pytest.mark.parametrize("name", SETS)
def test_no_unit_is_invented_and_nothing_planned_is_done(name: str) -> None:
    counts = _score(name).counts
    assert counts["unit invented"] == 0
    assert counts["planned as done"] <= SETS[name].planned


@pytest.mark.parametrize("name", WITH_NAMES)
def test_the_names_of_the_pen_help(name: str) -> None:
    assert _score(name, names=True).f1() >= WITH_NAMES[name]


@pytest.mark.parametrize("name", SETS)
def test_both_readings_together_read_better_than_the_rules(name: str) -> None:
    gold = notes_in(FOLDER / f"{name}_notes.jsonl")
    ruled = [
        {"id": note["id"], "animals": as_gold(read_note(note["text"], book=BOOK))} for note in gold
    ]
    assert _score(name).f1() > score(gold, ruled, BOOK).f1()
