"""Front and hind: which foot or leg is meant."""

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.spots import ENDS, FEET, LEGS, PASSED, Spot
from cavyround.facts.observation import Side


def with_end(clause: Clause, at: int, region: str, item: Item) -> tuple[str, list[int]]:
    """ "hind left foot": the end of the body stands before the side."""
    for index in range(at - 1, max(-1, at - 4), -1):
        end = ENDS.get(clause.items[index].word)
        if end is None:
            if clause.items[index].has("side") or clause.items[index].word in PASSED:
                continue
            return region, []
        if region == "foot":
            return FEET[end], [index]
        if region == "hind_leg" and item.word in ("leg", "legs", "limb"):
            return LEGS[end], [index]
        return region, []
    return region, []


def end_said(clause: Clause, at: int, taken: set[int], topic: tuple[Spot, ...]) -> Spot | None:
    """ "left front", "the hinds": foot or leg goes by the finding."""
    items = clause.items
    end = ENDS.get(items[at].word)
    ones = at + 1 < len(items) and items[at + 1].word == "ones"
    if end is None:
        return None
    region_now = topic[0].region if topic else ""
    for index in (at - 1, at + 1):
        if 0 <= index < len(items) and items[index].has("side") and index not in taken:
            side = Side(items[index].of("side")[0].code)
            following = items[index + 1] if index + 1 < len(items) else None
            if index > at and following is not None and following.has("place"):
                return None
            taken.update({index, at})
            if region_now == "nails":
                return Spot("nails", side, min(index, at), (items[at], items[index]))
            return Spot(
                FEET[end],
                side,
                min(index, at),
                (items[at], items[index]),
                loose=end,
                end=max(index, at),
            )
    if items[at].word in ("fronts", "hinds", "backs") or ones:
        taken.add(at)
        if any(one.has("place", "nails") or one.has("places", "nails") for one in items):
            return None
        if region_now in ("front_teeth", "cheek_teeth") or (ones and not topic):
            region = "front_teeth" if end == "front" else "cheek_teeth"
            return Spot(region, Side.NOT_SAID, at, (items[at],), end=at)
        if region_now == "nails":
            return Spot("nails", Side.NOT_SAID, at, (items[at],), end=at)
        return Spot(FEET[end], Side.BOTH, at, (items[at],), loose=end, many=True, end=at)
    return None
