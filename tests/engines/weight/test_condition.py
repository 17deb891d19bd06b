"""Where hand and scales do not say the same: what the field cases a carer meets come to."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavyround.advice.book import book as the_book
from cavyround.engines.weight.condition import (
    ConditionSaid,
    Felt,
    Look,
    condition_beside,
    look_of,
)
from cavyround.engines.weight.said import Alarm, Band, Kind, Reading
from cavyround.facts.animal import Born, Known
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.urgency import Urgency
from tests.builders import NOW, a_sow, a_stranger, months_old

STEADY = Band(-0.6, 0.0, 0.6, "%/week")
FALLING = Band(-2.4, -1.6, -0.8, "%/week")
RISING = Band(0.8, 1.6, 2.4, "%/week")


def a_reading(trend: Band | None = STEADY, grams: float = 1000, **said: Any) -> Reading:
    """Weighed often enough to be sure, this heavy, going this way."""
    return Reading(
        **{
            "at": NOW,
            "weighings": 12,
            "now": Band(grams - 15, grams, grams + 15),
            "trend_pct": trend,
            "sure": True,
            **said,
        }
    )


def felt(score: float, days_ago: int = 1, **said: Any) -> Felt:
    value = Decimal(str(score))
    look = look_of(value, the_book())
    return Felt(at=NOW - timedelta(days=days_ago), look=look, score=value, **said)


def said_of(feels: Sequence[Felt], reading: Reading, book: Knowledge, **sow: Any) -> ConditionSaid:
    return condition_beside(feels, reading, a_sow(**sow), now=NOW, book=book)


def ids(said: ConditionSaid) -> set[str]:
    return {one.id.removeprefix("beside.") for one in said.beside}


@pytest.mark.parametrize(
    ("scores", "reading", "expected"),
    [
        ([2], a_reading(grams=1300), {"heavy_but_bony"}),
        ([2], a_reading(RISING), {"gaining_but_bony"}),
        ([2], a_reading(STEADY), {"steady_but_bony"}),
        ([3, 2], a_reading(STEADY), {"thinner_not_lighter", "steady_but_bony"}),
        ([4, 3], a_reading(RISING), {"thinner_not_lighter"}),
        ([3], a_reading(FALLING), {"lighter_feels_the_same"}),
        ([3, 4], a_reading(FALLING), {"lighter_feels_the_same", "lighter_feels_rounder"}),
        ([4], a_reading(grams=700), {"light_but_round"}),
        ([3], a_reading(STEADY), set()),
        ([4], a_reading(STEADY), set()),
        ([2], a_reading(FALLING), set()),  # both say the same
        ([3, 4], a_reading(RISING), set()),
    ],
)
def test_hand_and_scales_that_differ_are_told(
    scores: list[float], reading: Reading, expected: set[str], book: Knowledge
) -> None:
    feels = [felt(score, 40 * back + 1) for back, score in enumerate(reversed(scores))]
    assert ids(said_of(feels, reading, book)) == expected


def test_a_young_animal_that_gains_with_bones_to_be_felt_is_growing_not_swelling(
    book: Knowledge,
) -> None:
    said = said_of([felt(2)], a_reading(RISING, 400), book, born=months_old(3))
    assert ids(said) == {"growing_but_bony"}


def test_of_an_animal_of_unknown_age_nothing_is_said_that_needs_the_age(book: Knowledge) -> None:
    reading = a_reading(RISING, 700)
    said = condition_beside([felt(2)], reading, a_stranger(), now=NOW, book=book)
    assert ids(said) == set()
    said = condition_beside([felt(4)], reading, a_stranger(), now=NOW, book=book)
    assert ids(said) == set()


def test_an_alarm_of_loss_is_falling_even_before_the_trend_is_sure(book: Knowledge) -> None:
    alarm = Alarm(level=Urgency.VET_DAYS, kind=Kind.LOSS, why=("losing",))
    reading = a_reading(STEADY, alarm=alarm, sure=False)
    assert "lighter_feels_the_same" in ids(said_of([felt(3)], reading, book))


def test_a_sow_who_may_carry_pups_is_told_how_she_is_judged(book: Knowledge) -> None:
    reading = a_reading(grams=1300)
    [heavy] = said_of([felt(2)], reading, book, pregnant=Known.POSSIBLE).beside
    assert "spine and hips" in heavy.if_pregnant
    [heavy] = said_of([felt(2)], reading, book, pregnant=Known.NO).beside
    assert heavy.if_pregnant == ""


def test_an_old_score_does_not_speak_for_the_animal_as_it_is_now(book: Knowledge) -> None:
    said = said_of([felt(2, 46)], a_reading(grams=1300), book)
    assert said.beside == ()
    assert said.why_not == ("The last score is 46 days old: feel and score it again.",)
    assert said.last is not None
    assert said_of([felt(2, 44)], a_reading(grams=1300), book).beside


def test_two_scores_of_one_week_are_not_compared_nor_those_a_year_apart(book: Knowledge) -> None:
    near = said_of([felt(3, 5), felt(2, 1)], a_reading(), book)
    assert near.earlier is None
    assert "No earlier score to compare this one with." in near.why_not
    far = said_of([felt(4, 300), felt(2, 1)], a_reading(), book)
    assert far.earlier is None
    assert "thinner_not_lighter" not in ids(near) | ids(far)


def test_half_a_step_may_be_another_pair_of_hands(book: Knowledge) -> None:
    said = said_of([felt(3, 40), felt(2.5, 1)], a_reading(), book)
    assert ids(said) == set()


def test_a_look_without_a_score_is_reckoned_as_the_score_whose_words_it_fits(
    book: Knowledge,
) -> None:
    before = Felt(at=NOW - timedelta(days=40), look=Look.IDEAL)
    thin = Felt(at=NOW, look=Look.BONY)
    reckoned = [one.reckoned for one in (before, thin, replace(thin, marked=True))]
    assert reckoned == [Decimal(3), Decimal(2), Decimal(1)]
    assert Felt(at=NOW, look=Look.ROUND, marked=True).reckoned == 5
    assert "thinner_not_lighter" in ids(said_of([before, thin], a_reading(), book))


def test_what_is_not_known_is_said_and_read_as_nothing(book: Knowledge) -> None:
    nothing = said_of([], a_reading(FALLING), book)
    assert (nothing.last, nothing.beside) == (None, ())
    assert nothing.why_not == ("The body condition has not been felt yet.",)
    unweighed = said_of([felt(2)], Reading(at=NOW), book)
    assert unweighed.beside == ()
    assert "Not weighed yet: nothing to compare the score with." in unweighed.why_not
    few = said_of([felt(2)], a_reading(FALLING, weighings=2, sure=False), book)
    assert ids(few) == set()
    assert "Too few weighings to say whether it gains or loses." in few.why_not


def test_a_feel_of_the_future_is_not_known_yet(book: Knowledge) -> None:
    assert said_of([felt(2, -1)], a_reading(), book).last is None


def test_the_worst_is_said_first_and_every_line_has_its_source(book: Knowledge) -> None:
    said = said_of([felt(3, 40), felt(4, 1)], a_reading(FALLING, 700), book)
    levels = [one.urgency for one in said.beside]
    assert levels == sorted(levels, reverse=True)
    assert all(one.sources and one.because and one.do_now for one in said.beside)


def test_the_scores_are_named_one_to_five_once_each(book: Knowledge) -> None:
    assert [one.score for one in book.condition_scores] == [1, 2, 3, 4, 5]
    looks = [look_of(Decimal(one.score), book) for one in book.condition_scores]
    assert looks == [Look.BONY, Look.BONY, Look.IDEAL, Look.ROUND, Look.ROUND]


def test_nothing_said_calms_down(book: Knowledge) -> None:
    """What stands beside the weights adds to an alarm; no line takes one back."""
    for one in book.beside_weight:
        assert one.urgency > Urgency.NORMAL, one.id
        text = " ".join((one.says, one.because, *one.do_now)).lower()
        assert "no need" not in text, one.id
        assert "wait" not in text, one.id


feels = st.builds(
    Felt,
    at=st.integers(-10, 500).map(lambda days: NOW - timedelta(days=days)),
    look=st.sampled_from(Look),
    score=st.none() | st.integers(1, 5).map(Decimal),
    marked=st.booleans(),
)
trends = st.none() | st.tuples(st.floats(-20, 20), st.floats(0, 10)).map(
    lambda one: Band(one[0] - one[1], one[0], one[0] + one[1], "%/week")
)


@given(
    felt_ones=st.lists(feels, max_size=6, unique_by=lambda one: one.at),
    trend=trends,
    grams=st.floats(30, 2700),
    sure=st.booleans(),
    months=st.none() | st.integers(0, 90),
)
def test_any_feel_and_any_weights_give_the_same_answer_in_any_order(
    felt_ones: list[Felt], trend: Band | None, grams: float, sure: bool, months: int | None
) -> None:
    book = the_book()
    facts = a_sow(born=months_old(months) if months is not None else Born())
    reading = a_reading(trend, grams, sure=sure)
    said = condition_beside(felt_ones, reading, facts, now=NOW, book=book)
    assert said == condition_beside(felt_ones[::-1], reading, facts, now=NOW, book=book)
    if said.beside:
        assert said.last is not None
        assert NOW - said.last.at <= timedelta(days=45)
    assert said.why_not or said.last
