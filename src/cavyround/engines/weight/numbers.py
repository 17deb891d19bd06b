"""The numbers the weight engine reckons with, read from the knowledge into plain arrays."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.facts_of_trade import Span

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
HUNDRED = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HerdNorms:
    """What a rescue's own herd has taught: None where it has taught nothing yet.

    ``noise_pct`` and ``wander_pct`` as in the knowledge; ``growth_per_day`` the rate
    of growth of its young; ``weighings`` how many it rests on.
    """

    noise_pct: float | None = None
    wander_pct: float | None = None
    growth_per_day: float | None = None
    weighings: int = 0


@dataclass(frozen=True, eq=False)
class Numbers:
    """The model's numbers. Rates are natural logarithms a day, spreads natural logarithms.

    ``rates``, ``grows`` and ``shares`` have a row for each course, the steady one
    first; ``at`` holds every single number under its own name.
    """

    codes: tuple[str, ...]
    rates: Floats
    grows: Floats
    shares: Floats
    at: dict[str, float]

    def __getitem__(self, name: str) -> float:
        """A number by its name in the knowledge."""
        return self.at[name]

    def share(self, name: str) -> float:
        """A number given in per cent, as a share."""
        return self.at[name] / HUNDRED

    @property
    def falls(self) -> Flags:
        """Which courses lose."""
        return self.rates[:, 0] < 0

    @property
    def gains(self) -> Flags:
        """Which courses gain."""
        return self.rates[:, 0] > 0

    @property
    def stalls(self) -> Flags:
        """Which courses leave out the growth that is expected."""
        stalls: Flags = self.grows[:, 0] == 0
        return stalls


def numbers_of(book: Knowledge, herd: HerdNorms | None = None) -> Numbers:
    """The numbers of the knowledge, with what the herd has taught laid over them."""
    numbers = _of_book(book)
    if herd is None:
        return numbers
    learned = {
        "noise_pct": herd.noise_pct,
        "wander_pct": herd.wander_pct,
        "growth_per_day": herd.growth_per_day,
    }
    known = {name: value for name, value in learned.items() if value is not None}
    return replace(numbers, at=numbers.at | known)


def _of_book(book: Knowledge) -> Numbers:
    courses = book.weight_courses
    shares = np.array([float(one.share) for one in courses])
    return Numbers(
        codes=("steady", *(one.code for one in courses)),
        rates=np.array([0.0, *(float(one.per_day_pct) / HUNDRED for one in courses)])[:, None],
        grows=np.array([1.0, *(float(one.grows == "yes") for one in courses)])[:, None],
        shares=(shares / shares.sum())[:, None],
        at={
            name: float(one.value)
            for name, one in book.weight_model.items()
            if not isinstance(one.value, Span)
        }
        | _lost(book)
        | {
            "stranger_least_g": float(book.number("pup_very_light_g")),
            "stranger_most_g": float(book.span("plausible_g").high),
        },
    )


def _lost(book: Knowledge) -> dict[str, float]:
    """From how many per cent behind each kind of alarm has signs of its own, least and most."""
    lost: dict[str, list[float]] = {}
    for one in book.weight_signs:
        if one.lost_pct is not None:
            lost.setdefault(one.kind, []).append(float(one.lost_pct))
    return {f"least_lost_{kind}_pct": min(those) for kind, those in lost.items()} | {
        f"most_lost_{kind}_pct": max(those) for kind, those in lost.items()
    }
