"""Places and their sides, as they are said in a clause."""

from dataclasses import replace

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.ends import end_said, with_end
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sides import bare_side, other_side, side_beside
from cavyround.engines.spoken.spots import OPPOSITE, Spot
from cavyround.facts.observation import Side

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
# "… hundred on the nose": so far back stands the number.
OF_NUMBER = 3
FOOT_OF = {
    "front_foot": "front_foot",
    "hind_foot": "hind_foot",
    "front_leg": "front_foot",
    "hind_leg": "hind_foot",
}


def spots_of(clause: Clause, topic: tuple[Spot, ...]) -> list[Spot]:
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
        spot = _named(clause, at, taken) or end_said(clause, at, taken, topic)
        if spot is not None:
            spots.append(spot)
    for at, item in enumerate(items):
        if at in taken or item.left_out or not item.has("side"):
            continue
        spot = bare_side(clause, at, topic, spots)
        if spot is not None:
            spots.append(spot)
            taken.add(at)
    other = other_side(clause, topic, spots)
    return _same_side(sorted([*spots, *other], key=lambda spot: spot.at), topic, items)


def _same_side(spots: list[Spot], topic: tuple[Spot, ...], items: list[Item]) -> list[Spot]:
    """A place said again without its side is the one just spoken of."""
    sided: list[Spot] = []
    for spot in spots:
        spot = _its_leg(spot, topic)  # noqa: PLW2901
        if spot.side is Side.NOT_SAID and not spot.many and not _is_other(spot, items):
            for old in reversed([*topic, *sided]):
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


def _its_leg(spot: Spot, topic: tuple[Spot, ...]) -> Spot:
    """ "limp on that leg", "swelling of the knee": the leg of the foot just spoken of."""
    if spot.region != "hind_leg" or spot.many or spot.side is not Side.NOT_SAID:
        return spot
    for old in topic:
        end = old.region.partition("_")[0]
        if (
            old.side in OPPOSITE
            and old.region in FOOT_OF
            and (end == "hind" or spot.items[0].word == "leg")
        ):
            return replace(spot, region=f"{end}_leg", side=old.side)
    return spot


def _is_other(spot: Spot, items: list[Item]) -> bool:
    """ "the other feet": not the one just spoken of."""
    return "other" in _words(spot) or "other" in {
        one.word for one in items[max(0, spot.at - 2) : spot.at]
    }


def _words(spot: Spot) -> set[str]:
    return {word for item in spot.items for word in item.word.split()}


def _named(clause: Clause, at: int, taken: set[int]) -> Spot | None:
    item = clause.items[at]
    found = [one for one in item.mark_means() if one.sort in ("place", "places")]
    if not found:
        return None
    means = next((one for one in found if _is_meant(clause, at, one.entry.needs)), None)
    if means is None:
        return None
    many = means.sort == "places"
    region = means.code
    if region == "ear" and "behind" in {one.word for one in clause.items[max(0, at - 4) : at]}:
        region = "behind_ear"
    if region in ("skin", "coat") and _is_there(clause, at) and clause.items[at].notes.get("there"):
        return None
    side, used = side_beside(clause, at, many=many, taken=taken)
    if region in ("foot", "hind_leg", "nails", "front_teeth"):
        region, more = with_end(clause, at, region, item)
        used += more
    taken.update(used)
    taken.add(at)
    if side is Side.NOT_SAID and many and region in PLURAL_IS_BOTH:
        side = Side.BOTH
    its = tuple(clause.items[index] for index in sorted(set(used) | {at}))
    return Spot(region, side, at, its, many=many, end=at)


def _is_meant(clause: Clause, at: int, needs: tuple[str, ...]) -> bool:
    """Whether a word of several meanings is meant as the place: "her back", "Rex's back"."""
    items = clause.items
    before = items[at - 1] if at else None
    if not needs:
        return not (items[at].word == "nose" and at > 1 and _is_exactly(items, at))
    if before is None:
        # "Back's scabby", "side is swollen"
        following = items[at + 1] if at + 1 < len(items) else None
        return items[at].tail == "s" or _heads_what_is_told(clause, following)
    if before.name and before.tail == "s":
        # "Rex's back left foot" is no back.
        following = items[at + 1] if at + 1 < len(items) else None
        return following is None or not (following.has("side") or following.has("place"))
    return before.word.split()[-1] in needs or before.word in ("that", "this")


def _heads_what_is_told(clause: Clause, following: Item | None) -> bool:
    """ "Back is scabby", "back: red", "back more crusty": at the head, and a sign is told of it."""
    if following is None:
        return clause.ended in (":", ",") and clause.opens
    return (
        following.has("sign")
        or following.cue("slight", "moderate", "marked", "no")
        or following.word
        in ("is", "looks", "feels", "has", "seems", "more", "less", "isnt", "hasnt")
    )


def _is_exactly(items: list[Item], at: int) -> bool:
    """ "twelve hundred on the nose": exactly."""
    return [one.word for one in items[at - 2 : at]] == ["on", "the"] and (
        at > OF_NUMBER - 1 and items[at - OF_NUMBER].number is not None
    )


def _is_there(clause: Clause, at: int) -> bool:
    """ "the skin underneath", "skin's flaky up there": the place just spoken of."""
    return any(
        one.word.split()[-1] in ("underneath", "there", "beneath", "under")
        for one in clause.items[at + 1 : at + 7]
        if one.word
    )
