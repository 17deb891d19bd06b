"""Learn a herd's noise, drift and growth from its own weighings, shrunk towards the start."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from cavyround.engines.weight.columns import Columns
from cavyround.engines.weight.herd import Herd
from cavyround.engines.weight.numbers import HUNDRED, Flags, Floats, HerdNorms, Numbers
from cavyround.engines.weight.running import Step
from cavyround.facts.animal import AnimalFacts
from cavyround.knowledge.book import Knowledge

# A weighing is held against those before and after it if they lie this far from it: two of one
# day share a full gut, and over longer much else happens.
BESIDE_DAYS = (0.9, 22.0)
# Pairs of weighings this far apart tell how true weight wanders: far enough to show, near enough
# that little else has happened.
APART_DAYS = (20.0, 70.0)
# Each weighing is paired with so many before it.
PAIRS = 8
STEADY = 0.5
# Sound weighings: hardly a slip, and no further off than so many standard deviations.
SLIP_BELOW, FAR = 0.05, 3.0
# An animal tells of growth once so much was expected of it (a logarithm): less is lost in scatter.
TELLS = 0.1
# The middle of absolute values of a normal spread, as a share of its standard deviation.
MIDDLE = 0.6745
# Growth tells of its rate while at least this share of the rate is seen; nearer full weight it
# tells of the full weight.
EARLY = 1 / 3
# No herd is believed to wander or grow this many times more or less than the start.
BELIEVED = 3.0
# Growth is learned so often anew: what is learned changes what was expected.
ROUNDS = 3


def learn(herd: Sequence[AnimalFacts], *, book: Knowledge) -> HerdNorms:
    """What the herd teaches; a herd with few weighings teaches little."""
    held = Herd.of(herd, book, None)
    weighings = int((np.isfinite(held.columns.grams) & ~held.columns.left_out).sum())
    if not weighings:
        return HerdNorms()
    norms = HerdNorms(noise_pct=_noise(held.columns, held.numbers), weighings=weighings)
    for _ in range(ROUNDS):
        again = Herd.of(herd, book, norms)
        steps = list(again.steps())
        norms = HerdNorms(
            noise_pct=norms.noise_pct,
            wander_pct=_wander(again.columns, steps, again.numbers, held.numbers),
            growth_per_day=_growth(again.columns, steps, again.numbers, held.numbers),
            weighings=weighings,
        )
    return norms


def _noise(columns: Columns, start: Numbers) -> float:
    """One weighing's scatter, in per cent: how far each lies off the line through its neighbours.

    A steady rise or fall does not count, and of many the middle is taken, so that neither
    illness nor slips do.
    """
    logs, day = np.log(columns.grams), columns.day
    before, after = day[1:-1] - day[:-2], day[2:] - day[1:-1]
    least, most = BESIDE_DAYS
    quiet = ~(columns.left_out | columns.bore | columns.pregnant)
    use = quiet[:-2] & quiet[1:-1] & quiet[2:]
    for gap in (before, after):
        use &= (gap >= least) & (gap <= most)
    share = before[use] / (before + after)[use]
    line = (1 - share) * logs[:-2][use] + share * logs[2:][use]
    off = np.abs(logs[1:-1][use] - line) / np.sqrt(1 + share**2 + (1 - share) ** 2)
    own = float(np.median(off)) / MIDDLE if off.size else start.share("noise_pct")
    # Each weighing stands in three lines, and a middle tells less than a mean.
    variance = _between(start.share("noise_pct") ** 2, own**2, off.size / 3, start)
    least, most = start["noise_least_pct"], start["noise_most_pct"]
    return float(np.clip(np.sqrt(variance) * HUNDRED, least, most))


def _between(start: float, own: float, counts: float, numbers: Numbers) -> float:
    """What the herd shows, shrunk towards the start by how much each counts."""
    held = numbers["herd_counts_for"]
    return (held * start + counts * own) / (held + counts)


def _wander(columns: Columns, steps: Sequence[Step], numbers: Numbers, start: Numbers) -> float:
    """Drift per square root of a day: what is left of steady changes when noise is taken off."""
    found, days = [], []
    logs = np.log(columns.grams)
    noise = numbers.share("noise_pct") ** 2
    quiet = np.array([_quiet(step) for step in steps])
    for later in range(1, len(steps)):
        for earlier in range(max(0, later - PAIRS), later):
            gap = columns.day[later] - columns.day[earlier]
            use = quiet[later] & quiet[earlier] & (gap >= APART_DAYS[0]) & (gap <= APART_DAYS[1])
            found.append((logs[later] - logs[earlier])[use] ** 2 - 2 * noise)
            days.append(gap[use])
    left, over = np.concatenate(found or [[]]), np.concatenate(days or [[]])
    first = start.share("wander_pct") ** 2
    own = left.sum() / over.sum() if over.size else first
    own = float(np.clip(own, first / BELIEVED**2, first * BELIEVED**2))
    # A pair tells little where its drift is small beside its noise, and pairs overlap.
    tells = (first * over / (2 * noise + first * over)) ** 2
    return float(np.sqrt(_between(first, own, tells.sum() / PAIRS, start)) * HUNDRED)


def _quiet(step: Step) -> Flags:
    """Which animals are grown, steady and soundly weighed."""
    bank = step.known.bank
    quiet: Flags = (
        step.there
        & step.known.grown
        & (bank.weight[0] > STEADY)
        & (np.nan_to_num(step.slipped, nan=1.0) < SLIP_BELOW)
        & (np.abs(np.nan_to_num(step.off, nan=FAR)) < FAR)
    )
    return quiet


def _growth(columns: Columns, steps: Sequence[Step], numbers: Numbers, start: Numbers) -> float:
    """The rate of growth, from how far the young rose beside what was expected of them.

    Each animal counts by all its weighings together, and the middle animal is taken:
    some are ill, and then they are the fewer.
    """
    rose, expected = (np.zeros(columns.shape[1]) for _ in range(2))
    counted = np.zeros(columns.shape[1])
    logs = np.log(columns.grams)
    # A heavy animal of unknown age is grown, whatever was expected of it at first.
    surely = np.isfinite(columns.born) | (columns.grams[0] < numbers["grown_from_g"])
    for row, (before, step) in enumerate(pairwise(steps), start=1):
        days = step.known.day - before.known.day
        young = (
            step.there
            & surely
            & ~step.known.grown
            & (step.known.per_day > numbers["growth_per_day"] * EARLY)
            & (np.nan_to_num(step.slipped, nan=1.0) < SLIP_BELOW)
        )
        rose += np.where(young, logs[row] - logs[row - 1], 0.0)
        expected += np.where(young, step.known.per_day * days, 0.0)
        counted += young
    told = expected > TELLS
    ratios: Floats = rose[told] / expected[told]
    ratio = float(np.median(ratios)) if ratios.size else 1.0
    own = numbers["growth_per_day"] * ratio
    first = start["growth_per_day"]
    own = float(np.clip(own, first / BELIEVED, first * BELIEVED))
    return _between(first, own, float(counted.sum()), start)
