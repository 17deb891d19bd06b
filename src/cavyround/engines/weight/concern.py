"""From what is believed of each animal to probabilities, trends and one figure of concern."""

from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from cavyround.engines.weight.bank import Bank
from cavyround.engines.weight.columns import Columns
from cavyround.engines.weight.numbers import Flags, Floats, Numbers
from cavyround.engines.weight.running import Known

KINDS = ("loss", "growth", "pregnancy", "gain")
NEVER = -99.0
LEAST = 1e-9
SURE_BOUND = 1e-7


@dataclass(frozen=True, slots=True)
class Concern:
    """For each animal the log odds above where an alarm begins, and of which of ``KINDS``.

    ``carrying`` marks sows that gain as pregnant ones do and are not known to be. That is
    said, but it is no worry: the score does not rise with it.
    """

    score: Floats
    kind: NDArray[np.intp]
    carrying: Flags


def p_lost(bank: Bank, pct: float) -> Floats:
    """The probability that true weight lies more than ``pct`` per cent below own normal."""
    behind = bank.level - bank.normal
    spread = np.sqrt(np.maximum(bank.vll - 2 * bank.vln + bank.vnn, LEAST))
    found: Floats = (bank.weight * ndtr((np.log1p(-pct / 100) - behind) / spread)).sum(0)
    return np.minimum(found, 1.0)  # weights make one but for rounding


def p_above(bank: Bank, courses: Flags, share: float) -> Floats:
    """The probability of being on one of some courses and more than a share above own normal."""
    above = bank.level - bank.normal
    spread = np.sqrt(np.maximum(bank.vll - 2 * bank.vln + bank.vnn, LEAST))
    there = bank.weight * ndtr((above - share) / spread)
    found: Floats = there[courses].sum(0)
    return found


def p_below(bank: Bank, courses: Flags) -> Floats:
    """The probability of being on one of some courses and below own normal."""
    off = bank.normal - bank.level
    spread = np.sqrt(np.maximum(bank.vll - 2 * bank.vln + bank.vnn, LEAST))
    found: Floats = (bank.weight * ndtr(off / spread))[courses].sum(0)
    return found


def log_odds(probability: Floats) -> Floats:
    """Log odds, kept finite."""
    kept = np.clip(probability, SURE_BOUND, 1 - SURE_BOUND)
    found: Floats = np.log(kept / (1 - kept))
    return found


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What is known to be going on with each animal as it is weighed."""

    pregnant: Flags
    may_carry: Flags
    since_birth: Floats
    since_arrival: Floats

    @classmethod
    def of(cls, columns: Columns, row: int) -> "Circumstances":
        """At one row of weighings."""
        return cls(
            columns.pregnant[row],
            columns.may_carry,
            columns.since_birth[row],
            columns.since_arrival[row],
        )


def concern(known: Known, around: Circumstances, numbers: Numbers) -> Concern:
    """How much there is to worry about after a weighing.

    A kind that cannot be, such as stalled growth of a grown animal, is never the one.
    """
    bank = known.bank
    fall = p_below(bank, numbers.falls)
    stall = bank.weight[numbers.stalls].sum(0)
    carrying = around.pregnant
    settling = around.since_birth <= numbers["birth_settles_days"]
    growing = (known.per_day > numbers.share("growing_from_pct_day")) & ~known.grown
    unexplained = growing | carrying | (around.since_arrival < numbers["gain_settled_days"])
    gained, as_pregnant = _gained(bank, around, numbers)
    loss = log_odds(fall) - numbers["alarm_loss"]
    growth = log_odds(fall + stall) - numbers["alarm_growth"]
    pregnancy = log_odds(fall + stall) - numbers["alarm_pregnancy"]
    gain = log_odds(gained) - numbers["alarm_gain"]
    behind = partial(_behind, bank, numbers)
    # What a young animal is behind it may never have had; after a birth only a large loss is one.
    far = behind("most_lost_loss_pct")
    lost = np.select([known.grown, growing], [behind("least_lost_loss_pct"), NEVER], far)
    scores = np.stack(
        [
            np.select([carrying, settling], [NEVER, far], np.maximum(loss, lost)),
            np.where(
                growing & ~carrying, np.maximum(growth, behind("least_lost_growth_pct")), NEVER
            ),
            np.where(carrying, np.maximum(pregnancy, behind("least_lost_pregnancy_pct")), NEVER),
            np.where(unexplained, NEVER, gain),
        ]
    )
    score, said = scores.max(0), log_odds(as_pregnant) >= numbers["alarm_gain"]
    carries = said & ~(growing | carrying) & (score < 0)
    return Concern(score, scores.argmax(0), carries)


def _gained(bank: Bank, around: Circumstances, numbers: Numbers) -> tuple[Floats, Floats]:
    """The probability of a steady gain, and of one as a pregnant sow's.

    A sow that gains as fast as pregnant ones do may well be one of them. So fast a gain
    says nothing else of her, and what gains more slowly is looked for as in all others.
    """
    least = numbers.share("gain_at_least_pct")
    fast = numbers.gains & (numbers.rates[:, 0] >= numbers.share("pregnancy_gain_pct_day"))
    every = p_above(bank, numbers.gains, least)
    slow = p_above(bank, numbers.gains & ~fast, least)
    nobody = np.zeros(every.shape)
    return np.where(around.may_carry, slow, every), np.where(around.may_carry, every, nobody)


def _behind(bank: Bank, numbers: Numbers, pct: str) -> Floats:
    """Concern for what has very likely been lost, whether or not it still falls."""
    odds = log_odds(p_lost(bank, numbers[pct]))
    return odds - float(log_odds(np.asarray(numbers["likely_from"])))


@dataclass(frozen=True, slots=True)
class Spread:
    """A mean and standard deviation for each animal."""

    mean: Floats
    spread: Floats


def level_of(bank: Bank) -> Spread:
    """The logarithm of true weight."""
    return _over_courses(bank, bank.level, bank.vll)


def normal_of(bank: Bank) -> Spread:
    """The logarithm of own normal."""
    return _over_courses(bank, bank.normal, bank.vnn)


def rate_of(bank: Bank, numbers: Numbers, per_day: Floats) -> Spread:
    """The rate of change, a natural logarithm a day; ``per_day`` is the growth expected."""
    rate = numbers.rates + numbers.grows * per_day
    within = (numbers["slope_spread"] * numbers.rates) ** 2 + (
        numbers["growth_spread"] * numbers.grows * per_day
    ) ** 2
    return _over_courses(bank, np.broadcast_to(rate, bank.level.shape), within)


def _over_courses(bank: Bank, value: Floats, variance: Floats) -> Spread:
    mean = (bank.weight * value).sum(0)
    spread = np.sqrt((bank.weight * (variance + (value - mean) ** 2)).sum(0))
    return Spread(mean, spread)


def inner(probability: float) -> float:
    """How many standard deviations either side hold a probability of a normal spread."""
    return float(ndtri(0.5 + probability / 2))
