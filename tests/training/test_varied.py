"""A note said in another way says the same: every mark stays at its words."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from training.examples import Example, Place
from training.marked import marked_compact
from training.varied import (
    MARKS,
    Edit,
    Variations,
    bare,
    edited,
    joined,
    renamed,
    swapped,
    with_words_lost,
)

from tests.training.notes_for_tests import ONE, TWO

EXAMPLES = [marked_compact(TWO), marked_compact(ONE)]
NAMES = ["Marigold", "Old Tom", "Ed", "Bartholomew"]
examples = st.sampled_from(EXAMPLES)
chances = st.integers(0, 10**6).map(random.Random)


def _places(example: Example) -> list[Place]:
    marks = (example.signs, example.care, example.blankets, example.skipped, example.left_out)
    return [one.place for part in marks for one in part] + [one.place for one in example.named]


def _words(example: Example) -> list[str]:
    return [example.text[start:end] for start, end in _places(example)]


@given(examples, st.data())
def test_an_edit_between_the_marks_leaves_every_mark_at_its_words(
    example: Example, data: st.DataObject
) -> None:
    marked = {at for start, end in _places(example) for at in range(start, end)}
    free = [at for at in range(len(example.text)) if at not in marked]
    at = sorted(data.draw(st.sets(st.sampled_from(free), max_size=8)))
    edits = [Edit(one, one + 1, data.draw(st.text("ab ", max_size=4))) for one in at]
    other = edited(example, edits)
    assert _words(other) == _words(example)
    assert len(other.text) - len(example.text) == sum(len(one.by) - 1 for one in edits)


@given(examples, chances)
def test_other_names_stand_where_the_names_stood_and_all_else_is_as_it_was(
    example: Example, chance: random.Random
) -> None:
    other = renamed(example, NAMES, chance)
    assert other is not None
    namings = len(example.named)
    assert _words(other)[:-namings] == _words(example)[:-namings]
    for naming in other.named:
        word = other.text[slice(*naming.place)]
        assert word in NAMES
        assert word == other.animals[naming.animal]


@given(examples, chances)
def test_a_lost_word_is_none_that_says_something(example: Example, chance: random.Random) -> None:
    other = with_words_lost(example, chance)
    if other is None:
        return
    kept = len(example.signs) + len(example.care) + len(example.blankets)
    assert _words(other)[:kept] == _words(example)[:kept]
    assert len(other.text) < len(example.text)
    assert "no crusts" in other.text or "no crusts" not in example.text


@given(examples)
def test_bare_words_are_the_same_words_without_marks(example: Example) -> None:
    other = bare(example)
    assert _words(other) == [MARKS.sub("", word).lower() for word in _words(example)]
    assert not MARKS.search(other.text)
    assert other.text == other.text.lower()


def test_a_decimal_point_is_no_mark() -> None:
    assert bare(Example("Pip, 0.4 ml, 1,020 grams.", ("Pip",))).text == "pip 0.4 ml 1,020 grams"


@pytest.mark.parametrize("example", EXAMPLES)
def test_exchanging_the_sides_twice_gives_the_note_back(example: Example) -> None:
    other = swapped(example)
    assert other is not None
    assert other.text != example.text
    assert {one.side for one in other.signs} != {"N"}
    assert swapped(other) == example


def test_the_sides_exchanged_are_those_of_the_words() -> None:
    other = swapped(EXAMPLES[0])
    assert other is not None
    sides = {other.text[slice(*one.place)]: one.side for one in other.signs}
    assert (sides["crusty"], sides["left one"]) == ("R", "L")
    assert "right ear crusty" in other.text


def test_a_note_without_sides_or_names_has_no_such_variation() -> None:
    plain = Example("eyes bright", ("unnamed",))
    assert swapped(plain) is None
    assert renamed(plain, NAMES, random.Random(0)) is None  # noqa: S311 -- no secret


def test_two_notes_in_one_breath_say_what_both_say_of_their_own_animals() -> None:
    first, second = EXAMPLES
    both = joined(first, second)
    assert sorted(_words(both)) == sorted(_words(first) + _words(second))
    assert both.animals == ("Biscuit", "Mr Toff", "Nettle")
    owners = {both.text[slice(*one.place)]: both.animals[one.animal] for one in both.named}
    assert owners["Nettle"] == "Nettle"
    assert {both.animals[one.animal] for one in both.blankets} == {"Nettle"}


def test_the_same_epoch_tells_the_same_and_another_tells_otherwise() -> None:
    variations = Variations(EXAMPLES * 5, NAMES)
    assert variations.of(3) == variations.of(3)
    assert variations.of(3) != variations.of(4)


@given(st.integers(0, 10**6))
def test_every_variation_has_its_marks_inside_its_text(epoch: int) -> None:
    for example, pen, _ in Variations(EXAMPLES, NAMES).of(epoch):
        assert all(0 <= start < end <= len(example.text) for start, end in _places(example))
        assert set(pen) <= set(example.animals)
