"""The filter of the weight engine against statsmodels.

Nile: annual flow at Aswan from 1871 to 1970 in 10^8 m3, as in Durbin and Koopman, Time Series
Analysis by State Space Methods (2001), with their variances: 15099 of one measurement, 1469.1 of
a year's drift.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from scipy.special import softmax
from statsmodels.tsa.statespace.structural import UnobservedComponents

from cavyround.engines.weight import bank as banks
from cavyround.engines.weight.bank import Bank
from cavyround.engines.weight.numbers import Floats, Numbers

# fmt: off
NILE = np.array([
    1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180,
    799, 958, 1140, 1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100, 774, 840, 874, 694, 940, 833,
    701, 916, 692, 1020, 1050, 969, 831, 726, 456, 824, 702, 1120, 1100, 832, 764, 821, 768, 845,
    864, 862, 698, 845, 744, 796, 1040, 759, 781, 865, 845, 944, 984, 897, 822, 1010, 771, 676, 649,
    846, 812, 742, 801, 1040, 860, 874, 848, 890, 744, 749, 838, 1050, 918, 986, 797, 923, 975, 815,
    1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740,
], dtype=float)
# fmt: on
NOISE, DRIFT = 15099.0, 1469.1
# statsmodels begins so wide where nothing is known.
DIFFUSE = 1e6
NO_SLIP = np.zeros(1)


def keeping_to(rates: Floats, shares: Floats, drift: float) -> Numbers:
    """The steady course beside others that nobody joins or leaves; ``drift`` a day's variance."""
    return Numbers(
        codes=("steady", *(str(rate) for rate in rates)),
        rates=np.concatenate([[0.0], rates])[:, None],
        grows=np.ones((1 + rates.size, 1)),
        shares=shares[:, None],
        at={
            "wander_pct": np.sqrt(drift) * 100,
            "slope_spread": 0.0,
            "growth_spread": 0.0,
            "leaves_steady_days": np.inf,
            "back_to_steady_days": np.inf,
            "normal_days": 35.0,
            "normal_follows_change": 0.15,
        },
    )


@dataclass(frozen=True)
class Filtered:
    """What was foretold of each value and what was believed after it."""

    foretold: list[tuple[float, float]]
    bank: list[Bank]

    @property
    def levels(self) -> list[float]:
        return [float(one.mean[0]) for one in self.bank]


def filtered(numbers: Numbers, days: Floats, values: Floats, noise: float = NOISE) -> Filtered:
    """Our filter over values on these days; nothing is a slip."""
    bank = banks.begun(numbers, np.zeros(1), np.full(1, DIFFUSE))
    found = Filtered([], [])
    for gap, value in zip(np.diff(days, prepend=days[0]), values, strict=True):
        days_since, still = np.full(1, gap), np.zeros(1)
        bank = banks.mixed(bank, numbers, days_since, np.ones(1))
        bank = banks.moved(bank, numbers, days_since, still, still)
        ahead = banks.foretold(bank, np.full(1, noise))
        found.foretold.append((float(ahead.mean[0]), float(ahead.spread[0]) ** 2))
        bank, _ = banks.observed(bank, np.full(1, value), np.full(1, noise), NO_SLIP, NO_SLIP)
        found.bank.append(bank)
    return found


def local_level(values: Floats, drift: float = DRIFT, noise: float = NOISE) -> Any:
    """statsmodels' filter over values a day apart, missing ones ``nan``, begun as ours is."""
    model = UnobservedComponents(values, "llevel")
    model.ssm.initialize("known", constant=np.zeros(1), stationary_cov=np.full((1, 1), DIFFUSE))
    model.ssm.loglikelihood_burn = 0
    return model.filter([noise, drift])


ONLY_STEADY = keeping_to(np.array([]), np.array([]), DRIFT)


