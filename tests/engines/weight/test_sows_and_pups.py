"""Sows that carry, births, pups that grow and pups that stop, and steady gain."""

from datetime import timedelta
from typing import Any

import pytest

from cavyround.engines.weight.said import Kind, WeighIn
from cavyround.facts.animal import Known, Sex, Weighing
from cavyround.knowledge.urgency import Urgency
from tests.engines.weight.made import (
    born,
    going,
    happened,
    reading,
    said_of,
    steady,
    weekly,
    weighed,
)

# About half a per cent a day, as sows gain once it is noticed.
CARRYING = going(1000, 8, 3.55, since=56)
SOW: dict[str, Any] = {
    "sex": Sex.SOW,
    "pregnant": Known.YES,
    "events": (happened("found_pregnant", 50),),
}
PUP: dict[str, Any] = {"born": born(-5)}
GROWING = (120, 150, 185, 225, 270, 315, 362, 410, 455, 500, 545)


def kinds(days: tuple[WeighIn, ...]) -> set[Kind]:
    return {day.alarm.kind for day in days if day.alarm.kind is not None}


def test_a_sow_that_gains_as_a_pregnant_one_does_is_left_in_peace() -> None:
    assert kinds(said_of((*steady(1000, 8), *CARRYING), **SOW)) == set()


def test_the_trend_of_a_pregnant_sow_is_what_she_gains() -> None:
    trend = reading((*steady(1000, 8), *CARRYING), **SOW).trend_pct
    assert trend is not None
    assert trend.low < 3.55 < trend.high


def test_a_sow_nobody_knows_to_be_pregnant_is_said_to_gain_as_one() -> None:
    """As a thing to look into, and no worry: she is weighed as one perhaps pregnant is."""
    row = (*steady(1000, 8), *CARRYING[:5])
    alarms = [day.alarm for day in said_of(row, sex=Sex.SOW) if day.alarm.kind]
    assert {one.sign for one in alarms} == {"gaining_as_pregnant"}
    assert {one.level for one in alarms} == {Urgency.CARER_RECHECK}
    assert max(one.score for one in alarms) < 0
    now = reading(row, sex=Sex.SOW)
    assert now.weigh_again_in == timedelta(days=2)
    assert now.weigh_why == "she may be pregnant"


@pytest.mark.parametrize(
    "said",
    [
        {"sex": Sex.BOAR},
        {"sex": Sex.SOW, "neutered": Known.YES},
        {"sex": Sex.SOW, "pregnant": Known.NO},
    ],
)
def test_one_that_cannot_be_pregnant_and_gains_as_fast_is_called_out(said: dict[str, Any]) -> None:
    last = said_of((*steady(1000, 8), *CARRYING[:5]), **said)[-1].alarm
    assert (last.kind, last.sign) == (Kind.GAIN, "weight_gaining")
    assert last.score >= 0


@pytest.mark.parametrize("fall_pct", [4, 6, 9])
def test_a_pregnant_sow_that_falls_is_said_at_once(fall_pct: float) -> None:
    """Little is waited for: the first weighing after the fall speaks."""
    gaining = CARRYING[:5]
    fallen = weighed(round(float(gaining[-1].grams) * (1 - fall_pct / 100)), 91)
    row = (*steady(1000, 8), *gaining, fallen)
    *before, last = said_of(row, **SOW)
    assert {day.alarm.kind for day in before} == {None}
    assert last.alarm.kind is Kind.PREGNANCY
    assert last.alarm.level >= Urgency.CARER_RECHECK


def test_a_pregnant_sow_that_stops_gaining_is_said_within_two_weeks() -> None:
    stopped = float(CARRYING[3].grams)
    row = (*steady(1000, 8), *CARRYING[:4], *weekly(stopped, stopped + 4, since=84))
    assert said_of(row, **SOW)[-1].alarm.kind is Kind.PREGNANCY


