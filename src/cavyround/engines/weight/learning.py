"""Learn a herd's noise, drift and growth from its own weighings, shrunk towards the start."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from cavyround.engines.weight.columns import Columns
from cavyround.engines.weight.herd import Herd
from cavyround.engines.weight.numbers import HUNDRED, Flags, Floats, HerdNorms, Numbers
from cavyround.engines.weight.running import Known, Step
from cavyround.facts.animal import AnimalFacts
from cavyround.knowledge.book import Knowledge

# Pairs of weighings this far apart tell how true weight wanders: far enough to show, near enough
# that little else has happened.
APART_DAYS = (20.0, 70.0)
STEADY = 0.8
# Sound weighings: hardly a slip, and no further off than so many standard deviations.
SLIP_BELOW, FAR = 0.05, 3.0
# Growth is read over at least so many days: over fewer, scatter is larger than growth.
GROWTH_DAYS = 3
# The middle of absolute values of a normal spread, as a share of its standard deviation.
MIDDLE = 0.6745
# No herd is believed to wander or grow this many times more or less than the start.
BELIEVED = 3.0


def learn(herd: Sequence[AnimalFacts], *, book: Knowledge) -> HerdNorms:
    """What the herd teaches; a herd with few weighings teaches little."""
    held = Herd.of(herd, book, None)
    steps = list(held.steps())
    if not steps:
        return HerdNorms()
    known = steps[-1].known
    return HerdNorms(
        noise_pct=_noise(known, held.numbers),
        wander_pct=_wander(held.columns, steps, held.numbers),
        growth_per_day=_growth(steps, held.numbers),
        weighings=int(known.count.sum()),
    )


def _noise(known: Known, numbers: Numbers) -> float:
    """One weighing's scatter, in per cent: each animal's own, counted by its weighings."""
    counts = np.maximum(known.noise_from - numbers["noise_counts_for"], 0.0)
    start = numbers["herd_counts_for"]
    variance = start * numbers.share("noise_pct") ** 2 + (counts * known.noise).sum()
    return float(np.sqrt(variance / (start + counts.sum())) * HUNDRED)


def _wander(columns: Columns, steps: Sequence[Step], numbers: Numbers) -> float:
    """Drift per square root of a day: what is left of steady changes when noise is taken off."""
    found, days = [], []
    logs = np.log(columns.grams)
    quiet = np.array([_quiet(step) for step in steps])
    for later in range(1, len(steps)):
        for earlier in range(max(0, later - 8), later):
            gap = columns.day[later] - columns.day[earlier]
            use = quiet[later] & quiet[earlier] & (gap >= APART_DAYS[0]) & (gap <= APART_DAYS[1])
            found.append((logs[later] - logs[earlier])[use] ** 2 - 2 * steps[later].noise[use])
            days.append(gap[use])
    left, over = np.concatenate(found or [[]]), np.concatenate(days or [[]])
    start = numbers.share("wander_pct") ** 2
    own = left.sum() / over.sum() if over.size else start
    own = float(np.clip(own, start / BELIEVED**2, start * BELIEVED**2))
    # Pairs overlap: they count for far less than their number.
    counts, held = over.size / 8, numbers["herd_counts_for"]
    return float(np.sqrt((held * start + counts * own) / (held + counts)) * HUNDRED)


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


def _growth(steps: Sequence[Step], numbers: Numbers) -> float:
    """The rate of growth, from how far the young rose beside what was expected of them."""
    ratios: list[Floats] = []
    for before, step in pairwise(steps):
        expected = step.known.per_day
        days = step.known.day - before.known.day
        young = (
            step.there
            & ~step.known.grown
            & (expected > numbers.share("growing_from_pct_day"))
            & (step.known.bank.weight[0] > STEADY)
            & (days >= GROWTH_DAYS)
        )
        rise = step.known.bank.mean - before.known.bank.mean
        ratios.append(rise[young] / (expected * days)[young])
    seen = np.concatenate(ratios or [np.array([])])
    held = numbers["herd_counts_for"]
    middle = float(np.clip(np.median(seen), 1 / BELIEVED, BELIEVED)) if seen.size else 1.0
    return numbers["growth_per_day"] * (held + seen.size * middle) / (held + seen.size)
