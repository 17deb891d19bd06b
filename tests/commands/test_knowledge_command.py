"""``cavyround knowledge``: shows, searches, and checks the files."""

import shutil
from pathlib import Path

import pytest

from cavyround.commands.main import main
from cavyround.knowledge.loading import DATA


def test_the_shipped_files_are_sound(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["knowledge", "--check"]) == 0
    out = capsys.readouterr().out
    assert "no faults" in out
    assert "rules" in out


def test_broken_files_are_told_and_give_another_exit_code(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = shutil.copytree(DATA, tmp_path / "knowledge")
    (folder / "kit.yaml").unlink()
    (folder / "trade.yaml").write_text("trade: [\n")
    assert main(["knowledge", "--check", "--folder", str(folder)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("2 faults:\n")
    assert "kit.yaml: cannot be read" in err
    assert "trade.yaml: " in err


@pytest.mark.parametrize("content", [None, "override: {by: x}\n", "- a\n"])
def test_a_faulty_override_is_told(
    tmp_path: Path, content: str | None, capsys: pytest.CaptureFixture[str]
) -> None:
    own = tmp_path / "own.yaml"
    if content is not None:
        own.write_text(content)
    assert main(["knowledge", "--check", "--override", str(own)]) == 2
    assert "own.yaml: " in capsys.readouterr().err


def test_a_search_shows_only_entries_that_hold_all_the_words(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["knowledge", "Ringworm", "gloves"]) == 0
    entries = [one for one in capsys.readouterr().out.split("\n\n") if one.strip()]
    assert entries
    assert all("ringworm" in one.lower() and "gloves" in one.lower() for one in entries)


def test_a_search_that_finds_nothing_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["knowledge", "unicorn"]) == 1
    assert "Nothing holds all of: unicorn" in capsys.readouterr().err


def test_everything_is_shown_with_its_sources(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["knowledge"]) == 0
    entries = [one for one in capsys.readouterr().out.split("\n\n") if one.strip()]
    kinds = {one.split()[0] for one in entries}
    assert {"STEP", "RULE", "PARASITE", "INFECTION", "THRESHOLD", "FACT", "CAUTION"} <= kinds
    cited = ("  source: ", "[", "no number found")
    assert [one for one in entries if not any(sign in one for sign in cited)] == []


def test_an_overridden_rule_is_shown_as_such(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    own = tmp_path / "own.yaml"
    own.write_text(
        'override: {by: "Dr A. Vet", on: 2026-03-01}\n'
        'replaces: [{id: ears.much_wax, why: "mites here", set: {urgency: vet_days}}]\n'
    )
    assert main(["knowledge", "--override", str(own), "ears.much_wax"]) == 0
    assert "OVERRIDDEN by Dr A. Vet on 2026-03-01: mites here" in capsys.readouterr().out
