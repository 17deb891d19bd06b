"""What weights say of an animal that loses, in a carer's own rules."""

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavyround.engines.weight.said import Kind
from cavyround.facts.animal import Sex
from cavyround.knowledge.urgency import Urgency
from tests.engines.weight.made import (
    at,
    facts,
    going,
    happened,
    reading,
    said_of,
    steady,
    weekly,
    weighed,
)

DAY = timedelta(days=1)
SAID = {
    "weight_falling": Urgency.CARER_RECHECK,
    "weight_lost_5": Urgency.VET_DAYS,
    "weight_lost_10": Urgency.VET_24H,
}


def test_an_animal_never_weighed_has_no_weight_and_no_alarm() -> None:
    said = reading([])
    assert (said.now, said.own_normal, said.alarm.kind) == (None, None, None)
    assert said.expected is not None
    assert not said.expected.known


def test_one_weighing_says_nothing_of_losing() -> None:
    said = reading(weekly(950))
    assert not said.sure
    assert said.alarm.kind is None
    assert max(said.p_loss.values()) < 0.01
    assert said.trend_g is not None
    assert said.trend_g.low < 0 < said.trend_g.high
    assert "too few" in said.weigh_why


@given(
    first=st.integers(200, 1500),
    second=st.integers(200, 1500),
    days=st.floats(0.01, 400),
)
def test_two_weighings_say_nothing_with_confidence(first: int, second: int, days: float) -> None:
    said = reading((weighed(first), weighed(second, days)))
    assert not said.sure
    assert said.alarm.level <= Urgency.CARER_RECHECK
    if said.alarm.kind is not None:
        assert "Said from two weighings only." in said.alarm.why


def test_a_steady_animal_is_left_in_peace_and_weighed_weekly() -> None:
    said = reading(steady(1000, 20))
    assert said.alarm.kind is None
    assert max(said.p_loss.values()) < 0.01
    assert said.weigh_again_in == 7 * DAY
    assert said.now is not None
    assert said.now.low < 1000 < said.now.high


def test_a_loss_of_one_per_cent_a_week_is_said_before_two_ounces_are_gone() -> None:
    """No step is as large as an ounce (28 g): the carers' rules of ounces never speak."""
    row = (*steady(1000, 8), *going(1000, 8, -1, since=56))
    steps = [float(one.grams - other.grams) for one, other in pairwise(row)]
    assert max(steps) < 28
    days = said_of(row)
    first = next(day for day in days if day.alarm.kind is Kind.LOSS)
    assert first.level is not None
    assert first.own_normal is not None
    assert first.own_normal.mid - first.level.mid < 57
    assert reading(row).weigh_again_in == DAY


def test_a_fast_loss_goes_to_a_vet_and_the_words_say_how_much() -> None:
    row = (*steady(1000, 8), weighed(930, 56), weighed(880, 59), weighed(860, 61))
    said = reading(row)
    assert said.alarm.level is Urgency.VET_24H
    assert said.p_loss[10] > 0.8
    assert any("below its own normal of" in words for words in said.alarm.why)
    assert any("Probability that it has truly lost more than 5 %" in w for w in said.alarm.why)


def test_the_more_is_very_likely_lost_the_more_urgent_it_is() -> None:
    row = (*steady(1000, 8), *going(1000, 12, -2, since=56))
    levels = [day.alarm.level for day in said_of(row) if day.alarm.kind is Kind.LOSS]
    assert levels == sorted(levels)
    assert set(levels) == set(SAID.values())
    for day in said_of(row):
        if day.alarm.kind is Kind.LOSS:
            assert day.alarm.level is SAID[day.alarm.sign]


def test_an_animal_that_lost_a_tenth_and_holds_there_is_not_called_well() -> None:
    row = (*steady(1000, 10), *weekly(840, 838, 842, 839, since=70))
    after = said_of(row)[-3:]
    assert after[0].alarm.level is Urgency.VET_24H
    assert all(day.alarm.level >= Urgency.VET_DAYS for day in after)
    assert any("Holding now" in words for words in after[-1].alarm.why)


