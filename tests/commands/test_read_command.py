"""``cavyround read`` and cases told in words: files in, JSON or plain words out."""

import json
from pathlib import Path

import pytest

from cavyround.commands.main import main

NOTES = """\
{"id": "A1", "text": "Otter nine eight five, left eye weepy, no crust.", "animals": ["Otter"]}
{"id": "A2", "text": "Gave Fern nought point two of meloxicam."}
"""
CASES = """\
- id: B1
  setting: resident
  signalment: {sex: female, neutered: false, age_months: 20, pregnant: 'no', coat_and_skin: cream}
  weights:
  - {date: '2026-03-01', g: 960}
  - {date: '2026-03-08', g: 958}
  findings:
    whole: Flat, cold feet, will not stand
    appetite: Nothing since yesterday
    droppings: None passed
  duration: Since yesterday
- id: B2
  setting: resident
  signalment: {sex: male, neutered: true, age_months: 20, pregnant: 'no', coat_and_skin: red}
  weights:
  - {date: '2026-03-01', g: 1060}
  findings:
    eye: Clear, wide open, no discharge
    whole: Lively
    appetite: Normal
  duration: Weekly check
"""


def test_notes_are_answered_line_by_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "notes.jsonl"
    file.write_text(NOTES, encoding="utf-8")
    assert main(["read", str(file)]) == 0
    first, second = map(json.loads, capsys.readouterr().out.splitlines())
    [otter] = first["animals"]
    said = {(one["region"], one["finding"], one["status"]) for one in otter["findings"]}
    assert said == {
        ("whole", "weight", "present"),
        ("eye", "watery", "present"),
        ("eye", "crust", "absent"),
    }
    [fern] = second["animals"]
    assert "unit" not in fern["care"][0]


def test_explained_shows_the_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "notes.jsonl"
    file.write_text(NOTES, encoding="utf-8")
    assert main(["read", str(file), "--explain"]) == 0
    told = capsys.readouterr().out
    assert '"weepy"' in told
    assert "Milligrams or millilitres?" in told


@pytest.mark.parametrize(
    ("line", "fault"), [("{", "line 1: this is no JSON"), ('{"id": 1}', "needs `text`")]
)
def test_a_line_that_is_no_note_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], line: str, fault: str
) -> None:
    file = tmp_path / "notes.jsonl"
    file.write_text(line, encoding="utf-8")
    assert main(["read", str(file)]) == 2
    assert fault in capsys.readouterr().err


def test_a_case_in_words_goes_to_advice(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "cases.yaml"
    file.write_text(CASES, encoding="utf-8")
    assert main(["triage", str(file)]) == 0
    bad, well = json.loads(capsys.readouterr().out)
    assert bad["urgency"] == "emergency"
    assert {"collapse", "not_eating"} <= set(bad["problems"])
    assert well["urgency"] == "normal"


def test_a_case_is_explained_with_words_rules_and_sources(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "cases.yaml"
    file.write_text(CASES, encoding="utf-8")
    assert main(["triage", str(file), "--explain"]) == 0
    told = capsys.readouterr().out
    assert '<- "Flat"' in told
    assert "rule " in told
    assert "Source: " in told


def test_words_nobody_could_read_never_leave_an_animal_well(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "cases.yaml"
    file.write_text(
        "- id: B3\n  signalment: {sex: male, age_months: 20}\n"
        "  findings: {head: 'All frumbly like a blorgish wozzle', appetite: Normal}\n",
        encoding="utf-8",
    )
    assert main(["triage", str(file)]) == 0
    [answer] = json.loads(capsys.readouterr().out)
    assert answer["urgency"] == "carer_recheck"
    assert "not understood" in answer["text"]
