"""Places and their sides, as they are said in a clause."""

from dataclasses import dataclass, replace

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.facts.observation import Side
from cavyround.knowledge.book import Knowledge

FEET = {"front": "front_foot", "hind": "hind_foot"}
LEGS = {"front": "front_leg", "hind": "hind_leg"}
ENDS = {
    "front": "front",
    "fronts": "front",
    "fore": "front",
    "hind": "hind",
    "hinds": "hind",
    "back": "hind",
    "backs": "hind",
    "rear": "hind",
}
# May stand between a side and its place.
PASSED = frozenset(
    [
        "hand",
        "of",
        "his",
        "her",
        "the",
        "its",
        "their",
        "sided",
        "to",
        "in",
        "on",
        "side",
        "own",
        "animal's",
        "one",
    ]
)
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
# On these a plural is both even where no side is said.
PLURAL_IS_BOTH = frozenset(
    {
        "eye",
        "ear",
        "behind_ear",
        "nipple",
        "testicle",
        "flank",
        "front_leg",
        "hind_leg",
        "front_foot",
        "hind_foot",
        "nose",
        "shoulder",
    }
)
OPPOSITE = {Side.LEFT: Side.RIGHT, Side.RIGHT: Side.LEFT}
NEAR_SIDE = 4
FOOT_OF = {
    "front_foot": "front_foot",
    "hind_foot": "hind_foot",
    "front_leg": "front_foot",
    "hind_leg": "hind_foot",
}


@dataclass(frozen=True, slots=True)
class Spot:
    """A place as said: region, side, the items it came from, where in the clause it stands.

    ``loose``: only "left front" or "hind" was said, so foot or leg goes by the finding.
    """

    region: str
    side: Side
    at: int
    items: tuple[Item, ...] = ()
    loose: str = ""
    many: bool = False
    end: int = 0


def spots_of(clause: Clause, topic: tuple[Spot, ...], book: Knowledge) -> list[Spot]:
    """The places said in a clause, in order; a bare side takes the place spoken of before."""
    spots: list[Spot] = []
    taken: set[int] = set()
    items = clause.items
    away = any(spot.region not in ("skin", "coat", "whole") for spot in topic)
    for at, item in enumerate(items):
        if item.left_out or at in taken:
            continue
        if away:
            item.notes["there"] = "maybe"
        spot = _named(clause, at, taken) or _end(clause, at, taken, topic)
        if spot is not None:
            spots.append(spot)
    for at, item in enumerate(items):
        if at in taken or item.left_out or not item.has("side"):
            continue
        spot = _bare_side(clause, at, topic, spots)
        if spot is not None:
            spots.append(spot)
            taken.add(at)
    other = _other(clause, topic, spots)
    return _same_side(sorted([*spots, *other], key=lambda spot: spot.at), topic)


def _same_side(spots: list[Spot], topic: tuple[Spot, ...]) -> list[Spot]:
    """A place said again without its side is the one just spoken of."""
    known = [*topic, *spots[:0]]
    sided: list[Spot] = []
    for spot in spots:
        if spot.side is Side.NOT_SAID and not spot.many:
            for old in reversed([*known, *sided]):
                if old.side in OPPOSITE and (
                    old.region == spot.region
                    or (
                        spot.region in ("foot", "front_foot", "hind_foot")
                        and old.region in FOOT_OF
                        and spot.region in ("foot", FOOT_OF[old.region])
                    )
                ):
                    region = (
                        FOOT_OF.get(old.region, spot.region)
                        if "foot" in spot.region
                        else spot.region
                    )
                    spot = replace(spot, side=old.side, region=region)  # noqa: PLW2901
                    break
        sided.append(spot)
    return sided


def _named(clause: Clause, at: int, taken: set[int]) -> Spot | None:
    item = clause.items[at]
    found = [one for one in item.mark_means() if one.sort in ("place", "places")]
    if not found:
        return None
    before = clause.items[at - 1].word.split()[-1:] if at else []
    means = next(
        (one for one in found if not one.entry.needs or set(before) & set(one.entry.needs)), None
    )
    if means is None:
        return None
    many = means.sort == "places"
    region, loose = means.code, ""
    if region == "ear" and "behind" in {one.word for one in clause.items[max(0, at - 4) : at]}:
        region = "behind_ear"
    if region in ("skin", "coat") and _is_there(clause, at) and clause.items[at].notes.get("there"):
        return None
    side, used = _side_beside(clause, at, many=many, taken=taken)
    if region in ("foot", "hind_leg", "nails", "front_teeth") and not loose:
        region, more = _with_end(clause, at, region, item)
        used += more
    taken.update(used)
    taken.add(at)
    if side is Side.NOT_SAID and many and region in PLURAL_IS_BOTH:
        side = Side.BOTH
    its = tuple(clause.items[index] for index in sorted(set(used) | {at}))
    return Spot(region, side, at, its, loose, many, at)


