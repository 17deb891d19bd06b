"""What speaks against one move, so that whoever moves an animal knows it before."""

from collections.abc import Iterable, Iterator
from itertools import combinations

from cavyround.engines.housing.planning import crowded
from cavyround.engines.housing.problem import House
from cavyround.engines.housing.sharing import Why, by_rule
from cavyround.facts.housing import Lodger
from cavyround.facts.places import PenFacts


def parts_them(house: House, animals: Iterable[str]) -> tuple[Why, ...]:
    """Every hard rule between any two of these that do not live together already."""
    strangers = (
        frozenset(pair)
        for pair in combinations(sorted(animals), 2)
        if len({house.by_id[one].pen or one for one in pair if one in house.by_id}) > 1
    )
    return tuple(why for pair in strangers for why in house.apart.get(pair, ()) if why.hard)


def speaks_against(house: House, animal: Lodger, pen: PenFacts) -> tuple[Why, ...]:
    """Every rule that speaks against it, the hard ones first; nothing is forbidden by it."""
    found = list(_against(house, animal, pen))
    return tuple(sorted(found, key=lambda why: not why.hard))


def _against(house: House, animal: Lodger, pen: PenFacts) -> Iterator[Why]:
    beside = frozenset(
        house.by_id[other].health
        for bond in house.ties.bonds
        if animal.id in bond.pair
        for other in bond.pair - {animal.id}
        if other in house.by_id
    )
    yield from house.fitting.why_not_in(animal, pen, beside=beside)
    there = [one for one in house.animals if one.pen == pen.id and one.id != animal.id]
    for one in there:
        yield from house.apart.get(frozenset({animal.id, one.id}), ())
    together = [*there, animal]
    singles = {"many_boars", "boars_with_a_sow", "told_sex", "alone"}
    yield from (why for why in house.sharing.among(together) if why.rule in singles)
    heads = sum(house.is_head(one) for one in together)
    if pen.area_cm2 is not None and heads > house.capacity[pen.id]:
        yield crowded(house, pen, heads)
    yield from _left_behind(house, animal)


def _left_behind(house: House, animal: Lodger) -> Iterator[Why]:
    """A bonded mate that stays behind, and the last one of a pen."""
    left = [o for o in house.animals if animal.pen and o.pen == animal.pen and o.id != animal.id]
    for bond in house.ties.bonds:
        others = bond.pair - {animal.id}
        if animal.id in bond.pair and any(one.id in others for one in left):
            [mate] = others
            detail = f"{animal.name} and {house.by_id[mate].name}"
            yield by_rule(house.book, "bonded", detail, animal.id, mate)
    if len(left) == 1 and not left[0].alone_because and house.is_head(left[0]):
        yield by_rule(house.book, "alone", f"{left[0].name} would stay behind alone", left[0].id)
