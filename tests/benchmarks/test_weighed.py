"""The invented animals of the weight benchmark, the rules beside the engine, and how both count."""

import math
from typing import Any

import numpy as np
import pytest
from benchmarks.report import Found, Line, as_markdown
from benchmarks.weighed import all_knowing, lives, rivals, world
from benchmarks.weighed.judging import Scored, bound_for, caught, false_alarms
from benchmarks.weighed.lives import Course, Illness
from benchmarks.weighed.world import Lived

from cavyround.facts.animal import AnimalFacts

LEVEL = Course(
    lambda days: np.full(days.shape, 1000.0), lambda days: np.full(days.shape, 1000.0), varies=False
)


def lived(days: list[float], grams: list[float], **said: Any) -> Lived:
    at, read = np.array(days), np.array(grams)
    given: dict[str, Any] = {
        "scenario": "healthy adult",
        "facts": AnimalFacts(id="one"),
        "days": at,
        "grams": read,
        "well_g": np.full(at.shape, 1000.0),
        "lost": np.zeros(at.shape),
        "slips": np.full(at.shape, "", dtype="<U10"),
        "spread": 0.01,
        "illness": None,
        "course": LEVEL,
        "bore": None,
    }
    return Lived(**given | said)


def test_alarms_within_four_weeks_are_one_false_alarm() -> None:
    days = [0.0, 100.0, 107.0, 128.0, 129.0, 365.25]
    one = Scored(lived(days, [1000.0] * 6), np.array([0.0, 1, 1, 1, 1, 0]))
    assert false_alarms([one], 1.0) == 2  # day 100 to 128, and day 129


def test_the_bound_gives_no_more_false_alarms_than_allowed() -> None:
    days = [100.0 * at for at in range(5)]
    one = Scored(lived(days, [1000.0] * 5), np.array([1.0, 5, 2, 4, 3]))
    bound = bound_for([one], allowed=2.01 * 365.25 / 400)
    assert bound == 4.0


def test_what_is_caught_counts_from_the_day_it_began() -> None:
    illness = Illness(10.0, lambda since: since / 100, 20.0)
    days = [0.0, 9.0, 12.0, 16.0, 40.0]
    one = lived(days, [1000.0] * 5, lost=illness.at(np.array(days)), illness=illness)
    found = caught([Scored(one, np.array([0.0, 9, 1, 8, 9]))], 5.0)
    assert (found.share, found.days50) == (1.0, 6.0)
    assert found.lost50 == pytest.approx(6.0)
    missed = caught([Scored(one, np.array([0.0, 9, 1, 2, 9]))], 5.0)
    assert missed.share == 0.0
    assert missed.lost == pytest.approx(6.0)
    assert math.isnan(missed.days50)


def test_the_rules_say_what_a_carer_would_reckon_by_hand() -> None:
    days, grams = np.array([0.0, 7, 14, 21]), np.array([1000.0, 990, 1010, 950])
    assert rivals.since_last_g(days, grams).tolist()[1:] == [10, -20, 60]
    assert rivals.in_a_week_pct(days, grams)[3] == pytest.approx(100 * 60 / 1010)
    assert rivals.below_best_pct(days, grams)[3] == pytest.approx(100 * 60 / 1010)
    assert rivals.below_median_pct(days, grams)[3] == pytest.approx(5.0)


def test_a_rule_begins_anew_after_a_birth() -> None:
    rule = rivals.Rule("grams", rivals.since_last_g)
    one = lived([0.0, 7, 14, 21], [1500.0, 1550, 1100, 1090], bore=10.0)
    assert rule.scores(one).tolist() == [-np.inf, -50, -np.inf, 10]


def test_the_same_seed_gives_the_same_animals_and_another_others() -> None:
    first, again, other = (world.ill_herd("slow loss", 3, seed)[2] for seed in (1, 1, 2))
    assert first.facts == again.facts
    assert first.facts.weighings != other.facts.weighings


@pytest.mark.parametrize("scenario", world.ILL)
def test_what_befalls_an_animal_begins_on_its_day_and_not_before(scenario: str) -> None:
    for one in world.ill_herd(scenario, 20, 3):
        assert one.illness is not None
        before = one.days < one.illness.onset
        assert before.sum() >= 2
        assert not one.lost[before].any()
        assert np.abs(one.lost[~before]).max() > 0.02


def test_slow_and_fast_loss_are_as_deep_and_as_fast_as_they_are_called() -> None:
    rng = np.random.default_rng(4)
    for _ in range(50):
        slow, fast = lives.losing_slowly(rng, 0.0), lives.losing_fast(rng, 0.0)
        assert 0.01 <= float(slow.lost(np.array([7.0]))[0]) <= 0.03
        assert 0.05 <= float(fast.lost(np.array([7.0]))[0]) <= 0.10


def test_the_all_knowing_sees_a_loss_and_no_slip() -> None:
    days = [7.0 * at + 0.5 for at in range(20)]
    illness = Illness(70.0, lambda since: np.minimum(since * 0.003, 0.2), 60.0)
    lost = illness.at(np.array(days))
    grams = [1000.0 * (1 - share) for share in lost]
    slips = np.full(20, "", dtype="<U10")
    slips[5], grams[5] = "tub", 700.0
    one = lived(days, grams, lost=lost, illness=illness, slips=slips)
    found = all_knowing.scores(one, "slow loss", np.random.default_rng(1))
    assert found is not None
    assert max(found[:10]) < 5 < found[14]


def test_only_the_sections_measured_anew_are_written_anew() -> None:
    first = as_markdown({"a": Found([Line("x", "1")], ["n"]), "b": Found([Line("y", "2")], [])}, "")
    then = as_markdown({"b": Found([Line("y", "3")], [])}, first)
    assert "| x | 1 |" in then
    assert "| y | 3 |" in then
    assert "| y | 2 |" not in then
    assert as_markdown({}, then) == then
