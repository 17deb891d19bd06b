"""What the network answers for each word of a text, in windows where the text is long."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit, softmax

from cavyround.engines.spoken.tokens import Token
from cavyround.engines.spoken.trained.encoder import linear, states_of, summed
from cavyround.engines.spoken.trained.pieces import BEGIN, END, pieces_of
from cavyround.knowledge.trained import TrainedWeights

Array = NDArray[np.float32]
# Words before a window that are read again with it, so that its first ones know of whom they are.
SEEN_AGAIN = 60
SHARE_SEEN_AGAIN = 3


@dataclass(frozen=True, slots=True, eq=False)
class Answers:
    """For each word its answers and its state, from which its owner is told."""

    scores: Array
    states: Array
    weights: TrainedWeights

    def of(self, name: str) -> Array:
        """The raw scores of one kind of answer, shape ``[words, columns]``."""
        begin, width = self.weights.heads[name]
        return self.scores[:, begin : begin + width]

    def chance(self, name: str) -> Array:
        """How likely each column is, each for itself (0 to 1)."""
        chance: Array = expit(self.of(name))
        return chance

    def share(self, name: str) -> Array:
        """How likely each column is, where exactly one of them holds (sums to 1)."""
        share: Array = softmax(self.of(name), axis=-1)
        return share

    def best(self, name: str, at: int) -> str:
        """The code of the likeliest column for a word."""
        return self.weights.codes[name][int(self.of(name)[at].argmax())]


@dataclass(slots=True)
class _Cut:
    """Words ``begin`` to ``end`` of a text; those before ``fresh`` were answered before."""

    begin: int
    fresh: int
    end: int


def answers_for(
    tokens: Sequence[Token], codes: Sequence[Sequence[str]], text: str, weights: TrainedWeights
) -> Answers:
    """The network's answers for every word.

    Args:
        tokens: the words as they stand in the text.
        codes: the hints of each word.
        text: the text the words were cut from.
        weights: what was learned.
    """
    pieces = [
        pieces_of(text[token.span.start : token.span.end], weights.pieces) for token in tokens
    ]
    numbers = [[weights.hints[code] for code in each if code in weights.hints] for each in codes]
    states = np.concatenate(
        [_states(pieces, numbers, cut, weights) for cut in _cuts(tokens, pieces, weights.longest)]
    )
    states = np.concatenate([states, summed(numbers, weights["h2.weight"])], axis=1)
    scores = linear(states, "heads", weights) + summed(numbers, weights["wide.weight"])
    return Answers(scores, states, weights)


def _states(
    pieces: list[list[int]], numbers: list[list[int]], cut: _Cut, weights: TrainedWeights
) -> Array:
    """The state at the first piece of each fresh word of a cut."""
    line: list[int] = [weights.pieces[BEGIN]]
    hints: list[Sequence[int]] = [()]
    first: list[int] = []
    for at in range(cut.begin, cut.end):
        if at >= cut.fresh:
            first.append(len(line))
        line += pieces[at]
        hints += [numbers[at]] * len(pieces[at])
    line.append(weights.pieces[END])
    hints.append(())
    states: Array = states_of(line, hints, weights)[first]
    return states


def _seen_again(fresh: int, pieces: list[list[int]], room: int) -> int:
    """From where the words before a window are read again: so many, and no more than fit."""
    begin = fresh
    while begin > max(0, fresh - SEEN_AGAIN) and len(pieces[begin - 1]) <= room:
        begin -= 1
        room -= len(pieces[begin])
    return begin


def _cuts(tokens: Sequence[Token], pieces: list[list[int]], longest: int) -> Iterator[_Cut]:
    """Windows that hold as much as the network can, cut at the end of a sentence if one is near."""
    fresh = 0
    while fresh < len(tokens):
        begin = _seen_again(fresh, pieces, longest // SHARE_SEEN_AGAIN)
        room = longest - 2
        end = begin
        while end < len(tokens) and len(pieces[end]) <= room:
            room -= len(pieces[end])
            end += 1
        if end <= fresh:
            # The words read again took all the room: begin without them.
            begin, end = fresh, fresh + 1
        elif end < len(tokens):
            stops = [at for at in range(fresh, end) if tokens[at].kind == "stop"]
            end = stops[-1] + 1 if stops else end
        yield _Cut(begin, fresh, end)
        fresh = end
