"""Phrases of the words files: ``(a|b)`` is one of them, ``[a]`` may be left out."""

from math import prod

OPENS, CLOSES = "([", ")]"
# Each bracket multiplies the ways of saying a phrase, and a tree of them all is held in memory.
MOST_WAYS = 100_000


def ways_of(pattern: str) -> int:
    """In how many ways a pattern can be said, counted without writing them down.

    ValueError where its brackets do not match.
    """
    return prod(
        sum(ways_of(one) for one in _choices(held[1:-1])) + (held[0] == "[")
        for held in _brackets(pattern)
    )


def few_ways(pattern: str) -> str:
    """The pattern itself; ValueError where its brackets multiply to more than can be held."""
    ways = ways_of(pattern)
    if ways > MOST_WAYS:
        msg = (
            f"“{pattern[:60]}…” can be said in {ways:,} ways, and every one is kept in memory: at "
            f"most {MOST_WAYS:,}. Write it as several shorter phrases."
        )
        raise ValueError(msg)
    return pattern


def few_ways_a_part(pattern: str) -> str:
    """The pattern itself; ValueError where one of its brackets has more ways than can be held."""
    for held in _brackets(pattern):
        few_ways(held)
    return pattern


def _brackets(pattern: str) -> list[str]:
    """The outermost brackets of a pattern, with their signs."""
    found, depth, begin = [], 0, 0
    for at, sign in enumerate(pattern):
        if sign in OPENS:
            begin = begin if depth else at
            depth += 1
        elif sign in CLOSES:
            depth -= 1
            if depth == 0:
                found.append(pattern[begin : at + 1])
        if depth < 0:
            break
    if depth:
        msg = f"“{pattern}” has a bracket that is not closed, or not opened."
        raise ValueError(msg)
    return found


def _choices(inner: str) -> list[str]:
    """The parts between the strokes outside further brackets."""
    parts, depth, begin = [], 0, 0
    for at, sign in enumerate(inner):
        depth += (sign in OPENS) - (sign in CLOSES)
        if sign == "|" and depth == 0:
            parts.append(inner[begin:at])
            begin = at + 1
    return [*parts, inner[begin:]]
