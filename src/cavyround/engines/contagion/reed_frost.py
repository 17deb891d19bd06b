"""The chain model of Reed and Frost: what an infection does in a closed group if nothing is done.

Everybody meets everybody in each generation; each susceptible animal escapes each catching one
with the chance 1 - p, independently; whoever caught it is catching in the next generation only.
(Abbey H, An examination of the Reed-Frost theory of epidemics, Human Biology 1952, 24:201;
from memory.)
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from math import comb

LARGEST = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Generation:
    """One generation: how many new cases are expected, and the range that holds nine in ten."""

    number: int
    expected_new: float
    expected_so_far: float
    low_so_far: int
    high_so_far: int


def _refuse(susceptible: int, introduced: int, p: float) -> None:
    if not 0 <= susceptible <= LARGEST or not 1 <= introduced <= LARGEST:
        msg = (
            f"from 1 to {LARGEST} cases and up to {LARGEST} others, not {introduced}, {susceptible}"
        )
        raise ValueError(msg)
    if not 0 <= p <= 1:
        msg = f"a chance lies between 0 and 1, not at {p}"
        raise ValueError(msg)


def new_cases(susceptible: int, catching: int, p: float) -> tuple[float, ...]:
    """The chances of 0, 1, 2, … new cases in the next generation."""
    escapes = (1 - p) ** catching
    return tuple(
        comb(susceptible, k) * (1 - escapes) ** k * escapes ** (susceptible - k)
        for k in range(susceptible + 1)
    )


def chains(susceptible: int, introduced: int, p: float) -> dict[tuple[int, ...], float]:
    """The chance of every chain, written as the cases of each generation; for small groups.

    A chain that leaves somebody over ends with the generation in which nobody fell ill.
    """
    _refuse(susceptible, introduced, p)
    return dict(_chains(susceptible, (introduced,), 1.0, p))


def _chains(
    left: int, so_far: tuple[int, ...], chance: float, p: float
) -> Iterator[tuple[tuple[int, ...], float]]:
    if so_far[-1] == 0 or left == 0:
        yield so_far, chance
        return
    for new, one in enumerate(new_cases(left, so_far[-1], p)):
        yield from _chains(left - new, (*so_far, new), chance * one, p)


def final_sizes(susceptible: int, introduced: int, p: float) -> tuple[float, ...]:
    """The chances that in the end 0, 1, 2, … of the susceptible animals fell ill."""
    _refuse(susceptible, introduced, p)

    @cache
    def ends(left: int, catching: int) -> tuple[float, ...]:
        """The chances of how many more fall ill."""
        if catching == 0 or left == 0:
            return (1.0, *([0.0] * left))
        total = [0.0] * (left + 1)
        for new, chance in enumerate(new_cases(left, catching, p)):
            for more, one in enumerate(ends(left - new, new)):
                total[new + more] += chance * one
        return tuple(total)

    return ends(susceptible, introduced)


def if_nothing_is_done(
    susceptible: int, introduced: int, p: float, *, generations: int = 8
) -> tuple[Generation, ...]:
    """Generation by generation; the first is the cases there are now."""
    _refuse(susceptible, introduced, p)
    states = {(susceptible, introduced): 1.0}
    told = []
    for number in range(generations + 1):
        told.append(_generation(number, states, susceptible, introduced))
        following: dict[tuple[int, int], float] = defaultdict(float)
        for (left, catching), chance in states.items():
            for new, one in enumerate(new_cases(left, catching, p)):
                if chance * one > NEGLIGIBLE:
                    following[(left - new, new)] += chance * one
        states = dict(following)
    return tuple(told)


# Chances below this change no figure that is shown.
NEGLIGIBLE = 1e-12
OUTER = 0.05


def _generation(
    number: int, states: dict[tuple[int, int], float], susceptible: int, introduced: int
) -> Generation:
    so_far: dict[int, float] = defaultdict(float)
    for (left, _), chance in states.items():
        so_far[introduced + susceptible - left] += chance
    new = sum(catching * chance for (_, catching), chance in states.items())
    return Generation(
        number=number,
        expected_new=new,
        expected_so_far=sum(cases * chance for cases, chance in so_far.items()),
        low_so_far=_quantile(so_far, OUTER),
        high_so_far=_quantile(so_far, 1 - OUTER),
    )


def _quantile(chances: dict[int, float], share: float) -> int:
    sum_so_far = 0.0
    for cases in sorted(chances):
        sum_so_far += chances[cases]
        if sum_so_far >= share - NEGLIGIBLE:
            return cases
    return max(chances)
