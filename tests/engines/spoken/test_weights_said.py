"""Weights as they are spoken; grams by the definition of pound and ounce."""

import pytest

from cavyround.knowledge.book import Knowledge
from tests.engines.spoken.said import grams

OZ = 28.349523125  # grams, by the international avoirdupois pound of 453.59237 g


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("seven eighty", 780),
        ("eight hundred and five", 805),
        ("nine eight five", 985),
        ("nine oh two", 902),
        ("ten twenty", 1020),
        ("one two one one", 1211),
        ("twelve hundred and ten", 1210),
        ("one thousand ninety two grams", 1092),
        ("a thousand and two", 1002),
        ("1,092 grams", 1092),
        ("985g", 985),
        ("one point oh five kilos", 1050),
        ("one kilo ten", 1010),
        ("1.05 kg", 1050),
        ("two pounds six and a half", 38.5 * OZ),
        ("one pound fifteen", 31 * OZ),
        ("2lb 9oz", 41 * OZ),
        ("two point four pounds", 2.4 * 16 * OZ),
        ("two lbs nine oz", 41 * OZ),
        ("ate hundred and five", 805),
    ],
)
def test_a_weight_in_grams(book: Knowledge, said: str, expected: float) -> None:
    assert grams(book, f"Weight {said}.") == [pytest.approx(expected, abs=0.1)]


@pytest.mark.parametrize(
    "text",
    [
        "He was nine fifty one on Saturday.",
        "The box is eight hundred and ten.",
        "Gave him fifty milligrams of vitamin C.",
        "He ate twenty grams of pellets.",
        "Counted for fifteen seconds.",
        "She is in pen two.",
        "The lump is fourteen millimetres.",
        "Six months old.",
    ],
)
def test_other_numbers_are_no_weight(book: Knowledge, text: str) -> None:
    assert grams(book, text) == []
