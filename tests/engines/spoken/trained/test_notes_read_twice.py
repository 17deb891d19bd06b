"""Notes read by the rules and then by the network, against what a reader of them wrote down.

``tenth`` and ``eleventh`` were read once, when the network was taught, at 0.92 and 0.89; names and
amounts have been mended with what they showed, so that they flatter now. ``twelfth``, the odd and
hard ones, was looked at between the runs. ``thirteenth`` and ``fourteenth`` were written after the
network was taught and nothing was mended with them. ``sixth`` to ``ninth`` are taught by now: their
floors only hold what was learned. No names are given but where it says so. The aims stand in
docs/spoken.md.
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
        lenient=0.97,
        strict=0.97,
        care=0.97,
        present=0.97,
        negation=0,
        covered=3,
        weights=1,
    ),
    "seventh": Reached(
        notes=70, lenient=0.97, strict=0.97, care=0.97, present=0.97, negation=2, covered=3
    ),
    "eighth": Reached(
        notes=80, lenient=0.92, strict=0.91, care=0.96, present=0.9, negation=1, covered=6
    ),
    "ninth": Reached(
        notes=60, lenient=0.94, strict=0.94, care=0.94, present=0.93, negation=2, covered=7
    ),
    "tenth": Reached(
        notes=70,
        lenient=0.945,
        strict=0.945,
        care=0.82,
        present=0.95,
        negation=1,
        covered=10,
        weights=2,
    ),
    "eleventh": Reached(
        notes=60,
        lenient=0.9,
        strict=0.9,
        care=0.78,
        present=0.955,
        negation=3,
        covered=10,
        weights=1,
    ),
    "twelfth": Reached(
        notes=105,
        lenient=0.69,
        strict=0.675,
        care=0.655,
        present=0.77,
        negation=2,
        covered=45,
        weights=2,
        planned=1,
    ),
    "thirteenth": Reached(
        notes=60,
        lenient=0.88,
        strict=0.87,
        care=0.77,
        present=0.91,
        negation=1,
        covered=5,
    ),
    "fourteenth": Reached(
        notes=60,
        lenient=0.84,
        strict=0.83,
        care=0.86,
        present=0.83,
        negation=1,
        covered=15,
    ),
}
WITH_NAMES: Mapping[str, float] = {"tenth": 0.945, "eleventh": 0.91, "twelfth": 0.705}


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
