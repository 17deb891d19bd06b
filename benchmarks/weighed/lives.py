"""Invented lives: what an animal truly weighs, day by day, well and ill.

This is not the engine's model. True weight goes in grams. A grown animal keeps to a slow wave
through the year and to a condition that goes up and down between knots some weeks apart; a young
one follows a Gompertz curve of its own. Nothing here walks at random and nothing is a logarithm
but where a share is drawn. What befalls an animal has a day on which it begins and a fixed
course. All figures are our own judgement but where a source is named.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Rng = np.random.Generator
Grams = Callable[[Floats], Floats]
Shares = Callable[[Floats], Floats]
YEAR = 365.25
WEEK = 7.0
# Weight now, as a share of full weight, at birth in the Gompertz curve below.
AT_BIRTH = 0.10
# Days from conception to birth: 59 to 72, mean 68 (Vetpedia 840, as in the physiology notes).
TERM = 68.0


# A wave through the year of up to this share, and a condition that differs by this between knots
# so many days apart, more or less.
WAVE, CONDITION, KNOTS = 0.015, 0.008, (20.0, 60.0)


@dataclass(frozen=True)
class Course:
    """What an animal weighs while it is well, in grams.

    ``true`` is what it weighs, ``told`` what somebody foretells who knows all figures of this
    animal and not how its wave and its condition happen to fall (``varies``: it has those).
    """

    true: Grams
    told: Grams
    varies: bool

    def times(self, factor: Shares) -> "Course":
        """The same, heavier or lighter by a factor of each day."""
        true, told = self.true, self.told
        return Course(
            lambda days: true(days) * factor(days),
            lambda days: told(days) * factor(days),
            self.varies,
        )


@dataclass(frozen=True)
class Illness:
    """What befalls an animal: on which day, and the share it has lost so many days later.

    ``lost`` is negative for what it gains. ``over`` is how many days it may be found in.
    """

    onset: float
    lost: Shares
    over: float

    def at(self, days: Floats) -> Floats:
        """The share lost on these days; nothing before it began."""
        since = np.maximum(days - self.onset, 0.0)
        share: Floats = np.where(days >= self.onset, self.lost(since), 0.0)
        return share


def grown(rng: Rng) -> Course:
    """A grown animal that is well: its wave through the year and its condition between knots.

    Full weights as of 51,622 pets: median 1.05 kg, quartiles 0.90 and 1.19 kg (O'Neill and
    others, PLOS ONE 2024).
    """
    full = 1050 * np.exp(rng.normal(0, 0.19))
    wave, phase = rng.uniform(0, WAVE), rng.uniform(0, YEAR)
    knots = np.cumsum(np.concatenate([[-60.0], rng.uniform(*KNOTS, 30)]))
    condition = rng.normal(0, CONDITION, knots.size)

    def grams(days: Floats) -> Floats:
        year = wave * np.sin(2 * np.pi * (days + phase) / YEAR)
        return np.asarray(full * (1 + year + np.interp(days, knots, condition)))

    return Course(grams, lambda days: np.full(days.shape, full), varies=True)


def varying(days: Floats) -> Floats:
    """How the waves and conditions of grown animals hang together, as a covariance of shares.

    Between knots iid values are joined by straight lines: a hat about each knot, whose
    covariance is a cubic spline.
    """
    apart = np.abs(days[:, None] - days)
    wave = WAVE**2 / 6 * np.cos(2 * np.pi * apart / YEAR)
    knots = apart / np.mean(KNOTS)
    near, far = 2 / 3 - knots**2 + knots**3 / 2, np.maximum(2 - knots, 0.0) ** 3 / 6
    covariance: Floats = wave + CONDITION**2 * np.where(knots < 1, near, far)
    return covariance


def young(rng: Rng, age: float) -> Course:
    """A young one of so many days; its full weight and its pace are its own."""
    full = 1000 * np.exp(rng.normal(0, 0.15))
    pace = 0.019 * np.exp(rng.normal(0, 0.10))
    start = -np.log(AT_BIRTH)

    def grams(days: Floats) -> Floats:
        return np.asarray(full * np.exp(-start * np.exp(-pace * (days + age))))

    return Course(grams, grams, varies=False)


def dipping(rng: Rng, course: Course, arrived: float) -> Course:
    """A newcomer that eats little at first: 2 to 7 % down by about the fourth day, then back."""
    deep, back = rng.uniform(0.02, 0.07), rng.uniform(8, 20)

    def factor(days: Floats) -> Floats:
        since = np.maximum(days - arrived, 0.0)
        down = np.minimum(since / 4, 1.0) * np.exp(-np.maximum(since - 4, 0.0) / back)
        return np.asarray(1 - deep * down)

    return course.times(factor)


def filling_out(rng: Rng, course: Course, arrived: float) -> Course:
    """A newcomer that came thin: 8 to 18 % below, and filled out within two or three months."""
    thin, over = rng.uniform(0.08, 0.18), rng.uniform(15, 30)

    def factor(days: Floats) -> Floats:
        since = np.maximum(days - arrived, 0.0)
        return np.asarray(1 - thin * np.exp(-since / over))

    return course.times(factor)


def carrying(rng: Rng, course: Course, conceived: float) -> Course:
    """A sow with young: 35 to 80 % heavier by term, most of it late; a little of it stays a while.

    A sow may double her weight by term (Vetpedia 840).
    """
    gained, bend = rng.uniform(0.35, 0.80), rng.uniform(1.7, 2.3)
    born = conceived + TERM

    def factor(days: Floats) -> Floats:
        share = np.clip((days - conceived) / TERM, 0.0, 1.0) ** bend
        after = np.exp(-np.maximum(days - born, 0.0) / 14)
        return np.asarray(1 + np.where(days < born, gained * share, 0.04 * after))

    return course.times(factor)


def losing_slowly(rng: Rng, onset: float) -> Illness:
    """1 to 3 % of its weight a week, in even steps, until it has lost 15 to 25 %."""
    week, most = rng.uniform(0.01, 0.03), rng.uniform(0.15, 0.25)
    over = most / week * WEEK
    return Illness(onset, lambda since: np.minimum(week * since / WEEK, most), float(over))


def losing_fast(rng: Rng, onset: float) -> Illness:
    """5 to 10 % within 3 to 7 days, held for a week or two, then slowly back."""
    most, fall = rng.uniform(0.05, 0.10), rng.uniform(3, 7)
    held = rng.uniform(7, 14)

    def lost(since: Floats) -> Floats:
        back = np.maximum(since - fall - held, 0.0) / 20
        return np.asarray(most * np.minimum(since / fall, 1.0) * np.maximum(1 - back, 0.0))

    return Illness(onset, lost, 21.0)


def filling_with_fluid(rng: Rng, onset: float) -> Illness:
    """Gains 1 to 2 % a week for two to four months."""
    week, over = rng.uniform(0.01, 0.02), rng.uniform(60, 120)
    return Illness(onset, lambda since: -np.minimum(since, over) * week / WEEK, over)


def growing_no_more(rng: Rng, onset: float, course: Course) -> Illness:
    """A young one that keeps the weight it had, or adds a fifth of what it should, for weeks."""
    adds, over = rng.uniform(0.0, 0.2), rng.uniform(35, 50)
    had = float(course.true(np.array([onset]))[0])

    def lost(since: Floats) -> Floats:
        should = course.true(onset + since)
        return np.asarray(1 - (had + adds * (should - had)) / should)

    return Illness(onset, lost, over)


def failing(rng: Rng, onset: float, course: Course) -> Illness:
    """A sow with young that gains no more, and after two to six days loses 1 to 2 % a day."""
    waits, day = rng.uniform(2, 6), rng.uniform(0.01, 0.02)
    had = float(course.true(np.array([onset]))[0])

    def lost(since: Floats) -> Floats:
        has = had * (1 - np.minimum(day * np.maximum(since - waits, 0.0), 0.25))
        return np.asarray(1 - has / course.true(onset + since))

    return Illness(onset, lost, 21.0)