def test_the_level_of_the_nile_is_what_statsmodels_filters() -> None:
    ours = filtered(ONLY_STEADY, np.arange(100.0), NILE)
    theirs = local_level(NILE)
    assert ours.levels == pytest.approx(theirs.filtered_state[0], rel=1e-9)
    variances = [float(one.vll[0, 0]) for one in ours.bank]
    assert variances == pytest.approx(theirs.filtered_state_cov[0, 0], rel=1e-9)


def test_the_last_level_of_the_nile_is_the_published_one() -> None:
    """798.3703 with variance 4032.158: statsmodels 0.15 at Durbin and Koopman's variances."""
    last = filtered(ONLY_STEADY, np.arange(100.0), NILE).bank[-1]
    assert last.level[0, 0] == pytest.approx(798.3703, abs=5e-5)
    assert last.vll[0, 0] == pytest.approx(4032.158, abs=5e-4)


def test_what_is_foretold_of_the_next_value_is_what_statsmodels_foretells() -> None:
    ours = filtered(ONLY_STEADY, np.arange(100.0), NILE).foretold[1:]
    theirs = local_level(NILE)
    assert [mean for mean, _ in ours] == pytest.approx(theirs.forecasts[0][1:], rel=1e-9)
    errors = theirs.forecasts_error_cov[0, 0][1:]
    assert [variance for _, variance in ours] == pytest.approx(errors, rel=1e-9)


def test_two_long_gaps_are_stepped_over_as_missing_years() -> None:
    """Durbin and Koopman leave out the years 21 to 40 and 61 to 80."""
    kept = np.r_[0:20, 40:60, 80:100]
    there = np.full(100, np.nan)
    there[kept] = NILE[kept]
    ours = filtered(ONLY_STEADY, kept.astype(float), NILE[kept])
    assert ours.levels == pytest.approx(local_level(there).filtered_state[0][kept], rel=1e-9)


@pytest.mark.parametrize("seed", range(5))
def test_irregular_days_are_stepped_over_as_missing_days(seed: int) -> None:
    """Weighings hours to months apart, on a grid of six hours with most of it missing."""
    rng = np.random.default_rng(seed)
    steps = np.sort(rng.choice(3000, size=60, replace=False))
    steps -= steps[0]
    drift, noise = 0.0009**2, 0.015**2
    level = np.cumsum(rng.normal(0, np.sqrt(drift / 4), steps[-1] + 1))
    read = np.log(950) + level + rng.normal(0, np.sqrt(noise), level.size)
    grid = np.full(level.size, np.nan)
    grid[steps] = read[steps]
    theirs = local_level(grid, drift / 4, noise)
    numbers = keeping_to(np.array([]), np.array([]), drift)
    ours = filtered(numbers, steps / 4, read[steps], noise)
    assert ours.levels == pytest.approx(theirs.filtered_state[0][steps], rel=1e-9)
    variances = [float(one.vll[0, 0]) for one in ours.bank]
    assert variances == pytest.approx(theirs.filtered_state_cov[0, 0][steps], rel=1e-6)


def test_courses_are_weighed_by_how_likely_each_makes_all_that_was_seen() -> None:
    """Where no course is left, the bank is Bayes' theorem over as many filters of statsmodels."""
    rng = np.random.default_rng(7)
    rates, shares = np.array([-0.004, -0.0015, 0.002]), np.array([0.5, 0.3, 0.2])
    drift, noise, days = 0.0009**2, 0.015**2, np.arange(30.0)
    read = np.log(900) - 0.0015 * days + rng.normal(0, 0.015, days.size)
    last = filtered(keeping_to(rates, shares, drift), days, read, noise).bank[-1]
    every = np.concatenate([[0.0], rates])
    filters = [local_level(read - rate * days, drift, noise) for rate in every]
    likely = np.log(np.concatenate([[0.9], 0.1 * shares])) + [one.llf for one in filters]
    assert last.weight[:, 0] == pytest.approx(softmax(likely), rel=1e-6)
    levels = [
        one.filtered_state[0][-1] + rate * days[-1]
        for one, rate in zip(filters, every, strict=True)
    ]
    assert last.level[:, 0] == pytest.approx(levels, rel=1e-9)
