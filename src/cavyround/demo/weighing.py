"""Weights as they might have been: growth, each animal's own level, and its own noise."""

from math import exp, log
from random import Random

import numpy as np

from cavyround.demo.animals import Cast

NEWBORN_G = 92.0
# Grows as a young guinea pig does: about 430 g at eight weeks of a grown 1000 g.
GROWTH_PER_DAY = 0.0183
GROWN_DAYS = 450
NOISE_GROWN, NOISE_YOUNG = 0.02, 0.008


def grams_on(cast: Cast, ago: int) -> int:
    """What the scale shows so many days ago."""
    age = max(0, cast.days_old - ago)
    level = cast.grams * exp(-log(cast.grams / NEWBORN_G) * exp(-GROWTH_PER_DAY * age))
    if cast.course:
        days, factors = zip(*cast.course, strict=True)
        level *= float(np.interp(-ago, [-day for day in days], factors))
    noise = NOISE_GROWN if age >= GROWN_DAYS and not cast.course else NOISE_YOUNG
    swing = Random(f"{cast.key} {ago}").uniform(-noise, noise)
    return round(level * (1 + swing))
