"""The rules carers use and two charts of industry, each as one number that rises with concern.

Each sees the weighings of one animal and says a number for every one of them, knowing only those
before it. A birth is known to all of them and is no loss: each begins anew after it. The rules
are given with the bounds they are used with, and again with the bound set to the false alarms
that are allowed. The charts are spared slips: what lies far off counts as four deviations.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from benchmarks.weighed.lives import WEEK, Floats
from benchmarks.weighed.world import Lived

NOTHING = -np.inf
MONTH = 28.0
# The scatter the charts are told of, as a share: about the middle of all houses.
TOLD_SPREAD = 0.015
# How fast the animal's normal follows its weighings, and the quicker mean held against it.
SLOW, QUICK = 0.06, 0.4
# Half a standard deviation is the customary allowance of a cumulative sum (Page 1954).
ALLOWED, FAR = 0.5, 4.0
# Weighings from which the charts take the first normal.
STARTS_AFTER = 4
Number = Callable[[Floats, Floats], Floats]


@dataclass(frozen=True)
class Rule:
    """A rule with the bound it is used with, if it has one; ``up`` for one that looks for gain."""

    name: str
    number: Number
    bound: float | None = None
    up: bool = False

    def scores(self, lived: Lived) -> Floats:
        """Its number for every weighing."""
        if lived.bore is None:
            return self.number(lived.days, lived.grams)
        after = lived.days >= lived.bore + 1
        parts = (~after, after)
        return np.concatenate([self.number(lived.days[one], lived.grams[one]) for one in parts])


def since_last_g(_days: Floats, grams: Floats) -> Floats:
    """Grams lost since the last weighing."""
    return np.concatenate([np.full(min(grams.size, 1), NOTHING), -np.diff(grams)])


def in_a_week_pct(days: Floats, grams: Floats) -> Floats:
    """Per cent lost against the heaviest weighing of the last eight days."""
    return _below(days, grams, WEEK + 1, np.max)


def below_best_pct(days: Floats, grams: Floats) -> Floats:
    """Per cent below the heaviest of all weighings so far."""
    return _below(days, grams, np.inf, np.max)


def below_median_pct(days: Floats, grams: Floats) -> Floats:
    """Per cent below the median of its own weighings of the last 28 days."""
    return _below(days, grams, MONTH, np.median)


def _below(
    days: Floats, grams: Floats, within: float, of: Callable[[Floats], np.floating]
) -> Floats:
    found = np.full(grams.size, NOTHING)
    for at in range(1, found.size):
        earlier = grams[:at][days[:at] >= days[at] - within]
        if earlier.size:
            found[at] = 100 * (1 - grams[at] / of(earlier))
    return found


def ewma(_days: Floats, grams: Floats) -> Floats:
    """How far a quick weighted mean lies below a slow one, in standard deviations."""
    return _ewma(grams, -1.0)


def ewma_up(_days: Floats, grams: Floats) -> Floats:
    """The same upwards."""
    return _ewma(grams, 1.0)


def _ewma(grams: Floats, sign: float) -> Floats:
    logs = np.log(grams) / TOLD_SPREAD
    found = np.full(logs.size, NOTHING)
    slow = quick = float(np.median(logs[:STARTS_AFTER])) if logs.size else 0.0
    wide = np.sqrt(QUICK / (2 - QUICK))
    for at in range(STARTS_AFTER, logs.size):
        quick += QUICK * np.clip(logs[at] - quick, -FAR, FAR)
        found[at] = sign * (quick - slow) / wide
        slow += SLOW * np.clip(logs[at] - slow, -FAR, FAR)
    return found


def cusum(_days: Floats, grams: Floats) -> Floats:
    """The cumulative sum of falls below its normal, less the allowance."""
    return _cusum(grams, -1.0)


def cusum_up(_days: Floats, grams: Floats) -> Floats:
    """The same of rises above it."""
    return _cusum(grams, 1.0)


def _cusum(grams: Floats, sign: float) -> Floats:
    logs = np.log(grams) / TOLD_SPREAD
    found = np.full(logs.size, NOTHING)
    normal, total = (float(np.median(logs[:STARTS_AFTER])) if logs.size else 0.0), 0.0
    for at in range(STARTS_AFTER, logs.size):
        off = float(np.clip(logs[at] - normal, -FAR, FAR))
        total = found[at] = max(0.0, total + sign * off - ALLOWED)
        normal += SLOW * off
    return found


RULES = (
    Rule("28 g since last time", since_last_g, 28),
    Rule("57 g since last time", since_last_g, 57),
    Rule("85 g since last time", since_last_g, 85),
    Rule("113 g since last time", since_last_g, 113),
    Rule("5 % in a week", in_a_week_pct, 5),
    Rule("10 % below the best", below_best_pct, 10),
    Rule("5 % below own 28-day median", below_median_pct, 5),
    Rule("grams since last time", since_last_g),
    Rule("per cent in a week", in_a_week_pct),
    Rule("per cent below the best", below_best_pct),
    Rule("per cent below own 28-day median", below_median_pct),
    Rule("EWMA", ewma),
    Rule("CUSUM", cusum),
    Rule("EWMA upwards", ewma_up, up=True),
    Rule("CUSUM upwards", cusum_up, up=True),
)
