"""A weight as it was written: what it comes to in grams, and what is asked or refused."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavyround.web.weighing.notebook.amounts import Unit, weight_of, whole_amount


def grams(text: str, unsaid: Unit | None = None) -> Decimal | str:
    amount = whole_amount(text)
    assert amount is not None, text
    weight = weight_of(amount, unsaid)
    return weight.grams if weight.grams is not None else weight.why


# A pound is 453.59237 g and an ounce a sixteenth of it, exactly (agreement of 1959).
@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("912 g", "912"),
        ("912g", "912"),
        ("912 grams", "912"),
        ("912.5 g", "912.5"),
        ("912,5 g", "912.5"),
        ("1,043 g", "1043"),
        ("1,043.5 g", "1043.5"),
        ("1.043 kg", "1043"),
        ("1,043 kg", "1043"),
        ("0.9 kg", "900"),
        ("2 lb", "907.2"),
        ("2 lb 1 oz", "935.5"),
        ("2lb1oz", "935.5"),
        ("2 lbs 4.8", "1043.3"),
        ("2 pounds 4 ounces", "1020.6"),
        ("34 oz", "963.9"),
        ("34½ oz", "978.1"),
        ("2 lb ½ oz", "921.4"),
    ],
)
def test_a_weight_is_what_its_unit_says(text: str, expected: str) -> None:
    assert grams(text) == Decimal(expected)


def test_a_unit_that_is_not_said_is_asked_for_and_never_assumed() -> None:
    assert "has no unit" in str(grams("912"))
    assert grams("912", Unit.G) == 912
    assert grams("34", Unit.OZ) == Decimal("963.9")
    assert grams("1,043", Unit.G) == 1043
    assert grams("1,043", Unit.KG) == 1043
    assert grams("912 g", Unit.OZ) == 912  # what is said stands


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("0 g", "nothing was weighed"),
        ("2 lb 16 oz", "16 oz make a pound"),
        ("5.5 kg", "no guinea pig weighs that"),
        ("5 g", "no guinea pig weighs that"),
    ],
)
def test_what_no_animal_can_weigh_is_refused_with_its_reason(text: str, why: str) -> None:
    assert why in str(grams(text))


@pytest.mark.parametrize("text", ["", "g", "nine", "912 905", "-5 g", "912 st", "912g5", "1.2.3 g"])
def test_what_is_no_weight_is_none(text: str) -> None:
    assert whole_amount(text) is None


@given(st.integers(200, 39990))
def test_pounds_and_ounces_come_back_to_the_gram(tenths: int) -> None:
    said = Decimal(tenths) / 10
    pounds, ounces = divmod(said / Decimal("28.349523125"), 16)
    if round(ounces, 4) >= 16:
        pounds, ounces = pounds + 1, Decimal(0)
    assert grams(f"{pounds:.0f} lb {ounces:.4f} oz") == said
