"""The keystroke-level model, worked out by hand."""

import pytest
from benchmarks.keystrokes import Touch, operators, seconds, spelled


def test_three_touches_with_one_thought_take_what_the_model_says() -> None:
    row = operators([Touch("a hold"), Touch("the tens", thought=True), Touch("the last digit")])
    assert row == ["P", "K", "M", "P", "K", "P", "K"]
    # 3 x 1.1 s pointing, 3 x 0.2 s pressing, 1 x 1.35 s thinking
    assert seconds(row) == pytest.approx(5.25)
    assert spelled(row) == "3 P, 3 K, 1 M"


def test_a_hand_that_moves_to_the_mouse_first_takes_longer_by_its_way() -> None:
    assert seconds(["H", "P", "K"]) == pytest.approx(0.4 + 1.1 + 0.2)


def test_no_touch_takes_no_time() -> None:
    assert seconds(operators([])) == 0
    assert spelled([]) == ""
