"""The notes the reader is taught with: whole, and none of those it is judged by."""

import json
import re

from training.compact import faults_in
from training.marked import examples_in
from training.paths import HELD_BACK, NOTES, WORKED_NOTES


def _plain(text: str) -> str:
    return " ".join(re.findall(r"\w+", text.lower()))


def test_every_note_to_teach_with_is_without_faults() -> None:
    assert NOTES, "no notes to teach with in training/notes"
    assert [f"{path.name}: {fault}" for path in NOTES for fault in faults_in(path)] == []


def test_no_note_that_is_held_back_is_taught() -> None:
    held_back = {
        _plain(json.loads(line)["text"])
        for path in HELD_BACK
        for line in path.read_text(encoding="utf-8").split("\n")
        if line
    }
    assert held_back
    taught = {
        _plain(note.get("t") or note["text"])
        for path in (*WORKED_NOTES, *NOTES)
        for note in map(json.loads, filter(None, path.read_text(encoding="utf-8").split("\n")))
    }
    assert not held_back & taught


def test_most_worked_notes_are_found_whole() -> None:
    path = WORKED_NOTES[0]
    notes = path.read_text(encoding="utf-8").count("\n")
    found = examples_in([path])
    assert all(not example.missed for example in found)
    assert len(found) > 0.7 * notes
