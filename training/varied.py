"""The same note said in other ways, with every mark still at its words.

Other names, left and right swapped, a word lost here and there, two notes in one breath, all lower
case without marks: so that the network learns from the sentence, and knows no name by heart.
"""

import random
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from training.examples import Example, Named, Place
from training.ruled import Ruled, ruled

PROPER = re.compile(r"^[A-Z][a-z]+( [A-Z][a-z]+)?$")
MARKS = re.compile(r"[.,!?;:\"“”()—–\n-]")  # noqa: RUF001 -- dashes as phones write them
JOINTS = "-–—\n"  # noqa: RUF001 -- the same
IN_A_NUMBER = re.compile(r"\d[.,]\d")
OTHER_SIDE = {"L": "R", "R": "L"}
OTHER_WORD = {"left": "right", "right": "left"}
# What a recogniser does not lose without changing what was said.
KEPT = ("cue:", "num:", "side:", "stop")

SHARE_RENAMED = 0.5
SHARE_SWAPPED = 0.4
SHARE_WORDS_LOST = 0.15
SHARE_JOINED = 0.12
SHARE_BARE = 0.22
SHARE_WITH_PEN = 0.5
SHARE_UNAIDED = 0.1
SHARE_OF_WORDS_LOST = 0.05
# Longer ones are not joined; names said later than this may leave the first words without one.
MOST_TO_JOIN = 350
NAMED_BEFORE = 12


class Edit(NamedTuple):
    """A stretch of the text that is replaced."""

    start: int
    end: int
    by: str


def edited(example: Example, edits: Iterable[Edit]) -> Example:
    """The example with stretches of its text replaced, which must not overlap."""
    text = example.text
    moved: list[int] = []
    pieces: list[str] = []
    size = 0
    for start, end, by in (*sorted(edits), Edit(len(text), len(text), "")):
        kept = text[len(moved) : start]
        moved += range(size, size + len(kept))
        size += len(kept)
        last = max(0, len(by) - 1)
        moved += [size + min(at, last) for at in range(end - start)]
        size += len(by)
        pieces += (kept, by)
    moved.append(size)

    def place(old: Place) -> Place:
        start, end = (moved[min(at, len(text))] for at in old)
        return start, max(start + 1, end)

    return example.with_places("".join(pieces), place)


def names_of(examples: Iterable[Example]) -> list[str]:
    """All proper names in the examples, from which other names are drawn."""
    words = {one.text[named.place[0] : named.place[1]] for one in examples for named in one.named}
    return sorted(word for word in words if PROPER.match(word))


def renamed(example: Example, names: Sequence[str], chance: random.Random) -> Example | None:
    """With other names; None where no proper name is said."""
    new: dict[str, str] = {}
    edits: list[Edit] = []
    for (start, end), _ in _in_order(example.named):
        word = example.text[start:end]
        if any(start < one.end and end > one.start for one in edits) or not PROPER.match(word):
            continue
        if word not in new:
            new[word] = chance.choice(names)
        edits.append(Edit(start, end, new[word]))
    if not edits:
        return None
    animals = tuple(new.get(name, name) for name in example.animals)
    return replace(edited(example, edits), animals=animals)


def _in_order(named: Iterable[Named]) -> list[tuple[Place, int]]:
    return sorted((one.place, one.animal) for one in named)


def swapped(example: Example) -> Example | None:
    """With left and right exchanged; None where no side is said."""
    sides = [one.side for one in example.signs] + [one.side for one in example.care]
    if OTHER_SIDE.keys().isdisjoint(sides):
        return None
    edits = list(_sides_said(example.text, ruled(example.text)))
    if not edits:
        return None
    other = edited(example, edits)
    return replace(
        other,
        signs=tuple(replace(one, side=OTHER_SIDE.get(one.side, one.side)) for one in other.signs),
        care=tuple(replace(one, side=OTHER_SIDE.get(one.side, one.side)) for one in other.care),
    )


