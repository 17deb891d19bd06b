"""What may be said by a touch, and the words for what may not."""

from typing import Any
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavyround.facts.entries import BadTouchError, Weighed, read_touch
from tests.builders import found, weighed

ENTRY = str(uuid4())


@pytest.mark.parametrize(
    ("touch", "words"),
    [
        (weighed(0), "A weight of 0 g cannot be: nothing was weighed. Weigh again."),
        (weighed(-5), "A weight of -5 g cannot be"),
        (weighed(91200), "91200 g is no guinea pig's weight (20 to 4000 g)"),
        (weighed(19.9), "19.9 g is no guinea pig's weight"),
        (weighed("nine"), "grams: This is no number. Type it in digits, for example 912."),
        (weighed("NaN"), "grams: This is no number"),
        (weighed(None), "grams: This is no number"),
        ({"kind": "weight"}, "grams: This is missing."),
        (weighed(900, colour="red"), "colour: This is not known here"),
        (weighed(900, as_typed="9" * 25), "as_typed:"),
        (found("lump", "flank", value=8), "A number needs its unit"),
        (found("lump", "flank", unit="mm"), "A number needs its unit"),
        (found("lump", "flank", value=-1, unit="mm"), "value:"),
        (found(side="port"), "side:"),
        (found(hours=-2), "hours:"),
        ({"kind": "hold_normal", "hold": "head", "steps": []}, "steps:"),
        ({"kind": "correction", "entry": ENTRY}, "reason: This is missing."),
        ({"kind": "correction", "entry": ENTRY, "reason": "x"}, "reason: This needs a few words."),
        (
            {"kind": "correction", "entry": ENTRY, "reason": "slip", "data": weighed(0)},
            "A weight of 0 g cannot be",
        ),
        ({"kind": "mark", "view": "above", "x": 1001, "y": 5}, "x:"),
        ({"kind": "mark", "view": "aside", "x": 1, "y": 5}, "view:"),
        ({"kind": "note", "text": ""}, "text: This needs a few words."),
        ({"kind": "said", "text": ""}, "text: This needs a few words."),
        ({"kind": "said", "text": "a" * 100_001}, "text: This is longer than can be kept"),
        ({"kind": "answer", "question": "Q.x", "answer": -1}, "answer:"),
        ({"kind": "wave"}, "No such kind of entry is known here"),
        ({}, "It does not say what kind of entry it is"),
    ],
)
def test_what_cannot_be_said_is_refused_in_words(touch: Any, words: str) -> None:
    with pytest.raises(BadTouchError) as refused:
        read_touch(touch)
    assert words in str(refused.value)


@pytest.mark.parametrize("nonsense", [None, 7, "weight", [], [["kind", "weight"]]])
def test_what_is_no_entry_at_all_is_refused(nonsense: object) -> None:
    with pytest.raises(BadTouchError):
        read_touch(nonsense)


@given(st.decimals(min_value=20, max_value=4000, places=1))
def test_every_weight_an_animal_can_have_is_taken(grams: Any) -> None:
    touch = read_touch(weighed(str(grams)))
    assert isinstance(touch, Weighed)
    assert touch.grams == grams


def test_a_doubted_weight_says_so() -> None:
    touch = read_touch(weighed(900, as_typed="1 lb 15.7 oz", doubted=True))
    assert isinstance(touch, Weighed)
    assert touch.doubted
