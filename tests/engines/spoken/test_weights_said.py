"""Weights as they are spoken; grams by the definition of pound and ounce."""

from decimal import Decimal

import pytest

from cavyround.engines.spoken import read_note
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


@pytest.mark.parametrize(
    ("said", "grams"),
    [
        # 1 lb 14.75 oz at 453.59237 g to the pound (international pound of 1959).
        ("Duchess weighs one pound fourteen and three quarters.", Decimal("871.7")),
        ("Not a hundred per cent on this eye.", None),
        ("It's the ones under sixty that don't make it.", None),
        ("Pup one, eighty eight grams. It's the ones under sixty that don't make it.", Decimal(88)),
    ],
)
def test_a_part_of_an_ounce_counts_and_a_bound_or_a_share_is_no_weight(
    said: str, grams: Decimal | None, book: Knowledge
) -> None:
    read = [
        one.grams
        for animal in read_note(said, book=book).animals
        for one in animal.findings
        if one.finding == "weight"
    ]
    assert [round(one, 1) for one in read if one is not None] == ([] if grams is None else [grams])