def _is_there(clause: Clause, at: int) -> bool:
    """ "the skin underneath", "skin's flaky up there": the place just spoken of."""
    return any(
        one.word.split()[-1] in ("underneath", "there", "beneath", "under")
        for one in clause.items[at + 1 : at + 7]
        if one.word
    )


def _with_end(clause: Clause, at: int, region: str, item: Item) -> tuple[str, list[int]]:
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


def _side_beside(clause: Clause, at: int, *, many: bool, taken: set[int]) -> tuple[Side, list[int]]:
    items = clause.items
    for index in range(at - 1, max(-1, at - 1 - NEAR_SIDE), -1):
        item = items[index]
        if item.left_out or index in taken:
            break
        if item.has("side"):
            side = Side(item.of("side")[0].code)
            if many and side in (Side.LEFT, Side.RIGHT) and item.word in ("right", "left"):
                break
            if side is Side.NOT_SAID:
                break
            # "my left, her right": the animal's own counts.
            if index and items[index - 1].word == "my":
                break
            return side, [index]
        if item.word not in PASSED and item.word not in ENDS and item.word != "both":
            break
    for index in range(at + 1, min(len(items), at + 1 + NEAR_SIDE)):
        item = items[index]
        if item.has("side") and not item.left_out:
            following = items[index + 1] if index + 1 < len(items) else None
            if following is not None and following.has("place"):
                break
            if (
                item.word in ("left", "right")
                and items[index - 1].word not in PASSED
                and (index != at + 1 or (following is not None and following.word in SIDE_AFTER))
            ):
                break
            return Side(item.of("side")[0].code), [index]
        if item.word not in PASSED and not (
            item.has("sign") and index + 1 < len(items) and items[index + 1].word == "both"
        ):
            break
    return Side.NOT_SAID, []


def _end(clause: Clause, at: int, taken: set[int], topic: tuple[Spot, ...]) -> Spot | None:
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
                end,
                False,
                max(index, at),
            )
    if items[at].word in ("fronts", "hinds", "backs") or ones:
        taken.add(at)
        if any(one.has("place", "nails") or one.has("places", "nails") for one in items):
            return None
        if region_now in ("front_teeth", "cheek_teeth") or (ones and not topic):
            region = "front_teeth" if end == "front" else "cheek_teeth"
            return Spot(region, Side.NOT_SAID, at, (items[at],), "", False, at)
        if region_now == "nails":
            return Spot("nails", Side.NOT_SAID, at, (items[at],), "", False, at)
        return Spot(FEET[end], Side.BOTH, at, (items[at],), end, True, at)
    return None


def _bare_side(clause: Clause, at: int, topic: tuple[Spot, ...], spots: list[Spot]) -> Spot | None:
    items = clause.items
    item = items[at]
    side = Side(item.of("side")[0].code)
    if at and items[at - 1].word == "my":
        return None
    if (
        item.word in ("both sides", "either side", "each side")
        and not spots
        and any(one.has("sign", "bald_patch") or one.has("sign", "thin_hair") for one in items)
    ):
        # Hair lost "on both sides" is lost on the flanks.
        return Spot("flank", Side.BOTH, at, (item,), "", False, at)
    base = next((spot for spot in reversed(spots) if spot.at < at), None) or (
        topic[0] if topic else None
    )
    if base is None or base.region in ("whole", "appetite", "droppings", "urine", "breathing"):
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
    if base.many is False and any(
        spot.at < at and spot.side is not Side.NOT_SAID for spot in spots
    ):
        pass
    return Spot(base.region, side, at, (item,), base.loose, False, at)


def _other(clause: Clause, topic: tuple[Spot, ...], spots: list[Spot]) -> list[Spot]:
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
            return [Spot(same[0].region, side, at + 1, (item, *same[0].items), "", False, at + 1)]
        if (
            following is not None
            and (
                following.word in ("one", "side", "is") or following.has("sign") or following.number
            )
        ) or item.tail == "s":
            return [Spot(last.region, side, at, (item,), last.loose, False, at)]
    return []