def _sides_said(text: str, read: Ruled) -> Iterable[Edit]:
    for (start, end), hints in zip(read.places, read.hints, strict=True):
        word = text[start:end]
        other = OTHER_WORD.get(word.lower())
        if other and any(hint.startswith("side:") for hint in hints):
            yield Edit(start, end, other.capitalize() if word[0].isupper() else other)


def with_words_lost(example: Example, chance: random.Random) -> Example | None:
    """With one word in twenty lost, but none that says what the note says; None if none is."""
    read = ruled(example.text)
    marked = [one.place for one in example.signs] + [one.place for one in example.care]
    marked += [one.place for one in example.named] + [one.place for one in example.blankets]
    edits = []
    for (start, end), hints in zip(read.places, read.hints, strict=True):
        lost = chance.random() < SHARE_OF_WORDS_LOST
        if not lost or any(hint.startswith(KEPT) for hint in hints):
            continue
        if any(start < b and end > a for a, b in marked):
            continue
        edits.append(Edit(start, end + (example.text[end : end + 1] == " "), ""))
    return edited(example, edits) if edits else None


def joined(first: Example, second: Example) -> Example:
    """Two notes in one."""
    begin = len(first.text) + 1

    def place(old: Place) -> Place:
        return old[0] + begin, old[1] + begin

    text = f"{first.text} {second.text}"
    after = second.with_animals_from(len(first.animals)).with_places(text, place)
    return Example(
        text=text,
        animals=first.animals + second.animals,
        signs=first.signs + after.signs,
        care=first.care + after.care,
        blankets=first.blankets + after.blankets,
        skipped=first.skipped + after.skipped,
        left_out=first.left_out + after.left_out,
        named=first.named + after.named,
    )


def bare(example: Example) -> Example:
    """All lower case without marks, as a plain recogniser writes."""
    text = example.text
    edits = [
        Edit(mark.start(), mark.end(), " " if mark[0] in JOINTS else "")
        for mark in MARKS.finditer(text)
        if not (
            mark[0] in ".," and IN_A_NUMBER.match(text[max(0, mark.start() - 1) : mark.start() + 2])
        )
    ]
    without = edited(example, edits)
    return replace(without, text=without.text.lower())


class Varied(NamedTuple):
    """An example as it is told this time.

    ``pen``: the names the rules are given; ``unaided``: the network is not shown what the rules
    filed, only what the words may mean.
    """

    example: Example
    pen: tuple[str, ...]
    unaided: bool


@dataclass(frozen=True, slots=True)
class Variations:
    """Every example once an epoch, each time said in another way; the same epoch is the same."""

    examples: Sequence[Example]
    names: Sequence[str]

    def of(self, epoch: int) -> list[Varied]:
        """The examples of an epoch."""
        chance = random.Random(epoch * 7 + 1)
        return [self._varied(example, chance) for example in self.examples]

    def _varied(self, example: Example, chance: random.Random) -> Varied:
        if chance.random() < SHARE_RENAMED:
            example = renamed(example, self.names, chance) or example
        if chance.random() < SHARE_SWAPPED:
            example = swapped(example) or example
        if chance.random() < SHARE_WORDS_LOST:
            example = with_words_lost(example, chance) or example
        if chance.random() < SHARE_JOINED and len(example.text) < MOST_TO_JOIN:
            other = chance.choice(self.examples)
            if _may_be_joined(example, other):
                example = joined(example, other)
        if chance.random() < SHARE_BARE:
            example = bare(example)
        pen = example.pen if chance.random() < SHARE_WITH_PEN else ()
        return Varied(example, pen, unaided=chance.random() < SHARE_UNAIDED)


def _may_be_joined(first: Example, second: Example) -> bool:
    """Both name their animals at once, none of them alike, and they are not too long."""
    return (
        len(second.text) < MOST_TO_JOIN
        and _named_first(second) < NAMED_BEFORE
        and _named_first(first) < NAMED_BEFORE
        and not set(first.animals) & set(second.animals)
    )


def _named_first(example: Example) -> int:
    return min((one.place[0] for one in example.named), default=NAMED_BEFORE)
