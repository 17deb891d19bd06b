"""Resting energy need, for assisted feeding: 70 kcal for each kg to the power three quarters."""

from decimal import Decimal

from cavyround.facts.quantities import EXACT, kilograms, times
from cavyround.knowledge.book import Knowledge


def resting_energy_kcal(grams: Decimal, *, book: Knowledge) -> Decimal:
    """Kilocalories a day at rest for a body weight; ValueError for none.

    Source and range of the numbers: ``energy_factor_kcal`` in the thresholds.
    """
    if not grams.is_finite() or grams <= 0:
        msg = f"{grams} g is no body weight"
        raise ValueError(msg)
    power = EXACT.power(kilograms(grams), book.number("energy_power"))
    return times(book.number("energy_factor_kcal"), power)
