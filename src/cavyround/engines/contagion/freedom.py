"""How many must be looked at to say that something is not there, and how sure a clear look makes.

Exact for herds of tens (hypergeometric); the two published approximations stand beside it.
"""

from fractions import Fraction
from math import ceil, comb


def _refuse(herd: int, infected: int, sure: float) -> None:
    if herd < 1 or not 1 <= infected <= herd:
        msg = f"of {herd} animals {infected} cannot be infected"
        raise ValueError(msg)
    if not 0 < sure < 1:
        msg = f"a sureness lies between 0 and 1, not at {sure}"
        raise ValueError(msg)


def chance_of_missing(herd: int, infected: int, looked_at: int) -> Fraction:
    """The chance that none of the infected is among those looked at; each look finds it."""
    return Fraction(comb(herd - infected, looked_at), comb(herd, looked_at))


def sample_size(herd: int, infected: int, sure: float) -> int:
    """The fewest animals to look at, all clear, to be so sure that not as many are infected.

    Exact hypergeometric; each look is taken to find it. Raises ValueError for what cannot be.
    """
    _refuse(herd, infected, sure)
    return next(n for n in range(1, herd + 1) if 1 - chance_of_missing(herd, infected, n) >= sure)


def cannon_roe(herd: int, infected: int, sure: float) -> int:
    """The same by the approximation of Cannon and Roe (1982), rounded up."""
    _refuse(herd, infected, sure)
    n: float = (1 - (1 - sure) ** (1 / infected)) * (herd - (infected - 1) / 2)
    return ceil(round(n, 6))


def with_sensitivity(herd: int, infected: int, sure: float, finds: float) -> int | None:
    """The same where a look finds only a share ``finds`` of the infected (MacDiarmid).

    None where more animals would be needed than there are.
    """
    _refuse(herd, infected, sure)
    if not 0 < finds <= 1:
        msg = f"a look finds a share above 0 and up to 1, not {finds}"
        raise ValueError(msg)
    n = ceil(round(herd / finds * (1 - (1 - sure) ** (1 / infected)), 6))
    return n if n <= herd else None
