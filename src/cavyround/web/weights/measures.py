"""Grams, ounces and per cent in words, with their sign and their interval."""

import re
from datetime import datetime
from decimal import Decimal
from statistics import NormalDist

from django.utils import timezone

from cavyround.engines.weight.said import Band
from cavyround.web.templatetags.words import ounces

HYPHEN = re.compile(r"(?<![\w\d])-(?=\d)")
MINUS = "\u2212"  # as wide as a plus, and read out as minus
# Our own plain words; the number always stands beside them.
LIKELIHOODS = (
    (0.99, "almost surely"),
    (0.90, "very likely"),
    (0.66, "likely"),
    (0.33, "perhaps"),
    (0.10, "rather not"),
    (0.0, "hardly"),
)
LEAST_SAID, MOST_SAID = 0.01, 0.99
# Half the width of a 95 % interval of the normal distribution, in standard deviations.
NORMAL_95 = NormalDist().inv_cdf(0.975)


def plain_grams(amount: float | Decimal) -> str:
    """Grams alone: ``1,043 g``."""
    return f"{amount:,.0f} g"


def grams_and_ounces(amount: float | Decimal) -> str:
    """A change of weight in both units, without its sign: ``57 g (2.0 oz)``."""
    size = Decimal(str(round(abs(float(amount)), 1)))
    return f"{size:.0f} g ({ounces(size)})"


def signed(amount: float, digits: int = 0) -> str:
    """A number with its sign; one that rounds to nought has none."""
    said = f"{abs(amount):,.{digits}f}"
    if float(said.replace(",", "")) == 0:
        return said
    return f"{'+' if amount > 0 else MINUS}{said}"


def span(band: Band, digits: int = 0) -> str:
    """From low to high, signs given: ``-2.1 to +0.4`` with a true minus."""
    return f"{signed(band.low, digits)} to {signed(band.high, digits)}"


def true_minus(words: str) -> str:
    """The same words with a minus before a number, where there was a hyphen."""
    return HYPHEN.sub(MINUS, words)


def lost_or_gained(band: Band) -> str:
    """The interval of a trend in grams: ``6 and 24 g``, or ``9 g lost and 6 g gained``."""
    low, high = sorted((abs(band.low), abs(band.high)))
    if band.low > 0 or band.high < 0:
        return f"{low:,.0f} and {high:,.0f} g"
    return f"{-band.low:,.0f} g lost and {band.high:,.0f} g gained"


def chance_below_nought(band: Band) -> float:
    """How likely the value of a 95 % band is below nought, its spread taken as even."""
    spread = (band.high - band.low) / (2 * NORMAL_95)
    if spread <= 0:
        return float(band.mid < 0)
    return NormalDist(band.mid, spread).cdf(0)


def grams_span(band: Band) -> str:
    """From low to high in grams; no weight is below nought."""
    return f"{max(0.0, band.low):,.0f} to {band.high:,.0f} g"


def likelihood(probability: float) -> str:
    """A probability in words."""
    return next(words for least, words in LIKELIHOODS if probability >= least)


def in_hundred(probability: float) -> str:
    """A probability as so many in 100, never said as surer than it can be."""
    if probability < LEAST_SAID:
        return "under 1 in 100"
    if probability > MOST_SAID:
        return "over 99 in 100"
    return f"{probability * 100:.0f} in 100"


def when_again(due: datetime, now: datetime) -> str:
    """On which day to weigh again: ``today``, ``tomorrow``, the day itself, or since when."""
    on = timezone.localtime(due)
    days = (on.date() - timezone.localdate(now)).days
    if days < 0:
        return f"now, due since {-days} day{'' if days == -1 else 's'}"
    if days < 2:  # noqa: PLR2004 -- today or tomorrow
        return "tomorrow" if days else "today"
    return f"on {on:%A} {on.day} {on:%B}"


def short_day(due: datetime, now: datetime) -> str:
    """The same for a row of a list: ``now``, ``today``, ``tomorrow`` or ``Sun 29 Nov``."""
    on = timezone.localtime(due)
    days = (on.date() - timezone.localdate(now)).days
    if days < 2:  # noqa: PLR2004 -- today or tomorrow
        return "now" if days < 0 else "tomorrow" if days else "today"
    return f"{on:%a} {on.day} {on:%b}"
