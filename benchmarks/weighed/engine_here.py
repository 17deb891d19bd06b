"""The engine on invented animals: its number for every weighing, and which it doubted."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from benchmarks.weighed.judging import Scored
from benchmarks.weighed.world import Lived
from cavyround.engines.weight import read_days
from cavyround.engines.weight.said import WeighIn
from cavyround.knowledge.book import Knowledge

# A misreading this far off counts as gross.
GROSS = 0.10
AT_ONCE = 500


@dataclass(frozen=True)
class Read:
    """One animal as the engine read it; ``said`` marks weighings at which it gave an alarm."""

    scored: Scored
    doubted: NDArray[np.bool_]
    said: NDArray[np.bool_]


def read(several: Sequence[Lived], book: Knowledge) -> list[Read]:
    """What the engine says of each weighing on its day. It has learned nothing from a herd."""
    found = []
    for start in range(0, len(several), AT_ONCE):
        part = several[start : start + AT_ONCE]
        days = read_days([one.facts for one in part], book=book)
        found += [_read(lived, said) for lived, (_, said) in zip(part, days, strict=True)]
    return found


def _read(lived: Lived, weighings: Sequence[WeighIn]) -> Read:
    doubted = np.array([one.doubt is not None for one in weighings])
    score = np.array([one.alarm.score for one in weighings])
    said = np.array([one.alarm.kind is not None for one in weighings]) & ~doubted
    return Read(Scored(lived, np.where(doubted, -np.inf, score)), doubted, said)


def own_alarms(several: Sequence[Read]) -> list[Scored]:
    """The alarms it gives by itself, as a number that is 1 where there is one."""
    return [Scored(one.scored.lived, one.said.astype(float)) for one in several]


@dataclass(frozen=True)
class Doubts:
    """Shares of weighings that were asked for again; ``gross`` of those misread by a tenth."""

    gross: float
    how_many_gross: int
    small: float
    good: float
    how_many_good: int

    @classmethod
    def of(cls, several: Sequence[Read]) -> "Doubts":
        """Over all weighings."""
        doubted = np.concatenate([one.doubted for one in several])
        lived = [one.scored.lived for one in several]
        slipped = np.concatenate([one.slipped for one in lived])
        off = np.concatenate([one.grams / (one.well_g * (1 - one.lost)) - 1 for one in lived])
        gross, small = slipped & (np.abs(off) >= GROSS), slipped & (np.abs(off) < GROSS)
        return cls(
            gross=float(doubted[gross].mean()),
            how_many_gross=int(gross.sum()),
            small=float(doubted[small].mean()),
            good=float(doubted[~slipped].mean()),
            how_many_good=int((~slipped).sum()),
        )
