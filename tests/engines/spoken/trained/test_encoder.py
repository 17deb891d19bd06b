"""The network's pass, checked against what its parts are published to do."""

import dataclasses

import numpy as np
import pytest

from cavyround.engines.spoken.tokens import tokens_of
from cavyround.engines.spoken.trained.encoder import states_of, summed
from cavyround.engines.spoken.trained.words_answered import answers_for
from cavyround.knowledge.trained import TrainedWeights, trained_weights


@pytest.fixture(scope="module")
def weights() -> TrainedWeights:
    return trained_weights()


def test_a_state_is_normed_as_layer_norm_is_published(weights: TrainedWeights) -> None:
    """Ba, Kiros, Hinton, "Layer normalization", 2016: before gain and bias mean 0, variance 1."""
    states = states_of([101 % len(weights.pieces), 7, 9], [(), (), ()], weights)
    last = f"e.l.{weights.layers - 1}.n2"
    plain = (states - weights[f"{last}.bias"]) / weights[f"{last}.weight"]
    assert plain.mean(axis=1) == pytest.approx(0, abs=1e-3)
    assert plain.var(axis=1) == pytest.approx(1, abs=1e-2)


def test_without_places_the_order_of_words_would_not_matter(weights: TrainedWeights) -> None:
    """Vaswani et al., 2017, section 3.5: attention alone knows no order; the places give it."""
    arrays = dict(weights.arrays) | {"e.p.weight": np.zeros_like(weights["e.p.weight"])}
    placeless = dataclasses.replace(weights, arrays=arrays)
    there, back = [5, 6, 7, 8], [8, 7, 6, 5]
    hints = [()] * 4
    forward, backward = states_of(there, hints, placeless), states_of(back, hints, placeless)
    assert forward == pytest.approx(backward[::-1], abs=1e-3)
    assert (
        np.abs(states_of(there, hints, weights) - states_of(back, hints, weights)[::-1]).max() > 0.1
    )


def test_hints_are_added_up_in_any_order(weights: TrainedWeights) -> None:
    table = weights["e.h.weight"]
    assert summed([(1, 2, 3)], table) == pytest.approx(summed([(3, 1, 2)], table), abs=1e-6)
    assert summed([()], table) == pytest.approx(0)


def test_a_long_text_is_answered_word_by_word_in_windows(weights: TrainedWeights) -> None:
    text = "Left ear clean, nose dry, belly soft. " * 200
    tokens = tokens_of(text)
    answers = answers_for(tokens, [[] for _ in tokens], text, weights)
    assert len(answers.scores) == len(answers.states) == len(tokens)
    assert answers.chance("F").min() >= 0
    assert answers.share("M").sum(axis=1) == pytest.approx(1, abs=1e-4)


def test_words_in_the_first_window_do_not_hang_on_the_last(weights: TrainedWeights) -> None:
    text = "Left ear clean, nose dry, belly soft. " * 200
    tokens = tokens_of(text)
    longer = tokens_of(text + "He has a scab on his back.")
    one = answers_for(tokens, [[] for _ in tokens], text, weights)
    two = answers_for(longer, [[] for _ in longer], text + "He has a scab on his back.", weights)
    assert one.scores[:100] == pytest.approx(two.scores[:100], abs=1e-4)
