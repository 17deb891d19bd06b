"""The detector that nothing real can be: it knows the true figures of every animal.

It knows what the animal weighs when well (full weight, pace of growth, its dip, its pregnancy),
how its weighings scatter and hang together, which were misread, and the course an illness takes.
It does not know chance: how condition and season happen to fall, and whether and when the illness
begins. It asks of every day whether it began then, and adds up the likelihood ratios (Shiryaev
1963, Roberts 1966). Of a healthy animal it is asked about an illness drawn as an ill one's is.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from benchmarks.weighed import lives
from benchmarks.weighed.lives import Course, Floats, Illness, Rng, varying
from benchmarks.weighed.readings import scatter_covariance
from benchmarks.weighed.world import Lived

# A whitened reading further out than this is a wriggle and counts as this far.
FAR = 4.0
NEVER = -1e9


@dataclass(frozen=True)
class Looked:
    """Which illness to look for, and in which healthy animals it may be at all."""

    draw: Callable[[Rng, Course], Illness]
    among: frozenset[str]


GROWN = frozenset({"healthy adult", "arrival dip", "filling out"})
LOOKED = {
    "slow loss": Looked(lambda rng, _: lives.losing_slowly(rng, 0.0), GROWN),
    "slow loss, irregular weighing": Looked(
        lambda rng, _: lives.losing_slowly(rng, 0.0), frozenset({"irregular weighing"})
    ),
    "fast loss": Looked(lambda rng, _: lives.losing_fast(rng, 0.0), GROWN),
    "stalled growth": Looked(
        lambda rng, course: lives.growing_no_more(rng, rng.uniform(14, 50), course),
        frozenset({"healthy young"}),
    ),
    "failing pregnancy": Looked(
        lambda rng, course: lives.failing(rng, 90.0, course), frozenset({"pregnant"})
    ),
    "fluid gain": Looked(lambda rng, _: lives.filling_with_fluid(rng, 0.0), GROWN),
}


def scores(lived: Lived, scenario: str, rng: Rng) -> Floats | None:
    """Its number for every weighing; None of a healthy animal that cannot have this."""
    looked = LOOKED[scenario]
    if lived.illness is None and lived.scenario not in looked.among:
        return None
    illness = lived.illness or looked.draw(rng, lived.course)
    found = np.full(lived.days.size, NEVER)
    good = ~lived.slipped
    found[good] = _ratios(lived.days[good], _off(lived, good), _spread(lived, good), illness)
    return found


def _off(lived: Lived, good: np.ndarray) -> Floats:
    off: Floats = lived.grams[good] / lived.course.told(lived.days[good]) - 1
    return off


def _spread(lived: Lived, good: np.ndarray) -> Floats:
    days = lived.days[good]
    scatter = scatter_covariance(days, lived.spread)
    return scatter + varying(days) if lived.course.varies else scatter


def _ratios(days: Floats, off: Floats, covariance: Floats, illness: Illness) -> Floats:
    """The logarithm of the sum of likelihood ratios over all days on which it may have begun."""
    whiten = np.linalg.inv(np.linalg.cholesky(covariance))
    read = np.clip(whiten @ off, -FAR, FAR)
    onsets = np.arange(0.0, days[-1] + 1)
    lost = illness.lost(np.maximum(days - onsets[:, None], 0.0)) * (days >= onsets[:, None])
    shape = whiten @ -lost.T
    so_far = np.cumsum(shape * read[:, None] - shape**2 / 2, axis=0)
    begun = onsets <= days[:, None]
    top = np.where(begun, so_far, -np.inf).max(1, keepdims=True)
    added = np.where(begun, np.exp(so_far - top), 0.0).sum(1)
    ratios: Floats = top[:, 0] + np.log(added)
    return ratios