def test_a_birth_is_no_loss() -> None:
    row = (*steady(1000, 8), *CARRYING, *weekly(1040, 1030, 1010, 1020, 1015, since=114))
    events = (*SOW["events"], happened("gave_birth", 113))
    days = said_of(row, sex=Sex.SOW, events=events)
    assert kinds(days) == set()
    assert days[-1].p_loss[5] < 0.1


def test_a_sow_that_falls_by_a_tenth_after_a_birth_is_said() -> None:
    fell = {114: 1040, 117: 1035, 121: 960, 124: 900, 125: 895}
    after = (weighed(grams, days) for days, grams in fell.items())
    events = (*SOW["events"], happened("gave_birth", 113))
    row = (*steady(1000, 8), *CARRYING, *after)
    last = said_of(row, sex=Sex.SOW, events=events)[-1]
    assert last.alarm.kind is Kind.LOSS
    assert last.alarm.level is Urgency.VET_24H


def test_a_sow_that_gains_like_a_pregnant_one_unnoticed_is_said_to_gain() -> None:
    assert kinds(said_of((*steady(1000, 8), *CARRYING), sex=Sex.SOW)) == {Kind.GAIN}


def test_a_pup_that_grows_is_left_in_peace() -> None:
    assert kinds(said_of(weekly(*GROWING), **PUP)) == set()


@pytest.mark.parametrize("age_known", [True, False])
def test_a_pup_that_stalls_is_said_within_two_weeks(age_known: bool) -> None:
    row = weekly(*GROWING[:6], 318, 316, 321)
    days = said_of(row, **(PUP if age_known else {}))
    assert kinds(days[:6]) <= {Kind.GAIN}
    assert {days[6].alarm.kind, days[7].alarm.kind} & {Kind.GROWTH}
    assert days[8].alarm.kind is Kind.GROWTH


def test_a_pup_far_below_what_it_should_have_grown_to_goes_to_a_vet() -> None:
    said = reading(weekly(*GROWING[:6], 318, 316, 321, 320), **PUP)
    assert said.alarm.kind is Kind.GROWTH
    assert said.alarm.level is Urgency.VET_DAYS
    assert any("should have grown to" in words for words in said.alarm.why)


def test_a_pup_that_loses_is_said_at_the_second_weighing_below() -> None:
    days = said_of(weekly(*GROWING[:6], 290, 280), **PUP)
    assert days[-1].alarm.kind in (Kind.GROWTH, Kind.LOSS)
    assert days[-1].alarm.level >= Urgency.VET_DAYS


def test_the_forecast_of_a_pup_grows() -> None:
    said = reading(weekly(*GROWING), **PUP)
    assert said.now is not None
    assert said.week_ahead is not None
    assert 20 < said.week_ahead.mid - said.now.mid < 80


def test_an_old_animal_is_not_expected_to_grow() -> None:
    said = reading(steady(800, 12), born=born(-900))
    assert said.now is not None
    assert said.week_ahead is not None
    assert said.week_ahead.mid == pytest.approx(said.now.mid, rel=0.005)


def test_a_grown_animal_that_gains_steadily_is_said_to_gain() -> None:
    row = (*steady(1000, 10), *going(1000, 9, 1.5, since=70))
    assert kinds(said_of(row, sex=Sex.BOAR)) == {Kind.GAIN}


def test_a_thin_newcomer_that_fills_out_is_not_called_out() -> None:
    row = going(800, 8, 1.5)
    assert kinds(said_of(row, arrived_on=row[0].at.date(), born=born(-800))) == set()


def test_no_boar_and_no_pup_is_ever_said_to_fail_in_pregnancy() -> None:
    rows: tuple[tuple[Weighing, ...], ...] = (weekly(*GROWING), going(1000, 20, -2))
    for row in rows:
        assert Kind.PREGNANCY not in kinds(said_of(row, sex=Sex.BOAR))
