"""Slips: what is asked for again before it is kept, and what is made of what was kept."""

from datetime import timedelta
from decimal import Decimal

import pytest

from cavyround.engines.weight import doubt_of
from cavyround.engines.weight.said import Doubt, Expected, Kind
from cavyround.facts.animal import Weighing
from cavyround.knowledge.urgency import Urgency
from tests.engines.weight.made import reading, said_of, steady, the_book, weekly, weighed

NEXT_WEEK = timedelta(days=7)


def expected_after(row: tuple[Weighing, ...]) -> Expected:
    """What the weighing a week after the last should show."""
    found = reading(row, now=row[-1].at + NEXT_WEEK).expected
    assert found is not None
    return found


SEVERAL = steady(950, 12)
EXPECTED = expected_after(SEVERAL)
MATE = expected_after(steady(780, 12))


def asked(grams: object, **mates: Expected) -> Doubt | None:
    return doubt_of(Decimal(str(grams)), EXPECTED, mates, book=the_book())


@pytest.mark.parametrize("grams", [935, 942, 950, 958, 965])
def test_a_likely_weight_is_taken_as_it_is(grams: int) -> None:
    assert asked(grams) is None


def test_a_loss_that_animals_do_have_is_taken_as_it_is() -> None:
    """Four per cent in a week is worrying and no slip."""
    assert asked(911) is None


@pytest.mark.parametrize(
    ("grams", "reason", "meant"),
    [
        ("33.5", "ounces", 950),
        ("590", "swapped_digits", 950),
        ("95", "missing_digit", 950),
        ("9500", "extra_digit", 950),
        ("650", "wrong_digit", 950),
    ],
)
def test_a_slip_is_named_with_the_weight_that_was_meant(
    grams: str, reason: str, meant: int
) -> None:
    found = asked(grams)
    assert found is not None
    assert found.reason == reason
    assert found.meant_g is not None
    assert abs(float(found.meant_g) - meant) <= 15
    assert str(round(found.meant_g)) in found.words


def test_a_tub_on_the_scale_is_asked_about() -> None:
    found = asked(950 + 388)
    assert found is not None
    assert found.reason == "carrier"
    assert "tub" in found.words


def test_the_pen_mate_on_the_scale_is_named() -> None:
    found = asked(783, biscuit=MATE)
    assert found is not None
    assert (found.reason, found.fits) == ("neighbour", "biscuit")


def test_what_fits_nobody_is_asked_for_again() -> None:
    found = asked(1117, biscuit=MATE)
    assert found is not None
    assert found.words


def test_a_stranger_of_any_usual_weight_is_taken_as_it_is() -> None:
    unknown = reading([]).expected
    assert unknown is not None
    for grams in (62, 80, 98, 120, 200, 450, 950, 1400, 2600):
        assert doubt_of(Decimal(grams), unknown, {}, book=the_book()) is None


@pytest.mark.parametrize("odd", [95, 335, 590, 700, 1350, 9500])
def test_a_single_odd_weighing_is_doubted_and_moves_nothing(odd: int) -> None:
    days = said_of((*SEVERAL, weighed(odd, 84)))
    assert days[-1].doubt is not None
    before, after = days[-2].level, days[-1].level
    assert before is not None
    assert after is not None
    assert after.mid == pytest.approx(before.mid, rel=0.01)
    assert days[-1].p_loss[5] < 0.05
    assert days[-1].alarm.kind is None


@pytest.mark.parametrize("odd", [400, 600, 700, 800, 1300])
def test_an_odd_weighing_read_twice_is_believed(odd: int) -> None:
    row = (*SEVERAL, weighed(odd, 84, doubted=True), weighed(odd + 2, 84.01))
    last = said_of(row)[-1]
    assert last.doubt is None
    assert last.level is not None
    assert last.level.low < odd + 2 < last.level.high or last.level.mid == pytest.approx(
        odd, rel=0.06
    )


@pytest.mark.parametrize("odd", [400, 600, 700, 800])
def test_a_great_loss_read_twice_goes_to_a_vet_within_a_day(odd: int) -> None:
    said = reading((*SEVERAL, weighed(odd, 84, doubted=True), weighed(odd + 2, 84.01)))
    assert said.alarm.kind is Kind.LOSS
    assert said.alarm.level is Urgency.VET_24H
    assert said.p_loss[10] > 0.99


