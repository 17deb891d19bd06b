"""Which places stand beside a sign: before it, behind it, in the list that still goes on."""

from itertools import pairwise

from cavyround.engines.spoken.breaths import OF_PLACE
from cavyround.engines.spoken.choosing import SURFACES
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk
from cavyround.engines.spoken.spots import Spot

# Further away than so many words nothing belongs to a sign.
GAP = 6
# So many signs may stand between a sign and the place both are at.
MOST_SIGNS = 2
BEHIND_EAR = 2
# "dots low on the belly": no sign of its own there.
WHEREABOUTS = frozenset({"low", "high", "up", "down"})
PASSED = frozenset(
    [
        "the",
        "his",
        "her",
        "its",
        "their",
        "a",
        "an",
        "either",
        "each",
        "both",
        "left",
        "right",
        "one",
        "of",
        "bit",
        "little",
        "my",
        "lower",
        "upper",
        "hind",
        "front",
        "back",
        "only",
        "just",
        "right-hand",
        "left-hand",
        "hand",
        "outer",
        "inner",
        "same",
    ]
)


def places_beside(
    clause: Clause, at: int, spots: list[Spot], desk: Desk, *, sign_first: bool
) -> list[list[Spot]]:
    """Groups of places the sign may be at, the likeliest first."""
    after = _group_after(clause, at, spots)
    linked = bool(after) and _is_linked(clause, at, after[0])
    adjacent = bool(after) and _is_adjacent(clause, at, after[0])
    before = _group_before(clause, at, spots)
    groups: list[list[Spot]] = []
    if {"elsewhere", "else", "anywhere"} & set(clause.words):
        return [after] if linked else []
    if linked or (adjacent and (sign_first or not before)):
        groups.append(after)
    if before and _goes_on(clause, before, desk):
        before = [*desk.pending, *before]
    if before:
        groups.append(before)
    if adjacent and after not in groups:
        groups.append(after)
    if desk.pending and not before:
        groups.append(list(desk.pending))
    if before and desk.pending and _only_general(before):
        groups.append(list(desk.pending))
    return groups


def is_of_it(clause: Clause, at: int) -> bool:
    """ "white stuff coming out of it", "a scab on it": at the place just spoken of."""
    later = clause.items[at + 1 : at + 1 + GAP]
    return any(
        one.word.split(" ")[-1] in OF_PLACE and following.word in ("it", "them", "that")
        for one, following in pairwise(later)
    )


def _goes_on(clause: Clause, before: list[Spot], desk: Desk) -> bool:
    """ "eyes, ears, nose fine": the places before the commas belong to the list."""
    if not desk.pending or not desk.listing:
        return False
    lead = clause.items[: clause.items.index(before[0].items[0])]
    return all(one.word in ("and", "his", "her", "the", "or") for one in lead)


def _only_general(group: list[Spot]) -> bool:
    return all(spot.region in SURFACES for spot in group)


def _group_before(clause: Clause, at: int, spots: list[Spot]) -> list[Spot]:
    before = [spot for spot in spots if spot.at < at]
    if not before:
        return []
    group = [before[-1]]
    for spot in reversed(before[:-1]):
        between = clause.items[spot.end + 1 : group[0].at]
        words = {item.word for item in between if not any(item is i for i in group[0].items)}
        if words - {"and", "or", "his", "her", "the", "its"}:
            break
        if spot.region in SURFACES and clause.items[group[0].at].word.split()[0] in OF_PLACE:
            # "skin over the back": one place, not two.
            break
        group.insert(0, spot)
    return group


def _group_after(clause: Clause, at: int, spots: list[Spot]) -> list[Spot]:
    after = [spot for spot in spots if spot.at > at]
    if not after:
        return []
    group = [after[0]]
    for spot in after[1:]:
        between = {item.word for item in clause.items[group[-1].end + 1 : spot.at]}
        if between - {"and", "or", "his", "her", "the", "its", "left", "right"} or not between:
            break
        group.append(spot)
    return group


def _between(clause: Clause, at: int, spot: Spot) -> list[Item]:
    begin = min([spot.at, *(clause.items.index(one) for one in spot.items if one in clause.items)])
    return clause.items[at + 1 : max(begin, at + 1)]


def _is_linked(clause: Clause, at: int, spot: Spot) -> bool:
    between = _between(clause, at, spot)
    if len(between) > GAP or any(
        one.has("sign") and not one.notes.get("kind_of") and one.word not in OF_PLACE
        for one in between
    ):
        # "crust and discharge on the left eye": both are there.
        signs = [one for one in between if one.has("sign") and one.word not in OF_PLACE]
        if len(between) > GAP or len(signs) > MOST_SIGNS:
            return False
        rest = {one.word for one in between if one not in signs}
        if between and between[0] in signs and between[0].word not in WHEREABOUTS:
            # "a crusty bald ring on the nose": both are of the place.
            return bool(rest & OF_PLACE)
        return bool(rest & OF_PLACE) and bool({"and", "or", "no"} & rest)
    return (
        any(one.word.split()[-1] in OF_PLACE for one in between)
        or (spot.region == "behind_ear" and len(between) <= BEHIND_EAR)
        or clause.items[spot.at].word.split()[0] in OF_PLACE | {"behind", "under"}
    )


def is_linked_ahead(clause: Clause, at: int, spot: Spot) -> bool:
    """Whether a place behind the last sign of a list is tied to it."""
    return spot.at > at and _is_linked(clause, at, spot)


def _is_adjacent(clause: Clause, at: int, spot: Spot) -> bool:
    between = _between(clause, at, spot)
    return all(one.word in PASSED or one.has("side") for one in between)
