"""Weights from a file: every weighing said on its day, every bad line named."""

import csv
import io
from pathlib import Path

import pytest

from cavyround.commands.main import main

HEAD = "animal_id,sex,birth_date,date,weight_g,event\n"


def written(capsys: pytest.CaptureFixture[str], path: Path) -> list[dict[str, str]]:
    assert main(["weights", str(path)]) == 0
    return list(csv.DictReader(io.StringIO(capsys.readouterr().out)))


def test_each_weighing_has_its_line_and_a_steady_animal_says_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    weeks = [
        f"P1,female,,2026-01-{day:02d},{grams},\n"
        for day, grams in ((1, 1000), (8, 1005), (15, 998))
    ]
    path = tmp_path / "w.csv"
    path.write_text(HEAD + "".join(weeks), encoding="utf-8")
    rows = written(capsys, path)
    assert [row["date"] for row in rows] == ["2026-01-01", "2026-01-08", "2026-01-15"]
    assert {row["level"] for row in rows} == {""}


def test_ounces_typed_as_grams_are_asked_for_again(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "w.csv"
    path.write_text(
        HEAD + "P1,,,2026-01-01,907,\nP1,,,2026-01-08,910,\nP1,,,2026-01-15,32,\n", encoding="utf-8"
    )
    last = written(capsys, path)[-1]
    assert last["kind"] == "weigh_again"
    assert "ounces" in last["why"]


def test_every_line_that_cannot_be_read_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "w.csv"
    path.write_text(HEAD + "P1,,,yesterday,900,\nP1,,,2026-01-01,heavy,\n", encoding="utf-8")
    assert main(["weights", str(path)]) == 2
    said = capsys.readouterr().err
    assert "line 2" in said
    assert "line 3" in said
