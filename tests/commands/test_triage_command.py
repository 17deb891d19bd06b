"""``cavyround triage``: coded cases from a file, and what is wrong with one."""

import json
from pathlib import Path
from typing import Any

import pytest

from cavyround.commands.main import main

WHOLE = """
cases:
  - id: A1
    setting: quarantine
    signalment: {sex: sow, neutered: no, age_months: 30, pregnant: no, coat: [long]}
    weights: [{date: 2026-03-01, g: 960}, {date: 2026-03-08, g: 941}]
    findings:
      - {region: eye, side: R, finding: discharge, kind: [yellow], hours: 24}
    before: []
    events: [{what: rabbit_contact, days_ago: 3}]
    failed_rechecks: [{region: eye, finding: discharge, urgency: vet_days}]
    marks: [{id: m, region: chin, finding: fat_pad}]
  - id: A2
    findings: [{region: breathing, finding: laboured}]
"""


def ran(tmp_path: Path, text: str, capsys: pytest.CaptureFixture[str]) -> tuple[int, str, str]:
    file = tmp_path / "own.yaml"
    file.write_text(text)
    code = main(["triage", str(file)])
    out, err = capsys.readouterr()
    return code, out, err


def test_cases_are_answered_as_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = ran(tmp_path, WHOLE, capsys)
    assert (code, err) == (0, "")
    answers: list[dict[str, Any]] = json.loads(out)
    assert [one["id"] for one in answers] == ["A1", "A2"]
    assert answers[1]["urgency"] == "emergency"
    assert set(answers[0]) == {
        "id",
        "urgency",
        "problems",
        "isolate",
        "zoonotic_caution",
        "recheck_hours",
        "rules",
        "questions",
        "text",
    }


def case(part: str) -> str:
    return f"cases:\n  - id: A1\n    {part}\n"


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("cases: [", "own.yaml: "),
        ("- A1\n", "own.yaml: the file must hold named sections"),
        ("kases: []\n", "own.yaml: the file must hold `cases`, a list"),
        ("cases: A1\n", "own.yaml: the file must hold `cases`, a list"),
        ("cases: [A1]\n", "own.yaml: cases[0]"),
        ("cases: [{story: x}]\n", "own.yaml: cases[0].id: "),
        (case("colour: red"), "own.yaml: cases[A1].colour: "),
        (case("id: A2"), "own.yaml: the key 'id' is given twice"),
        (case("setting: attic"), "own.yaml: cases[A1].setting: "),
        (case("signalment: {sex: femal}"), "own.yaml: cases[A1].signalment.sex: "),
        (case("signalment: {neutered: perhaps}"), "own.yaml: cases[A1].signalment.neutered: "),
        (case("signalment: {age_months: old}"), "own.yaml: cases[A1].signalment.age_months: "),
        (case("signalment: {age_months: -1}"), "own.yaml: cases[A1].signalment.age_months: "),
        (case("signalment: {age_months: NaN}"), "own.yaml: cases[A1].signalment.age_months: "),
        (case("weights: [{date: soon, g: 900}]"), "own.yaml: cases[A1].weights.0.date: "),
        (case("weights: [{date: 2026-03-01, g: nine}]"), "own.yaml: cases[A1].weights.0.g: "),
        (case("weights: [{date: 2026-03-01, g: 0}]"), "own.yaml: cases[A1].weights.0.g: "),
        (case("findings: [{region: wing, finding: lump}]"), "cases[A1]: unknown region 'wing'"),
        (case("findings: [{region: ear, finding: fnord}]"), "cases[A1]: unknown finding 'fnord'"),
        (case("findings: [{region: ear}]"), "own.yaml: cases[A1].findings.0.finding: "),
        (
            case("findings: [{region: ear, finding: wax, kind: [plaid]}]"),
            "cases[A1]: unknown kind 'plaid'",
        ),
        (
            case("findings: [{region: flank, finding: lump, value: 8}]"),
            "own.yaml: cases[A1].findings.0: Value error, a value needs its unit",
        ),
        (
            case("findings: [{region: flank, finding: lump, value: 8, unit: cubits}]"),
            "cases[A1]: unknown unit 'cubits'",
        ),
        (case("events: [{what: eclipse}]"), "cases[A1]: unknown event 'eclipse'"),
        (case("marks: [{id: m, region: wing, finding: lump}]"), "cases[A1]: unknown region 'wing'"),
        (
            case("failed_rechecks: [{region: ear, finding: wax, urgency: soonish}]"),
            "own.yaml: cases[A1].failed_rechecks.0.urgency: ",
        ),
    ],
)
def test_a_bad_file_is_told_with_file_and_path(
    tmp_path: Path, text: str, fault: str, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = ran(tmp_path, text, capsys)
    assert (code, out) == (2, "")
    assert fault in err
    assert "Traceback" not in err


def test_a_file_that_is_not_there_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["triage", "no-such-file.yaml"]) == 2
    assert "no-such-file.yaml" in capsys.readouterr().err
