"""``cavyround demo`` never mixes invented animals into a rescue's own data."""

from pathlib import Path

import pytest

from cavyround.commands.main import main


@pytest.fixture
def own_data(tmp_path: Path) -> Path:
    folder = tmp_path / "data"
    folder.mkdir()
    (folder / "cavyround.sqlite3").write_bytes(b"a rescue's own")
    return folder


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_a_folder_with_data_is_refused_and_left_alone(
    own_data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = contents(own_data)
    assert main(["demo", "--data", str(own_data)]) == 2
    said = capsys.readouterr().err
    assert str(own_data) in said
    assert "Name another folder with --data" in said
    assert contents(own_data) == before


def test_if_missing_does_nothing_where_there_is_data(
    own_data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = contents(own_data)
    assert main(["demo", "--data", str(own_data), "--if-missing"]) == 0
    assert capsys.readouterr() == ("", "")
    assert contents(own_data) == before
