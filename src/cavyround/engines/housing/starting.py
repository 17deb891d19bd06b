"""A first plan to begin the search from: one after the other, those who can stay first.

It keeps every hard rule or is none; the solver makes it better and proves what is best.
"""

from collections import defaultdict
from collections.abc import Sequence

from cavyround.engines.housing.problem import House


def start_of(house: House) -> dict[str, str] | None:
    """A plan that keeps the hard rules, or None where this simple way finds none."""
    found: dict[str, str] = {}
    inside: dict[str, list[str]] = defaultdict(list)
    for unit in sorted(_units(house), key=lambda unit: _hard_to_place(house, unit)):
        pen = _first_free(house, unit, inside)
        if pen is None:
            return None
        inside[pen] += unit
        found |= dict.fromkeys(unit, pen)
    return found


def _units(house: House) -> list[tuple[str, ...]]:
    """Those that stay together, each group in one; the others by themselves."""
    group = {animal.id: {animal.id} for animal in house.animals}
    for pair in house.together:
        one, other = sorted(pair)
        joined = group[one] | group[other]
        for animal in joined:
            group[animal] = joined
    return [tuple(sorted(own)) for name, own in group.items() if name == min(own)]


def _pens(house: House, unit: Sequence[str]) -> list[str]:
    common = set(house.allowed[unit[0]]).intersection(*(house.allowed[one] for one in unit))
    return [pen for pen in house.allowed[unit[0]] if pen in common]


def _hard_to_place(house: House, unit: Sequence[str]) -> tuple[bool, int, str]:
    pens = _pens(house, unit)
    stays = house.by_id[unit[0]].pen in pens
    return (not stays, len(pens), unit[0])


def _first_free(house: House, unit: Sequence[str], inside: dict[str, list[str]]) -> str | None:
    """Its own pen, else one where company waits, else an empty one."""
    home = {house.by_id[one].pen for one in unit}
    free = [pen for pen in _pens(house, unit) if _fits(house, unit, pen, inside[pen])]
    return min(free, key=lambda pen: (pen not in home, not inside[pen], pen), default=None)


def _fits(house: House, unit: Sequence[str], pen: str, there: Sequence[str]) -> bool:
    heads = sum(house.is_head(house.by_id[one]) for one in (*unit, *there))
    return heads <= house.capacity[pen] and not any(
        frozenset({one, other}) in house.conflicts for one in unit for other in there
    )
