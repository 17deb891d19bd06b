"""From notes to examples: in the compact form the words are marked, in worked notes they are found.

A worked note (``tests/scenarios/spoken``) says what was found but not by which words; they are
looked for where the rules read the same. A note in which something is not found is not used.
"""

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from training import codes
from training.compact import (
    Compact,
    Said,
    faults_of,
    parts_of,
    place_known,
    said_in,
    without_which,
)
from training.examples import Blanket, Example, Given, LeftOut, Named, Sign, Skipped
from training.worked import marked_worked

CAPITAL = re.compile(r"[A-Z]")


def examples_in(paths: Iterable[Path]) -> list[Example]:
    """The examples of all files in order; what cannot be used whole is left out."""
    found = []
    for path in paths:
        lines = path.read_text(encoding="utf-8").split("\n")
        notes = (json.loads(line) for line in lines if line.strip())
        found += [example for note in notes for example in _example(note)]
    return found


def _example(note: Mapping[str, Any]) -> Iterator[Example]:
    if "t" not in note:
        example = marked_worked(note)
        if example.missed:
            return
    elif faults_of(note):
        return
    else:
        example = marked_compact(note)
    yield with_proper_names(example)


def marked_compact(note: Compact) -> Example:
    """The example of a note in the compact form that has no faults."""
    text: str = note["t"]
    animals = list(enumerate(note["an"]))
    return Example(
        text=text,
        animals=tuple(one["n"] for one in note["an"]),
        signs=tuple(_sign(text, at, line) for at, one in animals for line in one.get("f", ())),
        care=tuple(_given(text, at, line) for at, one in animals for line in one.get("k", ())),
        blankets=tuple(
            Blanket(at, place_known(text, one["b"])) for at, one in animals if one.get("b")
        ),
        skipped=tuple(
            Skipped(at, place_known(text, words), step)
            for at, one in animals
            for step, words in _pairs(one.get("s", ()))
        ),
        left_out=tuple(
            LeftOut(place_known(text, words), kind) for kind, words in _pairs(note.get("x", ()))
        ),
        named=tuple(
            named
            for at, one in animals
            for words in dict.fromkeys(one.get("c", ()))
            for named in _named(text, at, words)
        ),
    )


def _pairs(lines: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Code and words of each line; a line without words teaches nothing."""
    for line in lines:
        code, *words = parts_of(line)
        if words:
            yield code, words[0]


def _named(text: str, animal: int, words: str) -> Iterator[Named]:
    """Everywhere the words stand as words of their own."""
    for found in re.finditer(rf"(?<!\w){re.escape(without_which(words))}(?!\w)", text):
        yield Named((found.start(), found.end()), animal)


def _sign(text: str, animal: int, line: str) -> Sign:
    said = said_in(line)
    region, side, finding, status = said.head[:4]
    return Sign(
        animal=animal,
        place=place_known(text, said.words or ""),
        region=region,
        side=side,
        finding=finding,
        status=status[0],
        grade=said.grade,
        kind=said.beside.get("k", ""),
        change=_change(said) if finding == "weight_change" else codes.NO_SIGN,
        optional=said.optional,
    )


def _change(said: Said) -> int:
    return {"-": codes.LOSS, "+": codes.GAIN}.get(said.beside.get("v", "")[:1], codes.NO_SIGN)


def _given(text: str, animal: int, line: str) -> Given:
    said = said_in(line)
    care, side, status = said.head
    return Given(animal, place_known(text, said.words or ""), care, side, status)


def with_proper_names(example: Example) -> Example:
    """An animal that is called by a name is not also named by other words ("the brown one")."""
    proper = {
        one.animal
        for one in example.named
        if CAPITAL.search(example.text[one.place[0] : one.place[1]])
    }
    kept = tuple(
        one
        for one in example.named
        if one.animal not in proper or CAPITAL.search(example.text[one.place[0] : one.place[1]])
    )
    return replace(example, named=kept)
