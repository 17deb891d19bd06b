"""The pen plan from a file: the example of the help, a house without a plan, and bad files."""

import json
import textwrap
from pathlib import Path
from typing import Any

import pytest

from cavyround.commands.house_file import MOST_ANIMALS, MOST_PENS
from cavyround.commands.main import main
from cavyround.commands.pens import HELP


def example() -> str:
    """The YAML that stands in the help."""
    lines = HELP.splitlines()
    began = next(place for place, line in enumerate(lines) if line.startswith("  today:"))
    ended = next(p for p, line in enumerate(lines) if line.startswith("  rules:")) + 1
    return textwrap.dedent("\n".join(lines[began:ended]))


def planned(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, text: str, ends: int
) -> dict[str, Any]:
    path = tmp_path / "house.yaml"
    path.write_text(text, encoding="utf-8")
    assert main(["pens", str(path)]) == ends
    told: dict[str, Any] = json.loads(capsys.readouterr().out)
    return told


def refused(capsys: pytest.CaptureFixture[str], tmp_path: Path, text: str) -> str:
    path = tmp_path / "house.yaml"
    path.write_text(text, encoding="utf-8")
    assert main(["pens", str(path)]) == 2
    return capsys.readouterr().err


def test_the_example_of_the_help_is_planned_and_proven(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    told = planned(capsys, tmp_path, example(), 0)
    assert told["proven"] is True
    # Moss bled with Fern and was castrated eleven days ago; Rue is in quarantine.
    assert told["plan"] == {"fern": "hayloft", "sage": "hayloft", "moss": "clover", "rue": "shed"}
    moss = next(one for one in told["placements"] if one["animal"] == "moss")
    assert (
        "castrated" in moss["not_elsewhere"]["hayloft"]
        or "blood" in moss["not_elsewhere"]["hayloft"]
    )


def test_a_house_without_a_plan_says_what_would_free_it(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    text = example().replace("{id: shed, kind: quarantine", "{id: shed, kind: residents")
    told = planned(capsys, tmp_path, text, 1)
    assert told["plan"] is None
    assert [one["animal"] for one in told["no_place"]] == ["rue"]
    assert told["would_free_it"] == ["One more pen for quarantine, of at least 7200 cm²."]


def test_the_files_own_floor_decides_where_it_is_given(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    text = example().replace("area_cm2: 7200}], source", "area_cm2: 50000}], source")
    told = planned(capsys, tmp_path, text, 1)
    assert "floor" in {why["rule"] for why in told["as_it_is"]}


def test_a_floor_below_the_published_one_is_said_with_both_figures(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """7200 cm² for two: RSPCA branch and others."""
    text = example().replace("area_cm2: 7200}], source", "area_cm2: 100}], source")
    told = planned(capsys, tmp_path, text, 0)
    assert any("for 2 is 100 cm²" in words and "7200" in words for words in told["careful"])
    assert planned(capsys, tmp_path, example(), 0)["careful"] != told["careful"]


def test_it_says_what_it_works_at_while_it_works(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "house.yaml"
    path.write_text(example(), encoding="utf-8")
    assert main(["pens", str(path)]) == 0
    assert "4 animals, 3 pens" in capsys.readouterr().err


def test_a_house_too_large_for_it_is_refused_at_once(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    more = "".join(f"  - {{id: a{n}, sex: sow}}\n" for n in range(MOST_ANIMALS))
    text = example().replace("pens:\n", more + "pens:\n", 1)
    assert f"up to {MOST_ANIMALS} animals" in refused(capsys, tmp_path, text)
    assert f"up to {MOST_ANIMALS} animals and {MOST_PENS} pens" in HELP.replace("\n", " ")


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("id: sage", "id: fern", "animal fern stands there twice"),
        ("pen: hayloft}", "pen: attic}", "there is no pen 'attic'"),
        ("sex: boar", "sex: male", "animals.2.sex"),
        ("area_cm2: 9800", "area_cm2: 0", "pens.0.area_cm2"),
        ("[fern, sage]", "[fern, nobody]", "'nobody' is named in a pair"),
        ("born: 2025-01-10, grams: 950", "born: 2027-01-10, grams: 950", "born after"),
        ("today:", "day:", "unknown key"),
        ('source: "our own minimum"', 'source: " "', "rules: a floor of your own needs its source"),
        ("cohort: monday", "cohort: monday, mood: shy", "animals.3.mood: unknown key"),
    ],
)
def test_a_bad_file_is_refused_with_the_place_of_every_fault(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, old: str, new: str, words: str
) -> None:
    assert old in example()
    assert words in refused(capsys, tmp_path, example().replace(old, new))
