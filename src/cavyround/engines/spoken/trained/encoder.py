"""The network's pass over a text, in plain NumPy: words in, one state for each piece out.

A transformer encoder (Vaswani et al., "Attention is all you need", 2017) of the BERT kind (Devlin
et al., 2019), six layers of 384 as in MiniLM (Wang et al., 2020), with the rules' hints added to
the pieces. Nothing here is random and nothing is kept between two texts.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.special import erf, softmax

from cavyround.knowledge.trained import TrainedWeights

Array = NDArray[np.float32]
HEADS = 12
TINY = 1e-12
ROOT_HALF = np.float32(0.7071067811865476)


def states_of(
    pieces: Sequence[int], hints: Sequence[Sequence[int]], weights: TrainedWeights
) -> Array:
    """The state of each piece, shape ``[pieces, width]``.

    Args:
        pieces: numbers of the pieces, begin and end mark included; at most ``weights.longest``.
        hints: for each piece the numbers of its hints.
        weights: what was learned.
    """
    states = weights["e.w.weight"][list(pieces)] + weights["e.p.weight"][: len(pieces)]
    states = states + summed(hints, weights["e.h.weight"])
    states = _norm(states, "e.n", weights)
    for layer in range(weights.layers):
        states = _layer(states, f"e.l.{layer}", weights)
    return states


def summed(hints: Sequence[Sequence[int]], table: Array) -> Array:
    """For each place the sum of the rows its hints name."""
    rows = np.zeros((len(hints), table.shape[1]), dtype=np.float32)
    for at, numbers in enumerate(hints):
        if numbers:
            rows[at] = table[list(numbers)].sum(axis=0)
    return rows


def linear(states: Array, name: str, weights: TrainedWeights) -> Array:
    """A learned linear map of each state."""
    mapped: Array = states @ weights[f"{name}.weight"].T + weights[f"{name}.bias"]
    return mapped


def _layer(states: Array, name: str, weights: TrainedWeights) -> Array:
    attended = linear(_attention(states, name, weights), f"{name}.o", weights)
    states = _norm(states + attended, f"{name}.n1", weights)
    wide = _gelu(linear(states, f"{name}.i", weights))
    return _norm(states + linear(wide, f"{name}.u", weights), f"{name}.n2", weights)


def _attention(states: Array, name: str, weights: TrainedWeights) -> Array:
    count, width = states.shape
    each = width // HEADS
    query, key, value = (
        linear(states, f"{name}.{part}", weights).reshape(count, HEADS, each).transpose(1, 0, 2)
        for part in ("q", "k", "v")
    )
    scores = query @ key.transpose(0, 2, 1) / np.float32(np.sqrt(each))
    joined: Array = (softmax(scores, axis=-1) @ value).transpose(1, 0, 2).reshape(count, width)
    return joined


def _norm(states: Array, name: str, weights: TrainedWeights) -> Array:
    middle = states.mean(axis=-1, keepdims=True)
    spread = states.var(axis=-1, keepdims=True)
    normed: Array = (states - middle) / np.sqrt(spread + TINY) * weights[
        f"{name}.weight"
    ] + weights[f"{name}.bias"]
    return normed


def _gelu(states: Array) -> Array:
    curved: Array = states * np.float32(0.5) * (1 + erf(states * ROOT_HALF))
    return curved
