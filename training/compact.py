"""Notes in the compact form (``notes/README.md``): reading one, and telling what is wrong in it.

``python -m training.compact FILE`` checks a file.
"""

import argparse
import json
import re
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from training import codes
from training.examples import Place

Compact = Mapping[str, Any]
WHICH = re.compile(r"(.*)#(\d+)$", re.DOTALL)
# "861 g", "-15 g", "2lb3oz lb_oz (992)", "0.9 kg (900)".
WEIGHT = re.compile(r"^\s*[-+]?[\w.]+( (g|kg|lb|oz|lb_oz))?( \([-+\d.]+\))?\s*$")
WEIGHTS = frozenset({"weight", "weight_change"})
WITHOUT_GRADE, WITH_GRADE, CARE_PARTS = 4, 5, 3


@dataclass(frozen=True, slots=True)
class Said:
    """One string of a note: the parts of its head, its words, and what is said beside them."""

    head: tuple[str, ...]
    words: str | None
    beside: Mapping[str, str]
    optional: bool = False

    @property
    def grade(self) -> str:
        """The grade of a finding; empty where none was said."""
        return self.head[4] if len(self.head) == WITH_GRADE else ""


def said_in(line: str) -> Said:
    """The parts of ``eye.R.watery.p | weeping | k=clear``."""
    head, *rest = parts_of(line.lstrip("?"))
    return Said(
        head=tuple(head.split(".")),
        words=rest[0] if rest else None,
        beside=_beside(rest[1]) if len(rest) > 1 else {},
        optional=line.startswith("?"),
    )


def parts_of(line: str) -> list[str]:
    """What stands between the upright strokes."""
    return [part.strip() for part in line.split("|")]


def _beside(part: str) -> dict[str, str]:
    pairs = (one.split("=", 1) for one in part.split(";") if "=" in one)
    return {key.strip(): value.strip() for key, value in pairs}


def without_which(words: str) -> str:
    """The words without the number that says which of several they are."""
    return re.sub(r"#\d+$", "", words)


def place_of(text: str, words: str) -> Place | None:
    """Where the words stand, ``crusts#2`` for the second time they do; None for nowhere."""
    which = WHICH.match(words)
    words, times = (which[1], int(which[2])) if which else (words, 1)
    start = -1
    for _ in range(times):
        start = text.find(words, start + 1)
        if start < 0:
            return None
    return None if start < 0 else (start, start + len(words))


def place_known(text: str, words: str) -> Place:
    """The same for words of a note that was checked; ValueError where they are nowhere."""
    place = place_of(text, words)
    if place is None:
        msg = f"not in the text: {words!r}"
        raise ValueError(msg)
    return place


def faults_of(note: Compact) -> list[str]:
    """What is wrong in a note; empty where nothing is."""
    return list(_faults(note))


def _faults(note: Compact) -> Iterator[str]:
    text = note["t"]
    for animal in note["an"]:
        for name in animal.get("c", ()):
            yield from _nowhere(text, name, "name")
        for line in animal.get("f", ()):
            yield from _faults_of_finding(text, line)
        for line in animal.get("k", ()):
            yield from _faults_of_care(text, line)
        if animal.get("b"):
            yield from _nowhere(text, animal["b"], "blanket")
        for line in animal.get("s", ()):
            yield from _faults_of_pair(text, line, codes.steps(), "step")
    for line in note.get("x", ()):
        yield from _faults_of_pair(text, line, codes.LEFT_OUT[1:], "kind")


def _nowhere(text: str, words: str, what: str) -> Iterator[str]:
    if place_of(text, words) is None:
        yield f"{what}: words not in the text: {words!r}"


def _faults_of_finding(text: str, line: str) -> Iterator[str]:
    said = said_in(line)
    if len(said.head) not in (WITHOUT_GRADE, WITH_GRADE):
        yield f"form of a finding: {line}"
        return
    region, side, finding, status = said.head[:WITHOUT_GRADE]
    if region not in codes.regions():
        yield f"region {region}"
    if side not in codes.SIDES:
        yield f"side {side}"
    if finding not in codes.findings():
        yield f"finding {finding}"
    if not all(one in codes.STATUSES for one in status.split("/")):
        yield f"status {status}"
    if len(said.head) == WITH_GRADE and said.grade not in codes.GRADES[1:]:
        yield f"grade {said.grade}"
    if said.words is None:
        yield f"no words: {line}"
        return
    yield from _nowhere(text, said.words, "finding")
    if finding in WEIGHTS and not WEIGHT.match(said.beside.get("v", "")):
        yield f"value of a weight: {line}"


def _faults_of_care(text: str, line: str) -> Iterator[str]:
    said = said_in(line)
    if said.optional or not _is_care(said.head):
        yield f"form of care: {line}"
    elif said.words is None:
        yield f"no words: {line}"
    else:
        yield from _nowhere(text, said.words, "care")


def _is_care(head: Sequence[str]) -> bool:
    known = (codes.care(), codes.SIDES, codes.CARE_STATUSES)
    return len(head) == CARE_PARTS and all(
        part in each for part, each in zip(head, known, strict=True)
    )


def _faults_of_pair(text: str, line: str, known: Sequence[str], what: str) -> Iterator[str]:
    """``belly | didn't do his tummy``: a code, and words unless there are none."""
    code, *words = parts_of(line)
    if code not in known:
        yield f"{what} {code}"
    if words:
        yield from _nowhere(text, words[0], what)


def faults_in(path: Path) -> Iterator[str]:
    """What is wrong in a file, with the number of the line."""
    for number, line in enumerate(path.read_text(encoding="utf-8").split("\n"), 1):
        if not line.strip():
            continue
        try:
            faults = faults_of(json.loads(line))
        except (ValueError, LookupError, TypeError, AttributeError) as fault:
            faults = [f"no note: {type(fault).__name__} {fault}"]
        yield from (f"line {number}: {fault}" for fault in faults)


def main() -> int:
    """Check the files named; 1 where something is wrong."""
    parser = argparse.ArgumentParser(description="Check notes in the compact form.")
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE")
    found = 0
    for path in parser.parse_args().files:
        faults = list(faults_in(path))
        found += len(faults)
        print(*(f"{path}: {fault}" for fault in faults), sep="\n", end="\n" if faults else "")
    print(f"{found} faults")
    return int(found > 0)


if __name__ == "__main__":
    sys.exit(main())
