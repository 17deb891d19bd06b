"""Stays from a file: every animal answered, every contradiction told and none dropped."""

import csv
import io
from pathlib import Path

import pytest

from cavyround.commands.main import main

HEAD = "animal,room,pen,from,to,where,signs_on,case\n"
CASE = "Case,a,1,2026-03-01,,,2026-03-10,\n"


def answered(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    lines: str,
    *more: str,
    code: int = 0,
) -> tuple[dict[str, dict[str, str]], str]:
    path = tmp_path / "stays.csv"
    path.write_text(HEAD + lines, encoding="utf-8")
    assert main(["contacts", str(path), "--now", "2026-03-20T12:00", *more]) == code
    out = capsys.readouterr()
    return {row["animal"]: row for row in csv.DictReader(io.StringIO(out.out))}, out.err


def test_every_animal_of_the_file_has_its_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rows, _ = answered(
        tmp_path,
        capsys,
        CASE
        + "Mate,a,1,2026-03-05,2026-03-12,,,\n"
        + "Air,a,2,2026-03-01,,,,\n"
        + "Gone,a,1,2026-02-01,2026-02-20,,,\n"
        + "Met,b,5,2026-03-12,2026-03-15,,,\n"
        + "Mate,b,5,2026-03-13,,,,\n",
    )
    assert {name: row["exposed"] for name, row in rows.items()} == {
        "Case": "case",
        "Mate": "close_direct",
        "Air": "weak_direct",
        "Gone": "none",
        "Met": "close_through",
    }
    assert rows["Met"]["chain"] == "Case > Mate > Met"
    assert rows["Met"]["last"] == "2026-03-13T00:00+00:00"
    assert rows["Air"]["last"] == "", "it lasts"


def test_mites_do_not_pass_by_air(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rows, _ = answered(tmp_path, capsys, CASE + "Air,a,2,2026-03-01,,,,\n", "--of", "mange")
    assert rows["Air"]["exposed"] == "none"


def test_two_that_changed_places_on_one_day_may_have_met(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = "Case,a,1,2026-03-05,,,2026-03-10,\nLeft,a,1,2026-03-01,{},,,\n"
    day, _ = answered(tmp_path, capsys, lines.format("2026-03-05"))
    hour, _ = answered(tmp_path, capsys, lines.format("2026-03-04T18:00"))
    assert (day["Left"]["exposed"], hour["Left"]["exposed"]) == ("close_direct", "none")


def test_moving_on_one_day_is_no_contradiction(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    moved = CASE + "Mate,a,2,2026-03-01,2026-03-05,,,\nMate,a,3,2026-03-05,,,,\n"
    _, said = answered(tmp_path, capsys, moved)
    assert said == ""


def test_contradictions_are_told_by_line_and_count_as_if_both_were_true(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rows, said = answered(
        tmp_path,
        capsys,
        CASE
        + "Two,b,7,2026-03-01,2026-03-15,,,\n"
        + "Two,a,1,2026-03-10,2026-03-12,,,\n"
        + "Back,a,1,2026-03-12,2026-03-08,,,\n"
        + "Lost,,,2026-03-05,,,,\n",
        code=1,
    )
    assert rows["Two"]["exposed"] == rows["Back"]["exposed"] == "close_direct"
    assert rows["Lost"]["exposed"] == "not_known"
    assert "lines 3 and 4: Two" in said
    assert "line 5: Back" in said
    assert "line 6: Lost" in said
    assert "Say when it left the first" in said
    assert rows["Two"]["doubt"] == "overlap in line 3 and 4"


def test_brushes_and_hands_count_in_their_order(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rows, _ = answered(
        tmp_path,
        capsys,
        CASE
        + "After,b,5,2026-03-01,,,,\nBefore,c,6,2026-03-01,,,,\n"
        + "Before,,Tam,2026-03-11T09:00,,hands,,\n"
        + "Case,,Tam,2026-03-11T09:10,,hands,,\n"
        + "After,,Tam,2026-03-11T09:20,,hands,,\n",
    )
    assert (rows["After"]["exposed"], rows["After"]["way"]) == ("weak_direct", "hands")
    assert rows["Before"]["exposed"] == "none"


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ("Case,a,1,,,,2026-03-10,\n", "line 2: from is blank"),
        ("Case,a,1,1st of March,,,2026-03-10,\n", "line 2: from '1st of March' is no day"),
        (",a,1,2026-03-01,,,2026-03-10,\n", "line 2: it names no animal"),
        (CASE + "Mate,a,1,2026-03-01,,cupboard,,\n", "line 3: where 'cupboard' is not"),
        (CASE + "Mate,a,,2026-03-01,,run,,\n", "line 3: a shared run needs its name"),
        (CASE + "Case,a,2,2026-03-01,,,2026-03-11,\n", "line 3: Case is a case in another line"),
        (CASE + "Mate,a,2,2026-03-01,,,,sure\n", "line 3: case 'sure' is not"),
        (CASE + "Mate,a,2,2026-03-01,,,,confirmed\n", "line 3: a case needs the day"),
        ("Mate,a,2,2026-03-01,,,,\n", "no line has a day in signs_on"),
        (CASE + "Mate,a,2,2026-03-01,9999-12-31,,,\n", "line 3: to '9999-12-31': the year cannot"),
        (CASE + f"Mate,{'a' * 140_000},2,2026-03-01,,,,\n", "line 3: this is no line of a CSV"),
    ],
)
def test_what_cannot_be_read_is_named_with_its_line(
    lines: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, error = answered(tmp_path, capsys, lines, code=2)
    assert said in error


def test_of_very_many_faults_the_first_are_told_and_the_rest_counted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lost = "".join(f"Lost {number},,,2026-03-05,,,,\n" for number in range(50))
    _, said = answered(tmp_path, capsys, CASE + lost, code=1)
    lines = said.splitlines()
    assert len(lines) == 21
    assert lines[-1] == "and 30 more"
    _, said = answered(tmp_path, capsys, CASE + "Mate,a,1,soon,,,,\n" * 50, code=2)
    assert said.splitlines()[-1] == "and 30 more"


def test_an_unknown_kind_is_answered_with_the_known_ones(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, error = answered(tmp_path, capsys, CASE, "--of", "gremlins", code=2)
    assert "ringworm" in error


def test_a_file_without_the_columns_is_told_which(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "stays.csv"
    path.write_text("name,cage\nx,y\n", encoding="utf-8")
    assert main(["contacts", str(path)]) == 2
    assert "animal, pen, from are missing" in capsys.readouterr().err
