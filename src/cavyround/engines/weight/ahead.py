"""What is expected of animals some days on: of the true weight, and of the next weighing."""

from dataclasses import dataclass

import numpy as np

from cavyround.engines.weight import bank as banks
from cavyround.engines.weight import growth
from cavyround.engines.weight.bank import Bank
from cavyround.engines.weight.concern import Spread, level_of, normal_of
from cavyround.engines.weight.numbers import Flags, Floats, Numbers
from cavyround.engines.weight.running import Known

# No weighing is believed further out than this, as a logarithm: a quarter to four times.
WIDEST = 1.4
# Halving so often finds the edge to a gram in a kilogram.
HALVINGS = 11


@dataclass(frozen=True, slots=True)
class Coming:
    """Logarithms of true weight, own normal and the next weighing, and where that is believed."""

    level: Spread
    normal: Spread
    weighing: Spread
    believed: tuple[Floats, Floats]


def after(
    known: Known, numbers: Numbers, days: Floats, pregnant: Flags, *, may_change: bool
) -> Bank:
    """The bank ``days`` after the last weighing of each animal.

    Without ``may_change`` it is what is expected if nothing changes: no new course is
    begun. With it, what another weighing may show.
    """
    unrest = np.where(pregnant, numbers["pregnancy_leaves_factor"], 1.0) * may_change
    mixed = banks.mixed(known.bank, numbers, days, unrest)
    rise, tells = growth.gain(mixed.reached, known.full, numbers["growth_per_day"], days)
    grows = ~(known.grown | pregnant)
    rise, tells = np.where(grows, rise, 0.0), np.where(grows, tells, 0.0)
    unsure = growth.unsure((mixed.reached, known.full), known.full_var, rise, tells, numbers)
    carried = np.where(pregnant, numbers.share("pregnancy_gain_pct_day") * days, 0.0)
    return banks.moved(mixed, numbers, days, rise + carried, unsure)


def coming(known: Known, numbers: Numbers, days: Floats, pregnant: Flags) -> Coming:
    """What is expected ``days`` after the last weighing of each animal."""
    unchanged = after(known, numbers, days, pregnant, may_change=False)
    bank = after(known, numbers, days, pregnant, may_change=True)
    expected = banks.foretold(bank, known.noise)
    return Coming(
        level=level_of(unchanged),
        normal=normal_of(unchanged),
        weighing=Spread(expected.mean, expected.spread),
        believed=believed(bank, known.noise, numbers),
    )


def level_after(known: Known, numbers: Numbers, days: Floats, pregnant: Flags) -> Spread:
    """The logarithm of true weight some days after the last weighing."""
    return level_of(after(known, numbers, days, pregnant, may_change=False))


def believed(bank: Bank, noise: Floats, numbers: Numbers) -> tuple[Floats, Floats]:
    """From where to where a weighing is rather true than a slip, as logarithms of grams."""
    return _edge(bank, noise, numbers, -WIDEST), _edge(bank, noise, numbers, WIDEST)


def _edge(bank: Bank, noise: Floats, numbers: Numbers, farthest: float) -> Floats:
    """How far out on one side a weighing is still believed, found by halving."""
    centre, variance = bank.mean, bank.vll + noise
    scale = bank.weight / np.sqrt(2 * np.pi * variance)
    slip = numbers["slip_share"] / numbers["slip_span"]
    # A slip is as likely as `doubt_from` where true weights are this dense.
    bound = slip * (1 - numbers["doubt_from"]) / numbers["doubt_from"]
    inside, outside = np.zeros(centre.shape), np.full(centre.shape, farthest)
    for _ in range(HALVINGS):
        middle = (inside + outside) / 2
        off = middle + (centre - bank.level)
        true = (scale * np.exp(-0.5 * off**2 / variance)).sum(0) > bound
        inside, outside = np.where(true, middle, inside), np.where(true, outside, middle)
    edge: Floats = centre + inside
    return edge
