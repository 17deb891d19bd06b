"""What a plan is judged by, counted from the plan itself and not by the solver."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

from cavyround.engines.housing.problem import House

WARNING, JOINING, MISPLACED, OPENED = 3, 2, 2, 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What a plan comes to, in the order it is judged by; smaller is better.

    ``warnings`` adds up warnings, introductions, animals in a pen meant for others, and
    pens that stood empty, each by its weight.
    """

    alone: int
    moves: int
    warnings: int

    @property
    def key(self) -> tuple[int, int, int]:
        """To compare by."""
        return (self.alone, self.moves, self.warnings)


def cost_of(house: House, pen_of: Mapping[str, str]) -> Cost:
    """The cost of a plan, whether it keeps the hard rules or not."""
    inside: dict[str, list[str]] = defaultdict(list)
    for animal, pen in pen_of.items():
        inside[pen].append(animal)
    moves = sum(one.pen in house.pen_by_id and pen_of[one.id] != one.pen for one in house.animals)
    return Cost(
        alone=sum(_is_lonely(house, animals) for animals in inside.values()),
        moves=moves,
        warnings=WARNING * sum(1 for _ in _warnings(house, inside))
        + JOINING * sum(1 for _ in _joining(house, pen_of))
        + MISPLACED * sum(_misplaced(house, pen_of))
        + OPENED * len(set(inside) - {one.pen for one in house.animals}),
    )


def broken(house: House, pen_of: Mapping[str, str]) -> Iterator[str]:
    """Every hard rule a plan breaks, in words; nothing for a plan that may be used."""
    inside: dict[str, list[str]] = defaultdict(list)
    for animal, pen in pen_of.items():
        inside[pen].append(animal)
        if pen not in house.allowed[animal]:
            yield f"{animal} may not live in {pen}"
    for pen, animals in inside.items():
        heads = sum(house.is_head(house.by_id[animal]) for animal in animals)
        if heads > house.capacity[pen]:
            yield f"{heads} in {pen}, which has room for {house.capacity[pen]}"
        for pair in combinations(sorted(animals), 2):
            if frozenset(pair) in house.conflicts:
                yield f"{' and '.join(pair)} may not share {pen}"
    for belong in house.together:
        first, second = sorted(belong)
        if pen_of[first] != pen_of[second]:
            yield f"{first} and {second} belong together"


def _is_lonely(house: House, animals: list[str]) -> bool:
    heads = [animal for animal in animals if house.is_head(house.by_id[animal])]
    return len(heads) == 1 and house.weight[heads[0]] == 1


def _warnings(house: House, inside: Mapping[str, list[str]]) -> Iterator[str]:
    soft = set(house.soft_pairs())
    sharing, most = house.sharing, int(house.book.number("boars_in_a_group"))
    rooms = {
        house.pen_by_id[pen].room
        for pen, animals in inside.items()
        if any(sharing.is_fertile_sow(house.by_id[animal]) for animal in animals)
    }
    for pen, animals in inside.items():
        yield from (pen for pair in combinations(animals, 2) if frozenset(pair) in soft)
        boars = sum(sharing.is_entire_boar(house.by_id[animal]) for animal in animals)
        if boars > most:
            yield pen
        if sharing.boars_about_a_sow(house.by_id[animal] for animal in animals):
            yield pen
        if boars > 1 and house.pen_by_id[pen].room in rooms:
            yield pen


def _joining(house: House, pen_of: Mapping[str, str]) -> Iterator[str]:
    lived_in = {one.pen for one in house.animals}
    for one in house.animals:
        if pen_of.get(one.id) in lived_in and pen_of[one.id] != one.pen:
            yield one.id


def _misplaced(house: House, pen_of: Mapping[str, str]) -> Iterator[bool]:
    for animal, pen in pen_of.items():
        yield house.is_out_of_place(house.by_id[animal], house.pen_by_id[pen])
