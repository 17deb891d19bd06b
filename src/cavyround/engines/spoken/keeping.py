"""What is kept in mind when a clause ends: the places spoken of, the signs left out."""

from itertools import pairwise

from cavyround.engines.spoken.choosing import OF_ITSELF
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.sheets import Desk
from cavyround.engines.spoken.spots import OPPOSITE, Spot
from cavyround.facts.observation import Side

# Places with more words between them were not said in one breath.
ONE_BREATH = 2
CARED_FOR = {
    "eye_drops": "eye",
    "eye_wipe": "eye",
    "ear_wipe": "ear",
    "sac_clean": "perineal_sac",
    "bottom_wash": "anus",
    "grease_gland_clean": "grease_gland",
}
LEFT_OUT = frozenset({"history", "hypothetical", "question", "general_talk", "other_person"})


def keep_places(
    clause: Clause, spots: list[Spot], desk: Desk, *, filed: bool, weighed: bool
) -> None:
    """Remember the places that were spoken of."""
    _keep_left_signs(clause, spots, desk)
    _keep_aside(clause, desk)
    _keep_both(spots, desk)
    clause_spots, desk.filed_spots = desk.filed_spots, []
    desk.listing = bool(spots) and not filed and _only_places(clause, spots)
    if spots and not filed:
        if not _related(desk.pending, spots):
            desk.pending = [*desk.pending, *spots]
        else:
            desk.pending = list(spots)
        desk.topic, desk.foreign = tuple(spots), False
    elif spots:
        near = clause_spots or _nearest(spots)
        desk.topic, desk.pending, desk.foreign = tuple(near), [], False
    elif filed and clause_spots and clause_spots[0].region in OF_ITSELF:
        desk.topic, desk.pending, desk.foreign = tuple(clause_spots), [], False
    elif filed:
        if desk.pending:
            desk.topic = tuple(desk.pending)
        desk.pending = []
    if clause.ended in (".", "?") and not spots and not filed and not weighed:
        desk.pending = []
    if desk.home and clause.ended in (".", "?"):
        # The next sentence is about the same region again.
        desk.topic, desk.pending = desk.home, []


def _keep_both(spots: list[Spot], desk: Desk) -> None:
    """One side after the other: what follows without a place may be of both."""
    for spot in spots:
        if spot.side not in OPPOSITE:
            desk.of_both, desk.one_side = "", None
            continue
        last = desk.one_side
        other = last == (spot.region, OPPOSITE[spot.side])
        desk.of_both = spot.region if other else ""
        desk.one_side = (spot.region, spot.side)


def _keep_left_signs(clause: Clause, spots: list[Spot], desk: Desk) -> None:
    for item in clause.items:
        if item.left_out in LEFT_OUT and item.has("sign") and not item.has("sign", "normal"):
            desk.last_sign = (item, tuple(spots))


def _keep_aside(clause: Clause, desk: Desk) -> None:
    """A place spoken of in a question, in general, or of an earlier day."""
    said = [
        Spot(one.code, Side.BOTH if one.sort == "places" else Side.NOT_SAID, at, (item,), end=at)
        for at, item in enumerate(clause.items)
        if item.left_out in LEFT_OUT
        for one in item.mark_means()
        if one.sort in ("place", "places") and not one.entry.needs
    ]
    if said:
        desk.aside, desk.aside_sentence = tuple(said[-1:]), clause.sentence


def recall_aside(clause: Clause, desk: Desk) -> None:
    """ "Cyril's is empty", "left's still clear", "it's clear": of what was spoken of aside."""
    if not desk.aside or clause.sentence - desk.aside_sentence > 1:
        return
    if any(item.has("place") or item.has("places") for item in clause.items):
        desk.aside = ()
        return
    if _is_elliptic(clause):
        desk.topic, desk.pending, desk.foreign = desk.aside, [], False
        desk.aside = ()


def place_of_care(desk: Desk) -> None:
    """ "Two drops in each eye. They're both red.": care tells the place as well."""
    for _, given in desk.last_care:
        region = CARED_FOR.get(given.care)
        if region:
            desk.topic, desk.foreign = (Spot(region, given.side, 0),), False


def _is_elliptic(clause: Clause) -> bool:
    items = [item for item in clause.items if not item.left_out]
    if {"either", "them"} & set(clause.words):
        return any(item.has("sign") for item in items)
    for item, following in pairwise(items):
        verb = following.word in ("is", "are", "s", "looks") or following.has("sign")
        if item.name and item.tail == "s" and following.word in ("is", "are"):
            return True
        if item.word in ("it", "they", "his", "hers", "theirs") and (item.tail == "s" or verb):
            return True
        if item.has("side") and not item.cue("resume") and verb:
            return True
        if item.word == "right" and verb and item.tail == "s":
            return True
    return False


def _only_places(clause: Clause, spots: list[Spot]) -> bool:
    own = {id(item) for spot in spots for item in spot.items}
    return all(
        id(item) in own or item.cue("resume") or item.word in ("and", "his", "her", "the", "or")
        for item in clause.items
    )


def _nearest(spots: list[Spot]) -> list[Spot]:
    group = [spots[-1]]
    for spot in reversed(spots[:-1]):
        if group[0].at - spot.end <= ONE_BREATH:
            group.insert(0, spot)
        else:
            break
    return group


def _related(pending: list[Spot], spots: list[Spot]) -> bool:
    families = (
        {"foot", "front_foot", "hind_foot", "front_leg", "hind_leg"},
        {"front_teeth", "cheek_teeth", "mouth"},
    )
    for old in pending:
        for new in spots:
            if old.region == new.region or any(
                old.region in family and new.region in family for family in families
            ):
                return True
    return False
