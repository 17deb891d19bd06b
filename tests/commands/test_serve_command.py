"""``cavyround serve``: says where the data lie, and loses nothing it has acknowledged."""

import json
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from cavyround.commands.main import main
from cavyround.knowledge.loading import load_knowledge
from cavyround.record.models import Animal
from tests.builders import FINISH, OnTheTable, found, weighed
from tests.commands.serving import SERVE, Browser, a_free_port, served

ACCOUNT = {
    "shown_name": "Marjorie Oakes",
    "username": "marjorie",
    "password": "three hay racks and a tub",
    "again": "three hay racks and a tub",
}
# Another process writes the animal through the record's own writer.
ADD_ANIMAL = """
import sys
from pathlib import Path
from cavyround.commands.folder import set_up
set_up(Path(sys.argv[1]))
from django.utils import timezone
from cavyround.record.animals import Coming, add_animal
from cavyround.record.models import Person
now = timezone.now()
coming = Coming(on=timezone.localdate(now), how="found")
print(add_animal(Person.objects.get(), {"name": "Bramble"}, coming, now).id)
"""


def add_animal(data: Path) -> Animal:
    ran = subprocess.run(
        [sys.executable, "-c", ADD_ANIMAL, str(data)],
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    return Animal(id=ran.stdout.strip(), name="Bramble")


def entries(data: Path) -> dict[str, Any]:
    """What lies in the database file, by id."""
    with closing(sqlite3.connect(data / "cavyround.sqlite3")) as database:
        rows = database.execute("select id, data from record_checkentry").fetchall()
    return {row_id: json.loads(said) for row_id, said in rows}


def test_it_prints_where_the_data_lie_and_what_to_open(tmp_path: Path) -> None:
    data, port = tmp_path / "a folder" / "data", a_free_port()
    data.parent.mkdir()
    with served(data, port) as running:
        said = running.log.read_text()
    assert f"Data:      {data}\n" in said
    assert f"Open:      http://127.0.0.1:{port}/\n" in said
    assert f"Knowledge: {load_knowledge().version}\n" in said
    assert (data / "cavyround.sqlite3").exists()
    assert (data / "secret-key").stat().st_mode & 0o077 == 0


def test_a_port_that_is_taken_is_told(tmp_path: Path) -> None:
    port = a_free_port()
    with served(tmp_path / "one", port):
        ran = subprocess.run(
            [*SERVE, "--data", str(tmp_path / "two"), "--port", str(port)],
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
    assert ran.returncode == 2
    assert f"Port {port} cannot be used" in ran.stderr
    assert "Traceback" not in ran.stderr


@pytest.mark.parametrize("content", [None, "override: {by: x}\n"])
def test_with_a_faulty_override_nothing_is_served_and_no_folder_made(
    tmp_path: Path, content: str | None, capsys: pytest.CaptureFixture[str]
) -> None:
    own = tmp_path / "own.yaml"
    if content is not None:
        own.write_text(content)
    data = tmp_path / "data"
    assert main(["serve", "--data", str(data), "--override", str(own)]) == 2
    said = capsys.readouterr().err
    assert "nothing is served" in said
    assert "own.yaml: " in said
    assert not data.exists()


def test_a_server_killed_right_after_it_acknowledged_has_lost_nothing(tmp_path: Path) -> None:
    data, port = tmp_path / "data", a_free_port()
    browser = Browser(port)
    with served(data, port) as running:
        browser.get("/first")
        assert browser.post("/first", ACCOUNT).endswith("/")
        table = OnTheTable(add_animal(data))
        touches = [table.touch(weighed(912)), table.touch(found()), table.touch(FINISH)]
        first = browser.post_json("/check/touches", {"touches": touches[:2]})
        running.kill()
    assert sorted(first["kept"]) == sorted(touch["id"] for touch in touches[:2])
    assert len(entries(data)) == 2

    with served(data, port) as running:
        # Still signed in; what was sent before is sent again, as a phone that heard nothing would.
        again = browser.post_json("/check/touches", {"touches": touches})
        running.kill()
    assert again["refused"] == []
    assert again["checks"][str(table.id)]["finished"]
    kept = entries(data)
    assert {said["kind"] for said in kept.values()} == {"weight", "observation", "finish"}
    assert len(kept) == 3

    with served(data, port):
        assert "Marjorie Oakes" in browser.get("/me")
        assert browser.post_json("/check/touches", {"touches": touches})["refused"] == []
    assert entries(data) == kept
