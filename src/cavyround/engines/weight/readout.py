"""Read the numbers off the bank: one row of weighings, or what is believed now."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp, expm1

import numpy as np
from numpy.typing import NDArray

from cavyround.engines.weight.concern import (
    KINDS,
    Circumstances,
    Spread,
    concern,
    inner,
    level_of,
    normal_of,
    p_lost,
    rate_of,
)
from cavyround.engines.weight.numbers import Flags, Floats, Numbers
from cavyround.engines.weight.running import Known
from cavyround.engines.weight.said import Band, Expected, Kind

LOSSES = (3, 5, 10)
WEEK = 7.0
# Bands hold with this probability.
HELD = 0.95
SIDES = inner(HELD)


@dataclass(frozen=True, slots=True)
class Readout:
    """What is believed of each animal: spreads of logarithms, probabilities, concern."""

    level: Spread
    normal: Spread
    rate: Spread
    p_loss: Mapping[int, Floats]
    score: Floats
    kind: NDArray[np.intp]
    carrying: Flags
    count: Floats

    def now_g(self, column: int) -> Band:
        """The true weight in grams."""
        return grams_band(self.level, column)

    def normal_g(self, column: int) -> Band:
        """Its own normal in grams."""
        return grams_band(self.normal, column)

    def trend_pct(self, column: int) -> Band:
        """Per cent a week."""
        mean, wide = float(self.rate.mean[column]), SIDES * float(self.rate.spread[column])
        low, mid, high = (expm1(rate * WEEK) * 100 for rate in (mean - wide, mean, mean + wide))
        return Band(low, mid, high, "%/week")

    def trend_g(self, column: int) -> Band:
        """Grams a week, at the weight it has now."""
        weight, share = exp(self.level.mean[column]) / 100, self.trend_pct(column)
        return Band(share.low * weight, share.mid * weight, share.high * weight, "g/week")

    def losses(self, column: int) -> dict[int, float]:
        """Probabilities of having lost more than so many per cent."""
        return {pct: float(found[column]) for pct, found in self.p_loss.items()}

    def kind_of(self, column: int) -> Kind:
        """What there is most concern about."""
        return Kind(KINDS[int(self.kind[column])])


def readout(known: Known, around: Circumstances, numbers: Numbers) -> Readout:
    """All that can be read off at once, for every animal."""
    worry = concern(known, around, numbers)
    carried = np.where(around.pregnant, numbers.share("pregnancy_gain_pct_day"), 0.0)
    return Readout(
        level=level_of(known.bank),
        normal=normal_of(known.bank),
        rate=rate_of(known.bank, numbers, known.per_day + carried),
        p_loss={pct: p_lost(known.bank, pct) for pct in LOSSES},
        score=worry.score,
        kind=worry.kind,
        carrying=worry.carrying,
        count=known.count,
    )


def grams_band(spread: Spread, column: int) -> Band:
    """A logarithm with its spread as grams."""
    mean, wide = float(spread.mean[column]), SIDES * float(spread.spread[column])
    return Band(exp(mean - wide), exp(mean), exp(mean + wide))


def expected_band(
    weighing: Spread, edges: tuple[Floats, Floats], column: int, *, known: bool
) -> Expected:
    """What a weighing should show, and from where to where it is believed."""
    likely = grams_band(weighing, column)
    low, high = (exp(edge[column]) for edge in edges)
    return Expected(
        likely=likely,
        plausible=Band(min(low, likely.low), likely.mid, max(high, likely.high)),
        known=known,
    )