@pytest.mark.parametrize("odd", [400, 600, 700])
@pytest.mark.parametrize("gap", [1, 7, 14])
def test_an_odd_weight_that_comes_again_is_believed_the_second_time(odd: int, gap: int) -> None:
    *_, first, second = said_of((*SEVERAL, weighed(odd, 84), weighed(odd + 5, 84 + gap)))
    assert first.doubt is not None
    assert second.doubt is None
    assert second.alarm.level is Urgency.VET_24H


def test_after_one_slip_the_next_good_weighing_is_believed() -> None:
    days = said_of((*SEVERAL, weighed(590, 84), *steady(950, 3, since=91)))
    assert [day.doubt is not None for day in days[12:]] == [True, False, False, False]
    assert {day.alarm.kind for day in days} == {None}


def test_what_was_doubted_and_never_read_again_is_left_out() -> None:
    with_it = reading((*SEVERAL, weighed(700, 77.5, doubted=True)), now=SEVERAL[-1].at + NEXT_WEEK)
    without = reading(SEVERAL, now=SEVERAL[-1].at + NEXT_WEEK)
    assert with_it.weighings == without.weighings + 1
    assert with_it.now is not None
    assert without.now is not None
    assert with_it.now.mid == pytest.approx(without.now.mid, rel=0.005)
    assert with_it.alarm.kind is None
    assert with_it.weigh_again_in == timedelta(days=1)


def test_two_doubts_of_the_same_weight_confirm_nothing() -> None:
    """A tub that stays on the scale weighs the same twice."""
    row = (*SEVERAL, weighed(1338, 84, doubted=True), weighed(1340, 84.01, doubted=True))
    *_, first, second = said_of(row)
    assert first.doubt is not None
    assert second.doubt is not None
    assert second.level is not None
    assert second.level.mid == pytest.approx(950, rel=0.02)


def test_two_readings_of_one_minute_count_together_whichever_came_first() -> None:
    one, other = weighed(944, 84), weighed(956, 84)
    said = [reading((*SEVERAL, *pair)) for pair in ((one, other), (other, one))]
    assert said[0] == said[1]
    assert said[0].now is not None
    assert said[0].now.mid == pytest.approx(950, abs=5)


def test_of_two_readings_of_one_minute_an_odd_one_is_doubted() -> None:
    days = said_of((*SEVERAL, weighed(950, 84), weighed(590, 84)))
    assert [day.doubt is not None for day in days[-2:] if day.grams == 590] == [True]
    assert [day.doubt is not None for day in days[-2:] if day.grams == 950] == [False]


def test_a_fall_that_a_slip_would_explain_is_told_apart_by_the_next_weighing() -> None:
    """849 for 949: a wrong hundred, or a tenth lost in a week."""
    *_, last = said_of((*SEVERAL, weighed(849, 84), weighed(847, 85)))
    assert last.alarm.kind is Kind.LOSS
    back = said_of((*SEVERAL, weighed(849, 84), weighed(951, 85)))[-1]
    assert back.alarm.kind is None


def test_a_first_weighing_in_ounces_is_asked_for_again() -> None:
    unknown = reading([]).expected
    assert unknown is not None
    found = doubt_of(Decimal("33.5"), unknown, {}, book=the_book())
    assert found is not None
    assert found.reason == "ounces"


def test_doubted_days_and_good_days_are_told_in_their_own_order() -> None:
    row = (*weekly(950, 948, 590, 951, 955),)
    shuffled = (row[3], row[0], row[4], row[2], row[1])
    assert [day.grams for day in said_of(shuffled)] == [one.grams for one in row]
    assert said_of(shuffled) == said_of(row)


@pytest.mark.parametrize("grams", [20, 33, 3200])
def test_a_stranger_of_no_guinea_pigs_weight_is_asked_for_again(grams: int) -> None:
    unknown = reading([]).expected
    assert unknown is not None
    assert doubt_of(Decimal(grams), unknown, {}, book=the_book()) is not None


def test_a_pup_found_without_its_age_is_believed_from_its_first_weighing() -> None:
    days = said_of(weekly(70, 100, 130, 165))
    assert [day.doubt for day in days] == [None] * 4
    assert {day.alarm.kind for day in days} == {None}
    assert days[0].level is not None
    assert days[0].level.mid == pytest.approx(70, rel=0.02)
