"""The command line helps, and says where things are."""

import subprocess
import sys

import pytest

from cavyround import __version__
from cavyround.commands.main import COMMANDS, main

NAMES = [command.__name__.rpartition(".")[2] for command in COMMANDS]


def said(argv: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[object, str, str]:
    with pytest.raises(SystemExit) as left:
        main(argv)
    out, err = capsys.readouterr()
    return left.value.code, out, err


def test_help_names_every_command_and_how_to_begin(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = said(["--help"], capsys)
    assert code == 0
    listed = {line.split()[0] for line in out.splitlines() if line.startswith("    ")}
    assert set(NAMES) <= listed
    assert "cavyround demo --data demo-data" in out


@pytest.mark.parametrize("name", NAMES)
def test_every_command_has_help(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = said([name, "--help"], capsys)
    assert code == 0
    assert f"usage: cavyround {name}" in out
    options = [line for line in out.splitlines() if line.startswith("  --")]
    assert all(len(line.split()) > 1 for line in options)


@pytest.mark.parametrize("name", ["serve", "demo"])
def test_the_help_says_where_the_data_lie(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = said([name, "--help"], capsys)
    assert "--data FOLDER" in out
    assert "where the database and the photos lie" in out


@pytest.mark.parametrize("argv", [[], ["dance"], ["serve", "--port", "many"], ["triage"]])
def test_what_is_no_command_is_refused(argv: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    code, _, err = said(argv, capsys)
    assert code == 2
    assert "usage: cavyround" in err


def test_the_version_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert said(["--version"], capsys)[:2] == (0, f"cavyround {__version__}\n")


def test_a_reader_who_has_seen_enough_is_no_fault() -> None:
    command = f"{sys.executable} -m cavyround.commands.main knowledge | head -1"
    ran = subprocess.run(
        ["/bin/sh", "-c", command], capture_output=True, text=True, timeout=60, check=False
    )
    assert (ran.returncode, ran.stderr) == (0, "")
    assert ran.stdout.startswith("STEP ")
