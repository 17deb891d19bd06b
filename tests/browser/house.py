"""A rescue to visit: a data folder and a real ``cavyround serve`` on it."""

import json
import os
import signal
import socket
import sqlite3
import subprocess
import sys
import time
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

COMMAND = (sys.executable, "-m", "cavyround.commands.main")
STARTS_WITHIN_S = 40
# Nothing of the developer's own surroundings reaches the server.
KEPT_FROM_IT = ("DATABASE_URL", "CAVYROUND_OVERRIDE", "CAVYROUND_DEMO", "CAVYROUND_HOSTS")


def surroundings(folder: Path) -> dict[str, str]:
    """The environment of a command on this data folder."""
    clean = {name: value for name, value in os.environ.items() if name not in KEPT_FROM_IT}
    return clean | {"CAVYROUND_DATA": str(folder)}


def free_port() -> int:
    """A port nobody listens on just now."""
    with closing(socket.socket()) as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


class House:
    """A data folder with a server that can be stopped, killed and started again."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.port = free_port()
        self._process: subprocess.Popen[bytes] | None = None
        self._log = folder.with_name(f"{folder.name}.log")

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self, *, hosts: str = "127.0.0.1") -> None:
        """Start the server and wait until it answers."""
        arguments = ["serve", "--data", str(self.folder), "--port", str(self.port)]
        with self._log.open("ab") as log:
            self._process = subprocess.Popen(
                [*COMMAND, *arguments, "--host", hosts],
                stdout=log,
                stderr=log,
                env=surroundings(self.folder),
            )
        until = time.monotonic() + STARTS_WITHIN_S
        while time.monotonic() < until:
            if self._process.poll() is not None:
                break
            if self._answers():
                return
            time.sleep(0.05)
        self.stop()
        msg = f"the server did not answer:\n{self.log()}"
        raise AssertionError(msg)

    def _answers(self) -> bool:
        try:
            with closing(socket.create_connection(("127.0.0.1", self.port), timeout=5)):
                return True
        except OSError:
            return False

    def kill(self) -> None:
        """As a power cut: no time to tidy up."""
        self._end(signal.SIGKILL)

    def stop(self) -> None:
        """As Ctrl-C."""
        self._end(signal.SIGINT)

    def _end(self, how: signal.Signals) -> None:
        if self._process is None:
            return
        self._process.send_signal(how)
        try:
            self._process.wait(10)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        self._process = None

    def log(self) -> str:
        """What the server said."""
        return self._log.read_text() if self._log.exists() else ""

    def rows(self, query: str, given: Sequence[object] = ()) -> list[dict[str, Any]]:
        """Rows of the record, read past the server; ids without hyphens, as SQLite holds them."""
        with closing(sqlite3.connect(self.folder / "cavyround.sqlite3", timeout=20)) as base:
            base.row_factory = sqlite3.Row
            return [dict(row) for row in base.execute(query, given)]

    def entries(self, animal: str) -> list[dict[str, Any]]:
        """The entries of all checks of an animal, as they were sent, in the order made."""
        rows = self.rows(
            "SELECT e.id, e.kind, e.data, e.check_in_id, e.made_by_id FROM record_checkentry e "
            "JOIN record_check c ON c.id = e.check_in_id WHERE c.animal_id = ? ORDER BY e.id",
            [bare(animal)],
        )
        return [row | {"data": json.loads(row["data"])} for row in rows]


def bare(some_id: str) -> str:
    """An id as SQLite holds it."""
    return some_id.replace("-", "")
