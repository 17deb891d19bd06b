"""Left, right, both: the side of a place, a side said alone, the other side."""

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.spots import ENDS, OPPOSITE, PASSED, Spot
from cavyround.facts.observation import Side

SIDE_AFTER = frozenset(
    {
        "one",
        "side",
        "ones",
        "is",
        "looks",
        "has",
        "just",
        "still",
        "not",
        "are",
        "got",
        "isnt",
        "was",
        "eye",
        "too",
        "as",
        "also",
    }
)
NEAR_SIDE = 4
NO_SIDES = frozenset(
    {"whole", "appetite", "droppings", "urine", "breathing", "coat", "skin", "anus"}
    | {"penis", "vulva", "grease_gland", "front_teeth"}
)
OF_TWO = ("eye", "ear", "testicle", "nipple", "front_foot", "hind_foot", "front_leg", "hind_leg")


def side_beside(clause: Clause, at: int, *, many: bool, taken: set[int]) -> tuple[Side, list[int]]:
    """The side said before a place or right behind it, and where; ``many``: a plural."""
    return (
        _side_before(clause.items, at, many=many, taken=taken)
        or _side_behind(clause.items, at)
        or (Side.NOT_SAID, [])
    )


def _side_before(
    items: list[Item], at: int, *, many: bool, taken: set[int]
) -> tuple[Side, list[int]] | None:
    for index in range(at - 1, max(-1, at - 1 - NEAR_SIDE), -1):
        item = items[index]
        if item.left_out or index in taken:
            return None
        if item.word == "one" and index == at - 1 and not many and _begins_one(items, index, at):
            return Side.ONE, [index]
        if item.has("side"):
            side = Side(item.of("side")[0].code)
            if many and side in (Side.LEFT, Side.RIGHT) and item.word in ("right", "left"):
                return None
            if side is Side.NOT_SAID:
                return None
            # "my left, her right": the animal's own counts.
            if index and items[index - 1].word == "my":
                return None
            return side, [index]
        if item.word not in PASSED and item.word not in ENDS and item.word != "both":
            return None
    return None


def _begins_one(items: list[Item], at: int, place: int) -> bool:
    """ "one ear's waxy": of two, which was not said."""
    if not any(items[place].has("place", one) for one in OF_TWO):
        return False
    before = items[at - 1].word if at else ""
    return before not in ("this", "that", "left", "right", "the", "other", "each", "every")


def _side_behind(items: list[Item], at: int) -> tuple[Side, list[int]] | None:
    for index in range(at + 1, min(len(items), at + 1 + NEAR_SIDE)):
        item = items[index]
        if item.has("side") and not item.left_out:
            following = items[index + 1] if index + 1 < len(items) else None
            if following is not None and following.has("place"):
                return None
            if (
                item.word in ("left", "right")
                and items[index - 1].word not in PASSED
                and (index != at + 1 or (following is not None and following.word in SIDE_AFTER))
            ):
                return None
            return Side(item.of("side")[0].code), [index]
        if item.word not in PASSED and not (
            item.has("sign") and index + 1 < len(items) and items[index + 1].word == "both"
        ):
            return None
    return None


def bare_side(clause: Clause, at: int, topic: tuple[Spot, ...], spots: list[Spot]) -> Spot | None:
    """ "left as well": a side alone takes the place said or spoken of before."""
    items = clause.items
    item = items[at]
    side = Side(item.of("side")[0].code)
    if at and items[at - 1].word == "my":
        return None
    if item.word == "both of them" and any(one.has("place") or one.has("places") for one in items):
        # "Both of them have clear eyes": of two animals, no side.
        return None
    if (
        item.word in ("both sides", "either side", "each side")
        and not spots
        and any(one.has("sign", "bald_patch") or one.has("sign", "thin_hair") for one in items)
    ):
        # Hair lost "on both sides" is lost on the flanks.
        return Spot("flank", Side.BOTH, at, (item,), end=at)
    base = next((spot for spot in reversed(spots) if spot.at < at), None) or (
        topic[0] if topic else None
    )
    if base is None or base.region in NO_SIDES or (base.region == "belly" and side is Side.BOTH):
        return None
    following = items[at + 1] if at + 1 < len(items) else None
    if (
        item.word == "right"
        and at == 0
        and clause.opens
        and (
            following is None
            or not (following.word in SIDE_AFTER or following.has("sign") or item.tail)
        )
    ):
        return None
    if item.word in ("each", "either", "pair", "all four"):
        return None
    return Spot(base.region, side, at, (item,), loose=base.loose, end=at)


def other_side(clause: Clause, topic: tuple[Spot, ...], spots: list[Spot]) -> list[Spot]:
    """ "the other one", "other eye": the opposite of the side just spoken of."""
    for at, item in enumerate(clause.items):
        if item.word not in ("other", "other one", "other side") or item.left_out:
            continue
        following = clause.items[at + 1] if at + 1 < len(clause.items) else None
        last = next((spot for spot in topic if spot.side in OPPOSITE), None)
        if last is None:
            return []
        side = OPPOSITE[last.side]
        same = [spot for spot in spots if spot.at == at + 1 and spot.side is Side.NOT_SAID]
        if same:
            spots.remove(same[0])
            return [Spot(same[0].region, side, at + 1, (item, *same[0].items), end=at + 1)]
        if (
            following is not None
            and (
                following.word in ("one", "side", "is") or following.has("sign") or following.number
            )
        ) or item.tail == "s":
            return [Spot(last.region, side, at, (item,), loose=last.loose, end=at)]
    return []
