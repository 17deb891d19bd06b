"""Microchip numbers in the form of ISO 11784: 64 bits, ten of them country or maker, 38 the rest.

The two valid numbers are published examples; their codes follow from the standard's layout
(animal flag, country or maker, identification up to 2**38 - 1 = 274877906943).
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavyround.facts.microchip import Microchip, NotAMicrochip, read_microchip


@pytest.mark.parametrize(
    ("digits", "code"),
    [
        ("968000004531234", "0x8000F20000452422"),
        ("040098100111917", "0x80000A16D738EA2D"),
    ],
)
def test_a_published_example_is_read_with_its_code(digits: str, code: str) -> None:
    chip = read_microchip(digits)
    assert isinstance(chip, Microchip)
    assert (chip.digits, chip.code_hex, chip.warning) == (digits, code, "")


@pytest.mark.parametrize(
    "typed",
    ["968 000 004 531 234", "*968000004531234", " 968.000.004-531-234 "],
)
def test_what_a_reader_prints_between_the_digits_is_dropped(typed: str) -> None:
    chip = read_microchip(typed)
    assert isinstance(chip, Microchip)
    assert chip.digits == "968000004531234"
    assert chip.shown == "968 000 004 531 234"


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("276999999999999", "No chip can hold this number"),
        ("000000004531234", "may not be 000"),
        ("96800000453123", "this has 14"),
        ("9680000045312345", "this has 16"),
        ("96800000453123O", "letter O"),
        ("98500000A", "digits only"),
        ("123456789", "Older chips of 9 or 10 signs"),
        ("٩٦٨٠٠٠٠٠٤٥٣١٢٣٤", "digits only"),
        ("", "digits only"),
    ],
)
def test_what_is_no_such_number_says_why(typed: str, why: str) -> None:
    answer = read_microchip(typed)
    assert isinstance(answer, NotAMicrochip)
    assert why in answer.reason


def test_a_test_chip_is_kept_with_a_warning() -> None:
    chip = read_microchip("999000000000001")
    assert isinstance(chip, Microchip)
    assert "test chip" in chip.warning


@given(st.text(max_size=20))
def test_no_text_breaks_the_reading(typed: str) -> None:
    answer = read_microchip(typed)
    assert isinstance(answer, NotAMicrochip) or len(answer.digits) == 15
