"""From numbers to figures: false alarms a healthy year, how soon, how much was lost by then."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from benchmarks.weighed.lives import YEAR, Floats
from benchmarks.weighed.world import Lived

# Alarms of one animal within so many days are one alarm.
ONE_ALARM_DAYS = 28.0


@dataclass(frozen=True)
class Scored:
    """An animal with a number for each of its weighings."""

    lived: Lived
    score: Floats


@dataclass(frozen=True)
class Caught:
    """What was caught of one scenario, in days and in per cent of body weight at the first alarm.

    ``days50`` and ``lost50`` are medians of those caught, ``days90`` and ``lost90`` what nine
    of ten stay below. ``lost`` is the mean over all, those not caught with the most they lost.
    What was gained counts alike.
    """

    share: float
    days50: float
    days90: float
    lost50: float
    lost90: float
    lost: float


def false_alarms(several: Sequence[Scored], bound: float) -> float:
    """False alarms in a year of animals that are well."""
    alarms = years = 0.0
    for one in several:
        alarms += _alarms(one.lived.days[one.score >= bound])
        years += one.lived.until / YEAR
    return alarms / years


def _alarms(days: Floats) -> int:
    count, last = 0, -np.inf
    for day in days.tolist():
        if day - last > ONE_ALARM_DAYS:
            count, last = count + 1, day
    return count


def bound_for(several: Sequence[Scored], allowed: float) -> float:
    """The lowest bound at which false alarms do not pass what is allowed."""
    numbers = np.concatenate([one.score for one in several])
    numbers = np.unique(numbers[np.isfinite(numbers)])
    low, high = 0, numbers.size
    while low < high:
        middle = (low + high) // 2
        if false_alarms(several, float(numbers[middle])) > allowed:
            low = middle + 1
        else:
            high = middle
    return float(numbers[low]) if low < numbers.size else np.inf


def caught(several: Sequence[Scored], bound: float) -> Caught:
    """What a bound catches of ill animals, from the day it begins for as long as it can."""
    days, lost, all_lost = [], [], []
    for one in several:
        illness = one.lived.illness
        if illness is None:
            continue
        since, share = one.lived.days - illness.onset, 100 * np.abs(one.lived.lost)
        within = (since >= 0) & (since <= illness.over)
        found = np.flatnonzero(within & (one.score >= bound))
        if found.size:
            days.append(since[found[0]])
            lost.append(share[found[0]])
        all_lost.append(share[found[0]] if found.size else share[within].max(initial=0.0))
    return Caught(
        share=len(days) / len(several),
        days50=_below_which(days, 0.5),
        days90=_below_which(days, 0.9),
        lost50=_below_which(lost, 0.5),
        lost90=_below_which(lost, 0.9),
        lost=float(np.mean(all_lost)),
    )


def _below_which(values: Sequence[float], share: float) -> float:
    return float(np.quantile(values, share)) if values else np.nan
