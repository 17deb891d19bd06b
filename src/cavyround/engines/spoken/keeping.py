"""What is kept in mind when a clause ends: the places spoken of, the signs left out."""

from cavyround.engines.spoken.choosing import OF_ITSELF
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.sheets import Desk
from cavyround.engines.spoken.spots import Spot

# Places with more words between them were not said in one breath.
ONE_BREATH = 2


def keep_places(
    clause: Clause, spots: list[Spot], desk: Desk, *, filed: bool, weighed: bool
) -> None:
    """Remember the places that were spoken of."""
    _keep_left_signs(clause, spots, desk)
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


def _keep_left_signs(clause: Clause, spots: list[Spot], desk: Desk) -> None:
    for item in clause.items:
        if (
            item.left_out in ("history", "hypothetical")
            and item.has("sign")
            and not item.has("sign", "normal")
        ):
            desk.last_sign = (item, tuple(spots))


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
