"""What cannot be started says why, in one message, and ends with 2."""

import os
import re
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from cavyround.commands import folder
from cavyround.commands.folder import KEY, CannotStartError, usable
from cavyround.commands.main import main

COMMANDS = ("serve", "demo")


def a_file(data: Path) -> None:
    data.write_text("a shopping list")


def in_a_file(data: Path) -> None:
    data.parent.rmdir()
    data.parent.write_text("a shopping list")


def a_loop(data: Path) -> None:
    data.symlink_to(data)


def key_is_a_folder(data: Path) -> None:
    (data / KEY).mkdir(parents=True)


def key_is_damaged(data: Path) -> None:
    data.mkdir()
    (data / KEY).write_bytes(b"\xff\xfe\x00\xd8")


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize(
    ("make", "words"),
    [
        (a_file, "is no folder, and the data need one"),
        (in_a_file, "is no folder, and the data need one"),
        (a_loop, "Nothing can be written in"),
    ],
)
def test_a_folder_that_is_none_is_told(
    command: str,
    make: Callable[[Path], None],
    words: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    (tmp_path / "in").mkdir()
    data = tmp_path / "in" / "data"
    make(data)
    assert main([command, "--data", str(data)]) == 2
    said = capsys.readouterr()
    assert words in said.err
    assert len(said.err.splitlines()) == 1


@pytest.mark.parametrize("command", COMMANDS)
def test_a_folder_nobody_may_write_in_is_told(
    command: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def read_only(**_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(folder, "NamedTemporaryFile", read_only)
    assert main([command, "--data", str(tmp_path)]) == 2
    assert f"Nothing can be written in {tmp_path} (Permission denied)" in capsys.readouterr().err


def test_trying_a_folder_leaves_nothing_in_it(tmp_path: Path) -> None:
    assert usable(tmp_path / "new" / "data") == tmp_path / "new" / "data"
    assert list((tmp_path / "new" / "data").iterdir()) == []


@pytest.mark.parametrize("make", [key_is_a_folder, key_is_damaged])
def test_a_key_that_cannot_be_used_is_told(
    make: Callable[[Path], None], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    make(tmp_path / "data")
    assert main(["serve", "--data", str(tmp_path / "data")]) == 2
    said = capsys.readouterr().err
    assert "secret-key cannot be used" in said
    assert "No entry is lost" in said


def test_an_empty_key_is_made_anew_and_a_whole_one_is_kept(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    key = tmp_path / KEY
    key.touch()
    folder._keep_key(key)
    assert "signs in once more" in capsys.readouterr().err
    made = key.read_text()
    assert len(made) > 50
    assert key.stat().st_mode & 0o077 == 0
    folder._keep_key(key)
    assert key.read_text() == made
    assert [path.name for path in tmp_path.iterdir()] == [KEY]
    assert capsys.readouterr().err == ""


def test_a_key_is_whole_or_not_there_when_the_power_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", fails)
    with pytest.raises(CannotStartError, match="No space left"):
        folder._keep_key(tmp_path / KEY)
    assert not (tmp_path / KEY).exists()


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("zone", ["Middle/Earth", "Europe", "../etc/passwd", "", "\u20ac"])
def test_a_zone_nobody_knows_is_told_and_nothing_is_made(
    command: str,
    zone: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("CAVYROUND_ZONE", zone)
    data = tmp_path / "data"
    assert main([command, "--data", str(data)]) == 2
    assert "no time zone has this name" in capsys.readouterr().err
    assert command == "demo" or not data.exists()


@pytest.mark.parametrize("port", ["0", "-1", "65536", "9" * 5000, "http", "84 20", "\u00b2"])
def test_a_port_that_is_none_is_told(
    port: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["serve", "--data", str(tmp_path / "data"), f"--port={port}"])
    assert ended.value.code == 2
    assert "is no port: give a number from 1 to 65535" in capsys.readouterr().err
    assert not (tmp_path / "data").exists()


@pytest.mark.parametrize("day", ["yesterday", "0001-01-01", "9999-12-31", "2026-02-30"])
def test_a_day_the_demo_cannot_end_on_is_told(
    day: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["demo", "--data", str(tmp_path / "data"), "--as-of", day])
    assert ended.value.code == 2
    assert "write it like 2026-03-03" in capsys.readouterr().err


def serve(data: Path, *more: str, **surroundings: str) -> subprocess.CompletedProcess[str]:
    """The command in a process of its own, where Django is not set up yet."""
    return subprocess.run(
        [sys.executable, "-m", "cavyround.commands.main", "serve", "--data", str(data), *more],
        env=os.environ | surroundings,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


def no_database(data: Path) -> None:
    data.write_bytes(b"this was a database once " * 400)


def a_folder(data: Path) -> None:
    data.mkdir()


def damaged_within(data: Path) -> None:
    with closing(sqlite3.connect(data)) as made:
        made.execute("create table django_migrations (id integer primary key)")
        made.commit()
    whole = bytearray(data.read_bytes())
    whole[100:3000] = b"\xff" * 2900
    data.write_bytes(whole)


@pytest.mark.parametrize("make", [no_database, a_folder, damaged_within])
def test_a_database_that_cannot_be_used_is_told(
    make: Callable[[Path], None], tmp_path: Path
) -> None:
    database = tmp_path / "cavyround.sqlite3"
    make(database)
    ran = serve(tmp_path)
    assert ran.returncode == 2
    assert f"The database {database} cannot be used: " in ran.stderr
    assert "Traceback" not in ran.stderr
    assert len(ran.stderr.splitlines()) == 1
    if make is not a_folder:
        assert "put the last backup" in ran.stderr


@pytest.mark.parametrize(
    "url", ["nonsense", "mysterydb://a:secret@b/c", "postgres://a:secret@b:x/c"]
)
def test_an_address_of_a_database_that_cannot_be_used_is_told_without_its_password(
    url: str, tmp_path: Path
) -> None:
    ran = serve(tmp_path, DATABASE_URL=url)
    assert ran.returncode == 2
    assert ran.stderr.startswith("The database named by DATABASE_URL cannot be used")
    assert "secret" not in ran.stderr
    assert "Traceback" not in ran.stderr


@pytest.mark.parametrize("host", ["nowhere.invalid", "203.0.113.7", "not a host"])
def test_an_address_nobody_can_listen_on_is_told(host: str, tmp_path: Path) -> None:
    ran = serve(tmp_path, "--host", host)
    assert ran.returncode == 2
    assert re.match(rf"Nothing can listen on {re.escape(host)}, port 8420 \(", ran.stderr)
    assert "Traceback" not in ran.stderr
