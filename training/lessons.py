"""Texts as numbers, in batches, for the network to be taught with."""

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple, TypeVar

import torch
from torch import Tensor

from cavyround.engines.spoken.trained.pieces import BEGIN, END, pieces_of
from training.labelled import Labelled
from training.learned_codes import LearnedCodes

Each = TypeVar("Each")
# Pieces of a text, begin and end included; what is longer is cut off while teaching.
LONGEST = 500
# Pieces in a batch, those that only fill up included.
ROOM = 1400
# Texts of like length are put together, out of so many at a time.
SORTED_AT_ONCE = 256


@dataclass(frozen=True, slots=True)
class Lesson:
    """One text: its pieces, the hints of each piece and word, and what its words say.

    ``first``: the first piece of each word; ``sentence``: the number of its sentence.
    """

    pieces: list[int]
    piece_hints: list[list[int]]
    first: list[int]
    word_hints: list[list[int]]
    sentence: list[int]
    labels: Labelled


def lesson_of(labels: Labelled, learned: LearnedCodes, known: Mapping[str, int]) -> Lesson:
    """A text as numbers."""
    rows = learned.hint_rows
    word_hints = [[rows[hint] for hint in hints if hint in rows] for hints in labels.hints]
    pieces: list[int] = [known[BEGIN]]
    piece_hints: list[list[int]] = [[]]
    first: list[int] = []
    for word, hints in zip(labels.words, word_hints, strict=True):
        cut = pieces_of(word, known)
        first.append(len(pieces))
        pieces += cut
        piece_hints += [hints] * len(cut)
    pieces.append(known[END])
    piece_hints.append([])
    return Lesson(
        pieces[:LONGEST],
        piece_hints[:LONGEST],
        [min(at, LONGEST - 1) for at in first],
        word_hints,
        _sentences(labels.hints),
        labels,
    )


def _sentences(hints: Sequence[Sequence[str]]) -> list[int]:
    """The sentence of each word; a full stop still belongs to the one it ends."""
    numbers: list[int] = []
    number = 0
    for each in hints:
        numbers.append(number)
        number += "stop" in each
    return numbers


class Batch(NamedTuple):
    """Several lessons side by side, the shorter ones filled up."""

    pieces: Tensor
    piece_hints: Tensor
    there: Tensor
    first: Tensor
    word_hints: Tensor
    words: Tensor

    @property
    def read(self) -> tuple[Tensor, Tensor, Tensor, Tensor, Tensor]:
        """What the network reads of it."""
        return self[:5]


def batch_of(lessons: Sequence[Lesson]) -> Batch:
    """Lessons put side by side."""
    long = max(len(one.pieces) for one in lessons)
    words = max(len(one.first) for one in lessons)
    most = max(len(hints) for one in lessons for hints in one.word_hints)
    none = [0] * most
    return Batch(
        torch.tensor([_filled(one.pieces, long, 0) for one in lessons]),
        torch.tensor([_filled(_even(one.piece_hints, most), long, none) for one in lessons]),
        torch.tensor([_filled([1] * len(one.pieces), long, 0) for one in lessons]).bool(),
        torch.tensor([_filled(one.first, words, 0) for one in lessons]),
        torch.tensor([_filled(_even(one.word_hints, most), words, none) for one in lessons]),
        torch.tensor([_filled([1.0] * len(one.first), words, 0.0) for one in lessons]),
    )


def _even(hints: Sequence[list[int]], most: int) -> list[list[int]]:
    return [_filled(each, most, 0) for each in hints]


def _filled(begun: list[Each], size: int, by: Each) -> list[Each]:
    return begun + [by] * (size - len(begun))


def batches_of(lessons: Sequence[Lesson], chance: random.Random) -> list[list[Lesson]]:
    """Batches of lessons of like length, in an order drawn by ``chance``."""
    drawn = list(lessons)
    chance.shuffle(drawn)
    batches: list[list[Lesson]] = []
    for begin in range(0, len(drawn), SORTED_AT_ONCE):
        alike = sorted(drawn[begin : begin + SORTED_AT_ONCE], key=lambda one: len(one.pieces))
        batch: list[Lesson] = []
        for lesson in alike:
            if batch and len(lesson.pieces) * (len(batch) + 1) > ROOM:
                batches.append(batch)
                batch = []
            batch.append(lesson)
        batches.append(batch)
    chance.shuffle(batches)
    return batches
