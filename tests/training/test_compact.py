"""The compact form of notes: what it says, and what is told to be wrong in it."""

import copy
import json
import subprocess
import sys
from pathlib import Path

import pytest
from training.compact import faults_in, faults_of, place_of, said_in

from tests.training.notes_for_tests import ONE, TWO

ROOT = Path(__file__).parents[2]


def test_a_note_without_faults_has_none() -> None:
    assert faults_of(TWO) == []
    assert faults_of(ONE) == []


@pytest.mark.parametrize(
    ("part", "line", "told"),
    [
        ("f", "ears.L.crust.p | crusty", "region ears"),
        ("f", "ear.left.crust.p | crusty", "side left"),
        ("f", "ear.L.crusty.p | crusty", "finding crusty"),
        ("f", "ear.L.crust.x | crusty", "status x"),
        ("f", "ear.L.crust.p.bad | crusty", "grade bad"),
        ("f", "ear.L.crust | crusty", "form of a finding"),
        ("f", "ear.L.crust.p", "no words"),
        ("f", "ear.L.crust.p | scabby", "not in the text: 'scabby'"),
        ("f", "ear.L.crust.p | crusty#2", "not in the text: 'crusty#2'"),
        ("f", "whole.N.weight.p | eight hundred and ten", "value of a weight"),
        ("k", "nail_trim.N.over | clipped", "form of care"),
        ("k", "?nail_trim.N.done | clipped", "form of care"),
        ("k", "nail_trim.N.done", "no words"),
        ("c", "Toffee", "not in the text: 'Toffee'"),
        ("s", "tummy | Didn't do his belly", "step tummy"),
    ],
)
def test_each_fault_of_an_animal_is_told(part: str, line: str, told: str) -> None:
    note = copy.deepcopy(TWO)
    note["an"][1][part].append(line)
    faults = faults_of(note)
    assert len(faults) == 1
    assert told in faults[0]


def test_what_is_left_out_needs_a_known_kind_and_its_words() -> None:
    note = copy.deepcopy(TWO)
    note["x"] = ["long_ago | had a cough", "history | had a fever"]
    assert faults_of(note) == ["kind long_ago", "kind: words not in the text: 'had a fever'"]


def test_words_that_stand_twice_are_counted_from_one() -> None:
    text = "no crusts here, crusts there"
    assert place_of(text, "crusts") == place_of(text, "crusts#1") == (3, 9)
    assert place_of(text, "crusts#2") == (16, 22)
    assert place_of(text, "crusts#3") is None
    assert place_of(text, "crusts#0") is None


def test_a_line_is_taken_apart() -> None:
    said = said_in("?ear.R.discharge.p/u.slight | bit mucky | k=brown; v=5 mm")
    assert said.head == ("ear", "R", "discharge", "p/u", "slight")
    assert (said.words, said.grade, said.optional) == ("bit mucky", "slight", True)
    assert said.beside == {"k": "brown", "v": "5 mm"}


def test_faults_in_a_file_have_their_line(tmp_path: Path) -> None:
    path = tmp_path / "notes.jsonl"
    wrong = {**ONE, "x": ["history | nowhere"]}
    path.write_text(f"{json.dumps(ONE)}\n\n{json.dumps(wrong)}\n{{no\n[]\n", encoding="utf-8")
    lines = [fault.partition(":")[0] for fault in faults_in(path)]
    assert lines == ["line 3", "line 4", "line 5"]


def test_the_checker_fails_where_something_is_wrong(tmp_path: Path) -> None:
    path = tmp_path / "notes.jsonl"
    for note, code, told in ((ONE, 0, "0 faults"), ({**ONE, "x": ["odd"]}, 1, "1 faults")):
        path.write_text(json.dumps(note), encoding="utf-8")
        ran = subprocess.run(
            [sys.executable, "-m", "training.compact", str(path)],
            capture_output=True,
            text=True,
            check=False,
            cwd=ROOT,
        )
        assert ran.returncode == code, ran.stderr
        assert ran.stdout.splitlines()[-1] == told