def test_a_new_weight_that_is_kept_for_months_becomes_its_own_normal() -> None:
    row = (*steady(1000, 10), *steady(930, 26, since=70))
    said = reading(row)
    assert said.alarm.kind is None
    assert said.own_normal is not None
    assert said.own_normal.mid == pytest.approx(930, abs=10)


def test_an_animal_that_is_back_at_its_weight_is_called_well_again() -> None:
    row = (*steady(1000, 10), *weekly(940, 880, 900, 950, 990, 1000, 1000, since=70))
    days = said_of(row)
    assert days[11].alarm.kind is Kind.LOSS
    assert days[-1].alarm.kind is None
    assert days[-1].p_loss[3] < 0.05


def test_a_weight_that_rises_is_never_called_a_loss() -> None:
    for heavier in range(1010, 1500, 35):
        for again in (False, True):
            row = [*steady(1000, 10), weighed(heavier, 70, doubted=again)]
            row += [weighed(heavier + 2, 70.01)] if again else []
            assert reading(row).alarm.kind is not Kind.LOSS
            assert reading(row).p_loss[3] < 0.05


@pytest.mark.parametrize("gap", [14, 30, 90, 200])
def test_months_between_weighings_are_reckoned_with(gap: int) -> None:
    """A tenth less after a long time is said, and how sure it is depends on no single week."""
    days = [weighed(1000 + wobble, gap * at) for at, wobble in enumerate((2, -6, 4, 0, -3))]
    said = reading([*days, weighed(880, 5 * gap), weighed(876, 5 * gap + 2)])
    assert said.alarm.kind is Kind.LOSS
    assert said.alarm.level is Urgency.VET_24H


def test_bands_widen_while_nobody_weighs() -> None:
    row = steady(1000, 12)
    widths = []
    for days in (0, 7, 30, 90):
        said = reading(row, now=row[-1].at + timedelta(days=days))
        assert said.now is not None
        widths.append(said.now.high - said.now.low)
    assert widths == sorted(widths)
    assert widths[-1] > 1.5 * widths[0]


def test_a_dip_after_arriving_is_no_loss() -> None:
    dip = {0: 900, 3: 880, 7: 868, 10: 880, 14: 893}
    row = (weighed(grams, days) for days, grams in dip.items())
    there = said_of((*row, *steady(900, 4, since=21)), arrived_on=at(0).date())
    assert all(day.alarm.kind is None for day in there)


def test_a_newcomer_that_only_falls_is_said_all_the_same() -> None:
    row = [weighed(round(900 * 0.985**day), day) for day in range(14)]
    assert reading(row, arrived_on=at(0).date()).alarm.kind is Kind.LOSS


def test_an_operation_excuses_a_dip_and_no_fall() -> None:
    before = steady(1000, 8)
    events = (happened("surgery", 56),)
    dip = (*before, weighed(975, 58), weighed(985, 61), weighed(1000, 65))
    fall = (*before, weighed(960, 58), weighed(925, 61), weighed(890, 64))
    assert all(day.alarm.kind is None for day in said_of(dip, events=events))
    assert reading(fall, events=events).alarm.level >= Urgency.VET_DAYS


def test_an_animal_of_unknown_sex_and_age_is_measured_against_itself() -> None:
    row = (*steady(1000, 8), *going(1000, 10, -2, since=56))
    known = facts(row, sex=Sex.BOAR)
    unknown = replace(known, sex=Sex.UNKNOWN)
    ours = [day.alarm.sign for day in said_of(known.weighings, sex=Sex.BOAR)]
    assert ours == [day.alarm.sign for day in said_of(unknown.weighings)]


def test_it_is_weighed_sooner_the_more_the_answer_matters() -> None:
    falling = reading((*steady(1000, 8), *going(1000, 10, -2, since=56)))
    near = next(
        said
        for weeks in range(1, 10)
        if (said := reading((*steady(1000, 8), *going(1000, weeks, -1, since=56)))).alarm.kind
        is None
        and said.alarm.score > -1.5
    )
    assert falling.weigh_again_in == DAY
    assert near.weigh_again_in == 3 * DAY
    assert "near an alarm" in near.weigh_why
