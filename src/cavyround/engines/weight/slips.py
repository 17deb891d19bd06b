"""Slips of the eye and the hand: what a number may have been before it was misread or mistyped."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from cavyround.engines.weight.numbers import Floats, Numbers

# International avoirdupois ounce, exact (International Yard and Pound Agreement, 1959).
GRAMS_PER_OUNCE = 28.349523125
DIGITS = "0123456789"
PLACES = 4
HUNDRED_G = 100.0


@dataclass(frozen=True, slots=True)
class Slip:
    """A weight that may have been meant, and by which slip another was typed."""

    reason: str
    meant_g: Decimal


def density(grams: Floats, expected: Floats, spread: Floats, numbers: Numbers) -> Floats:
    """How likely a slip shows these grams, per unit of the logarithm of weight.

    ``expected`` and ``spread`` are the mean and standard deviation of the logarithm
    the animal should show. A slip is anything at all, thinly spread; or two digits
    swapped or a hundred grams off, which land near what is expected when undone.
    """
    anything = numbers["slip_share"] / numbers["slip_span"]
    found = np.full(grams.shape, anything)
    swaps = [_swapped(grams, place) for place in range(PLACES)]
    for meant in swaps:
        found += numbers["swapped_share"] / 3 * _normal(meant, expected, spread)
    for off in (HUNDRED_G, -HUNDRED_G):
        found += numbers["hundred_share"] / 2 * _normal(grams + off, expected, spread)
    return found


def _normal(grams: Floats, expected: Floats, spread: Floats) -> Floats:
    """The density of a weight as it is expected; nothing where there is no such weight."""
    there = np.isfinite(grams) & (grams > 0)
    away = (np.log(np.where(there, grams, 1.0)) - expected) / spread
    found: Floats = np.where(there, np.exp(-0.5 * away**2) / (spread * np.sqrt(2 * np.pi)), 0.0)
    return found


def _swapped(grams: Floats, place: int) -> Floats:
    """The grams with the digits at ``place`` and above it swapped; nan where that changes nothing.

    Place 0 swaps ones and tens.
    """
    whole = np.rint(grams)
    low, high = (whole // 10**place) % 10, (whole // 10 ** (place + 1)) % 10
    there = (whole >= 10 ** (place + 1)) & (low != high)
    return np.where(there, grams + 9 * 10**place * (low - high), np.nan)


def slips(grams: Decimal) -> Iterator[Slip]:
    """All that may have been meant, the commonest slips first."""
    text = str(int(grams.to_integral_value()))
    yield from _slips("swapped_digits", _swaps(text))
    yield Slip("ounces", Decimal(str(round(float(grams) * GRAMS_PER_OUNCE, 1))))
    yield from _slips("missing_digit", _inserted(text))
    yield from _slips("extra_digit", (text[:at] + text[at + 1 :] for at in range(len(text))))
    yield from _slips("wrong_digit", _changed(text))


def _slips(reason: str, meant: Iterable[str]) -> Iterator[Slip]:
    return (Slip(reason, Decimal(one)) for one in meant if one and one[0] != "0")


def _swaps(text: str) -> Iterator[str]:
    for at in range(len(text) - 1):
        if text[at] != text[at + 1]:
            yield text[:at] + text[at + 1] + text[at] + text[at + 2 :]


def _inserted(text: str) -> Iterator[str]:
    return (text[:at] + one + text[at:] for at in range(len(text) + 1) for one in DIGITS)


def _changed(text: str) -> Iterator[str]:
    """Each digit but the last changed; the last lies within the scatter of any weight."""
    for at in range(len(text) - 1):
        yield from (text[:at] + one + text[at + 1 :] for one in DIGITS if one != text[at])
