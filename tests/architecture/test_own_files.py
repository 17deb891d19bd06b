"""Files stay small enough to read, functions short, and names say what is inside."""

import ast
import os
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
OWN_FOLDERS = ("src", "tests", "benchmarks")
LONGEST_MODULE = 400
LONGEST_FUNCTION = 60
SAYS_NOTHING = {"utils", "util", "helpers", "helper", "common", "misc", "stuff", "tools"}
# Kept by others, or made by a program from the models.
NOT_OURS = ("vendor", "migrations", "__pycache__")
# Long because the trade knows much, and read by vets rather than by programmers.
KNOWLEDGE_DATA = ROOT / "src" / "cavyround" / "knowledge" / "data"


def own_files(*endings: str) -> list[Path]:
    return sorted(
        path
        for folder in OWN_FOLDERS
        for path in (ROOT / folder).rglob("*")
        if path.suffix in endings and not set(NOT_OURS) & set(path.parts)
    )


def shown(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def functions(path: Path) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def test_no_module_is_longer_than_can_be_read_at_once() -> None:
    long = {
        shown(path): lines
        for path in own_files(".py", ".js", ".css", ".html")
        if (lines := len(path.read_text(encoding="utf-8").splitlines())) > LONGEST_MODULE
    }
    assert long == {}


def test_no_function_is_longer_than_a_screen() -> None:
    long = {
        f"{shown(path)}: {function.name}": lines
        for path in own_files(".py")
        for function in functions(path)
        if (lines := (function.end_lineno or 0) - function.lineno + 1) > LONGEST_FUNCTION
    }
    assert long == {}


def test_no_module_has_a_name_that_says_nothing() -> None:
    named = [
        shown(path)
        for path in own_files(".py", ".js", ".css")
        if SAYS_NOTHING & {path.stem, path.parent.name}
    ]
    assert named == []


@pytest.mark.parametrize("folder", ["knowledge", "facts", "engines"])
def test_what_computes_asks_no_clock(folder: str) -> None:
    asks = re.compile(r"\b(now|today|utcnow)\(\)|\btime\.time\(")
    asking = [
        shown(path)
        for path in own_files(".py")
        if (ROOT / "src" / "cavyround" / folder) in path.parents
        if asks.search(path.read_text(encoding="utf-8"))
    ]
    assert asking == []


def test_only_the_record_writes_what_is_in_the_record() -> None:
    writes = re.compile(r"\.(objects\.(create|bulk_create|update|get_or_create)|bulk_create)\(")
    writing = [
        shown(path)
        for path in own_files(".py")
        if (ROOT / "src" / "cavyround" / "engines") in path.parents
        or (ROOT / "src" / "cavyround" / "advice") in path.parents
        if writes.search(path.read_text(encoding="utf-8"))
    ]
    assert writing == []


def test_the_packages_are_pinned_with_hashes_and_no_host_is_named() -> None:
    lock = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    assert "://" not in lock  # a package may be called httpx
    pins = re.findall(r"^([a-z0-9][\w.-]*)==", lock, re.MULTILINE)
    assert len(pins) > 20
    assert lock.count("--hash=sha256:") >= len(pins)


def test_the_check_of_the_whole_project_can_be_run() -> None:
    assert os.access(ROOT / ".ci" / "run", os.X_OK)
    assert "make test" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_the_knowledge_files_are_data_and_nothing_else() -> None:
    kinds = {path.suffix for path in KNOWLEDGE_DATA.rglob("*") if path.is_file()}
    assert kinds == {".yaml"}
