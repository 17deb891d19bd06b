"""A bank of courses an animal's weight may be on, each with its own Kalman filter.

The state of a course is the logarithm of the true weight and of the animal's own
normal. Between weighings an animal may leave its course; at a weighing each course
is weighed by how well it foretold it, and a slip by how well it explains it. This is
the interacting multiple model filter (Blom and Bar-Shalom 1988), with jumps only
between the steady course and the others. The equations are in docs/weight.md.

All arrays have a row for each course and a column for each animal.
"""

from dataclasses import dataclass, fields, replace

import numpy as np

from cavyround.engines.weight.numbers import Flags, Floats, Numbers

TINY = 1e-300


@dataclass(frozen=True, slots=True)
class Bank:
    """What is believed of each animal on each course.

    ``weight`` is the probability of the course; ``level`` and ``normal`` the means of
    the logarithms of true weight and own normal; ``vll``, ``vln`` and ``vnn`` their
    variances and covariance.
    """

    weight: Floats
    level: Floats
    normal: Floats
    vll: Floats
    vln: Floats
    vnn: Floats

    @property
    def mean(self) -> Floats:
        """The mean logarithm of the true weight over all courses."""
        mean: Floats = (self.weight * self.level).sum(0)
        return mean

    @property
    def reached(self) -> Floats:
        """How far an animal has grown: what it lost since does not make it younger."""
        reached: Floats = np.maximum(self.mean, (self.weight * self.normal).sum(0))
        return reached

    def where(self, these: Flags, other: "Bank") -> "Bank":
        """This bank for the animals marked, ``other`` for the rest."""
        if these.all():
            return self
        if not these.any():
            return other
        names = (field.name for field in fields(self))
        return Bank(*(np.where(these, getattr(self, a), getattr(other, a)) for a in names))


def begun(numbers: Numbers, mean: Floats, variance: Floats) -> Bank:
    """Before the first weighing: level and normal are the same, and mostly steady."""
    courses, animals = len(numbers.codes), mean.shape[0]
    start = np.vstack([np.full((1, 1), 0.9), 0.1 * numbers.shares])
    wide = np.broadcast_to
    shape = (courses, animals)
    return Bank(
        weight=np.ascontiguousarray(wide(start, shape)),
        level=np.ascontiguousarray(wide(mean, shape)),
        normal=np.ascontiguousarray(wide(mean, shape)),
        vll=np.ascontiguousarray(wide(variance, shape)),
        vln=np.ascontiguousarray(wide(variance, shape)),
        vnn=np.ascontiguousarray(wide(variance, shape)),
    )


def mixed(bank: Bank, numbers: Numbers, days: Floats, unrest: Floats) -> Bank:
    """After ``days`` in which an animal may have left its course or come back to it.

    ``unrest`` is how many times as readily it leaves.
    """
    stay = np.exp(-days * unrest / numbers["leaves_steady_days"])
    back = 1 - np.exp(-days / numbers["back_to_steady_days"])
    steady, others = bank.weight[:1], bank.weight[1:]
    returned = others * back
    joined = numbers.shares * steady * (1 - stay)
    to_steady = np.concatenate([steady * stay, returned])
    total = np.maximum(to_steady.sum(0), TINY)
    share = to_steady / total
    level0, normal0 = (share * bank.level).sum(0), (share * bank.normal).sum(0)
    dl, dn = bank.level - level0, bank.normal - normal0
    kept = others - returned + joined
    new = joined / np.maximum(kept, TINY)
    away_l, away_n, spread = (
        bank.level[0] - bank.level[1:],
        bank.normal[0] - bank.normal[1:],
        new * (1 - new),
    )

    def merged(steady_part: Floats, own: Floats, apart: Floats) -> Floats:
        whole = np.empty_like(own)
        whole[0] = steady_part
        whole[1:] = own[1:] + new * (own[0] - own[1:]) + spread * apart
        return whole

    return Bank(
        weight=np.vstack([total[None], kept]),
        level=np.vstack([level0[None], bank.level[1:] + new * away_l]),
        normal=np.vstack([normal0[None], bank.normal[1:] + new * away_n]),
        vll=merged((share * (bank.vll + dl * dl)).sum(0), bank.vll, away_l * away_l),
        vln=merged((share * (bank.vln + dl * dn)).sum(0), bank.vln, away_l * away_n),
        vnn=merged((share * (bank.vnn + dn * dn)).sum(0), bank.vnn, away_n * away_n),
    )


