"""A phrase of the words files is counted before the tree of its ways is grown."""

import pytest

from cavyround.engines.spoken.lexicon import expanded
from cavyround.knowledge.phrases import MOST_WAYS, few_ways, ways_of


@pytest.mark.parametrize(
    ("pattern", "ways"),
    [
        ("weepy", 1),
        ("(a|b) c", 2),
        ("[a|b] c", 3),
        ("(a|b) [c] (d|e|f)", 12),
        ("left eye (crust*|weep*) [a bit]", 4),
    ],
)
def test_the_ways_are_counted_as_they_are_written_out(pattern: str, ways: int) -> None:
    assert ways_of(pattern) == ways == len(list(expanded(pattern)))


def test_a_phrase_of_too_many_ways_is_refused_with_words() -> None:
    many = " ".join(["(a|b|c|d|e|f|g|h|i|j)"] * 6)
    assert ways_of(many) == 10**6 > MOST_WAYS
    with pytest.raises(ValueError, match="several shorter phrases"):
        few_ways(many)


@pytest.mark.parametrize("pattern", ["(a|b", "a)", "[a"])
def test_brackets_that_do_not_match_are_refused(pattern: str) -> None:
    with pytest.raises(ValueError, match="bracket"):
        few_ways(pattern)
