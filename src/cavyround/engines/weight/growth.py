"""Logistic growth in logarithms: what a young animal should gain in a time.

``W(t) = A / (1 + b exp(-k t))`` with full weight A, rate k and b = A / W(0) - 1. A
published comparison of curves for guinea pigs preferred this one (Tapie and others).
"""

import numpy as np

from cavyround.engines.weight.numbers import Floats, Numbers

# No newborn is further below its full weight than this (a factor of 148).
FARTHEST = 5.0
# No growth is believed to vary more than this many times as much as along the curve.
WIDEST = 3.0


def gain(level: Floats, full: Floats, per_day: float, days: Floats) -> tuple[Floats, Floats]:
    """How far the logarithm of weight should rise in ``days``, and how the full weight tells.

    ``level`` and ``full`` are logarithms of grams. At or above its full weight an
    animal is expected to gain nothing. The second value is the derivative of the gain
    by ``full``: by how much what is seen teaches the full weight.
    """
    ratio = np.maximum(np.exp(np.minimum(full - level, FARTHEST)), 1.0)
    kept = np.exp(-per_day * days)
    left = 1 + (ratio - 1) * kept
    grown = np.log(ratio) - np.log(left)
    return grown, np.where(days > 0, 1 - ratio * kept / left, 0.0)


def share_grown(age_days: Floats, per_day: float, birth_ratio: float) -> Floats:
    """The share of its full weight an animal of an age has, by the curve."""
    share: Floats = 1 / (1 + birth_ratio * np.exp(-per_day * age_days))
    return share


def unsure(
    mass: tuple[Floats, Floats], full_var: Floats, rise: Floats, tells: Floats, numbers: Numbers
) -> Floats:
    """The variance of a rise that comes from what is not known of the curve.

    ``mass`` holds the logarithms of weight and full weight. How far an animal will grow is
    not known; and a pup lighter than the curve begins grows as no curve says.
    """
    level, full = mass
    lighter = np.exp(np.minimum(full - level, FARTHEST)) / (1 + numbers["growth_birth_ratio"])
    wider = np.clip(lighter, 1.0, WIDEST)
    off_curve = (numbers["growth_spread"] * rise) ** 2 * (wider**2 - 1)
    found: Floats = tells**2 * full_var + off_curve
    return found
