"""A served data folder in a process of its own, and a browser's stand-in that keeps cookies."""

import json
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.cookiejar import CookieJar
from pathlib import Path
from typing import Any
from urllib.parse import urlencode
from urllib.request import HTTPCookieProcessor, OpenerDirector, Request, build_opener

SERVE = (sys.executable, "-m", "cavyround.commands.main", "serve", "--host", "127.0.0.1")
PATIENCE_S = 150


def a_free_port() -> int:
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        return int(held.getsockname()[1])


@dataclass
class Served:
    """A running server."""

    process: subprocess.Popen[bytes]
    port: int
    log: Path

    def kill(self) -> None:
        """kill -9: no time to say goodbye."""
        self.process.kill()
        self.process.wait()


@contextmanager
def served(data: Path, port: int, *more: str) -> Iterator[Served]:
    """Serve until the block ends."""
    log = data.parent / "serve.log"
    with log.open("wb") as out:
        command = [*SERVE, "--data", str(data), "--port", str(port), *more]
        process = subprocess.Popen(command, stdout=out, stderr=subprocess.STDOUT)
        running = Served(process, port, log)
        try:
            _wait_for(running)
            yield running
        finally:
            running.kill()


def _wait_for(running: Served) -> None:
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until:
        if running.process.poll() is not None:
            break
        with socket.socket() as tried:
            if tried.connect_ex(("127.0.0.1", running.port)) == 0:
                return
        time.sleep(0.05)
    raise AssertionError(running.log.read_text())


@dataclass
class Browser:
    """Asks pages of one server and keeps its cookies."""

    port: int
    cookies: CookieJar = field(default_factory=CookieJar)

    @property
    def _opener(self) -> OpenerDirector:
        return build_opener(HTTPCookieProcessor(self.cookies))

    def get(self, path: str) -> str:
        with self._opener.open(self._request(path)) as answer:
            text: str = answer.read().decode()
            return text

    def post(self, path: str, form: dict[str, str]) -> str:
        with self._opener.open(self._request(path, urlencode(form).encode())) as answer:
            url: str = answer.url
            return url

    def post_json(self, path: str, data: object) -> Any:
        request = self._request(path, json.dumps(data).encode())
        request.add_header("Content-Type", "application/json")
        request.add_header("Accept", "application/json")
        with self._opener.open(request) as answer:
            return json.loads(answer.read())

    def _request(self, path: str, body: bytes | None = None) -> Request:
        request = Request(f"http://127.0.0.1:{self.port}{path}", body)
        token = next((c.value for c in self.cookies if c.name == "csrftoken"), None)
        if token:
            request.add_header("X-CSRFToken", token)
        return request
