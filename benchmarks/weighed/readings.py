"""How invented animals are weighed: on which days, with what scatter, and what is misread."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from benchmarks.weighed.lives import WEEK, Floats, Rng

# How long a full or an empty gut lasts, in days.
GUT_DAYS = 2.0
# How the scatter of a weighing is made up, as shares of its standard deviation: squares make one.
GUT, HOUR, WRIGGLE = 0.66, 0.20, 0.724
GRAMS_PER_OUNCE = 28.349523125
# One weighing in eighty is misread.
MISREAD = 0.0125


@dataclass(frozen=True)
class House:
    """A rescue: how its weighings scatter (a share), to how many grams its scale shows them,
    and how many weighings it leaves out."""

    spread: float
    step: float
    left_out: float

    @classmethod
    def some(cls, rng: Rng) -> "House":
        """One of many: scatter of about 1.4 %, of a calm house with a good scale 1.1 %."""
        spread = 0.014 * np.exp(rng.normal(0, 0.12))
        step = float(rng.choice([1.0, 1.0, 1.0, 2.0, 5.0]))
        return cls(spread, step, float(rng.uniform(0.03, 0.15)))


def weekly(rng: Rng, house: House, until: float) -> Floats:
    """About weekly: a day early or late, some left out, sometimes for two or three weeks."""
    weeks = np.arange(int(until // WEEK) + 1)
    days = WEEK * weeks + rng.choice([-1, 0, 0, 0, 0, 1, 2], weeks.size)
    kept = rng.random(weeks.size) > house.left_out
    if rng.random() < 0.3:
        away = int(rng.integers(1, weeks.size))
        kept[away : away + int(rng.integers(2, 4))] = False
    kept[0] = True
    return _by_day(rng, days[kept])


def now_and_then(rng: Rng, until: float) -> Floats:
    """From days to two months apart."""
    gaps = np.clip(np.rint(rng.exponential(16, int(until))), 2, 60)
    days = np.concatenate([[0.0], np.cumsum(gaps)])
    return _by_day(rng, days[days < until])


def also_daily(rng: Rng, days: Floats, first: float, last: float) -> Floats:
    """The same with a weighing on every day from ``first`` to ``last``."""
    between = np.arange(np.ceil(first), np.floor(last) + 1)
    outside = days[(np.floor(days) < np.ceil(first)) | (np.floor(days) > np.floor(last))]
    return np.sort(np.concatenate([outside, _by_day(rng, between)]))


def _by_day(rng: Rng, days: Floats) -> Floats:
    """At some hour of each day."""
    at = np.unique(np.floor(np.maximum(days, 0.0)))
    hours: Floats = at + rng.uniform(0.3, 0.8, at.size)
    return hours


def off_by(rng: Rng, days: Floats, spread: float) -> Floats:
    """What each reading is off, as a share: a gut fill that lasts, the hour, and a wriggle.

    The wriggle has the heavy tails of Student's t with five degrees of freedom.
    """
    fill = np.empty(days.size)
    last = rng.normal()
    for at, gap in enumerate(np.diff(days, prepend=days[0])):
        kept = np.exp(-gap / GUT_DAYS)
        last = kept * last + np.sqrt(1 - kept**2) * rng.normal()
        fill[at] = last
    hour = np.sin(2 * np.pi * days) * np.sqrt(2)
    wriggle = rng.standard_t(5, days.size) / np.sqrt(5 / 3)
    off: Floats = spread * (GUT * fill + HOUR * hour + WRIGGLE * wriggle)
    return off


def scatter_covariance(days: Floats, spread: float) -> Floats:
    """What somebody would know who knew all of that: the covariance of what readings are off."""
    gut = np.exp(-np.abs(days[:, None] - days) / GUT_DAYS)
    own = np.eye(days.size)
    covariance: Floats = spread**2 * (GUT**2 * gut + (HOUR**2 + WRIGGLE**2) * own)
    return covariance


def misread(rng: Rng, grams: float, others: Sequence[float]) -> tuple[str, float]:
    """What a hand, an eye or a tub makes of a weight, and which slip it was."""
    kind = str(rng.choice(list(SLIPS), p=list(SLIPS.values())))
    text = str(round(grams))
    if kind == "swapped":
        at = int(rng.integers(len(text) - 1))
        found = float(text[:at] + text[at + 1] + text[at] + text[at + 2 :])
    elif kind == "missing":
        at = int(rng.integers(len(text)))
        found = float(text[:at] + text[at + 1 :])
    elif kind == "extra":
        at = int(rng.integers(len(text)))
        found = float(text[:at] + text[at] + text[at:])
    elif kind == "hundred":
        found = grams + float(rng.choice([-100, 100]))
    elif kind == "ounces":
        found = round(grams / GRAMS_PER_OUNCE, 1)
    elif kind == "tub":
        found = grams + float(rng.integers(60, 450))
    else:
        found = float(others[int(rng.integers(len(others)))])
    return kind, max(found, 1.0)


SLIPS = {
    "swapped": 0.22,
    "missing": 0.14,
    "extra": 0.10,
    "hundred": 0.18,
    "ounces": 0.06,
    "tub": 0.14,
    "neighbour": 0.16,
}