def moved(bank: Bank, numbers: Numbers, days: Floats, growth: Floats, shaken: Floats) -> Bank:
    """Level and normal ``days`` later, each course at its own rate.

    ``growth`` is the rise expected of a healthy animal in that time; ``shaken`` a
    further variance from events that move level and normal alike.
    """
    own = 1 - np.exp(-days / numbers["normal_days"])
    follows = (
        np.where(np.arange(len(numbers.codes))[:, None] == 0, 1.0, numbers["normal_follows_change"])
        * own
    )
    keeps = 1 - follows
    slope = numbers.rates * days
    grown = numbers.grows * growth
    noise = (
        numbers.share("wander_pct") ** 2 * days
        + (numbers["slope_spread"] * slope) ** 2 / 3
        + (numbers["growth_spread"] * grown) ** 2
    )
    vln = follows * bank.vll + keeps * bank.vln
    vnn = follows**2 * bank.vll + 2 * follows * keeps * bank.vln + keeps**2 * bank.vnn
    return Bank(
        weight=bank.weight,
        level=bank.level + grown + slope,
        normal=bank.normal + follows * (bank.level - bank.normal) + growth,
        vll=bank.vll + noise + shaken,
        vln=vln + shaken,
        vnn=vnn + shaken,
    )


@dataclass(frozen=True, slots=True)
class Foretold:
    """What the next weighing should show: mean and standard deviation of its logarithm."""

    mean: Floats
    spread: Floats


def foretold(bank: Bank, noise: Floats) -> Foretold:
    """The weighing to come, over all courses; ``noise`` is the variance of one weighing."""
    mean = bank.mean
    variance = (bank.weight * (bank.vll + noise + (bank.level - mean) ** 2)).sum(0)
    return Foretold(mean, np.sqrt(variance))


@dataclass(frozen=True, slots=True)
class Explained:
    """How a weighing is best explained, as probabilities that make one together.

    ``sound`` that it is on one of the courses, ``slipped`` that it shows something else
    than the animal's weight, ``jumped`` that the weight truly is there, however it came;
    ``share`` is each course's part where it is sound.
    """

    sound: Floats
    slipped: Floats
    jumped: Floats
    share: Floats


def observed(
    bank: Bank, log_grams: Floats, noise: Floats, slip: Floats, jump: Floats
) -> tuple[Bank, Explained]:
    """The bank after a weighing, and how that was explained.

    ``slip`` and ``jump`` are the densities of a slip and of a jump at this weight. A
    likely slip moves little; a jump takes the level to what was read and leaves the
    course and own normal as they were.
    """
    variance = bank.vll + noise
    off = log_grams - bank.level
    fits = np.exp(-0.5 * off**2 / variance) / np.sqrt(2 * np.pi * variance)
    on_course = (bank.weight * fits).sum(0)
    total = np.maximum(on_course + slip + jump, TINY)
    said = Explained(
        sound=on_course / total,
        slipped=slip / total,
        jumped=jump / total,
        share=bank.weight * fits / np.maximum(on_course, TINY),
    )
    good = said.sound * said.share
    weight = good + (said.slipped + said.jumped) * bank.weight
    believed = good / np.maximum(weight, TINY)
    leapt = said.jumped * bank.weight / np.maximum(weight, TINY)
    gain_l, gain_n = bank.vll / variance, bank.vln / variance
    moves_l, moves_n = believed * gain_l + leapt, believed * gain_n
    square = off**2
    after = Bank(
        weight=weight,
        level=bank.level + moves_l * off,
        normal=bank.normal + moves_n * off,
        vll=(1 - moves_l) * bank.vll
        + leapt * noise
        + (believed * gain_l**2 + leapt - moves_l**2) * square,
        vln=(1 - moves_l) * bank.vln + (believed * gain_l - moves_l * believed) * gain_n * square,
        vnn=bank.vnn - moves_n * bank.vln + believed * (1 - believed) * gain_n**2 * square,
    )
    return after, said


def begun_anew(bank: Bank) -> Bank:
    """The bank with own normal where true weight is now, as after a birth."""
    return replace(bank, normal=bank.level, vln=bank.vll, vnn=bank.vll)
