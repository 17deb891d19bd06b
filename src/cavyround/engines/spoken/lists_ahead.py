"""A list whose place comes last: "no crusts, redness or swelling on the left ear"."""

from collections.abc import Sequence

from cavyround.engines.spoken.beside import is_linked_ahead
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.places import spots_of
from cavyround.engines.spoken.spots import Spot

# So many parts of a list are looked through.
LONGEST_LIST = 8
JOINING = frozenset({"or", "and", "nor", "any", "a", "some", "an", "no"})


def place_at_the_end(clauses: Sequence[Clause], index: int) -> list[Spot]:
    """The place that the last part of a list names for all of it; empty for none."""
    first = clauses[index]
    if not _is_part(first):
        return []
    for later in clauses[index + 1 : index + 1 + LONGEST_LIST]:
        if later.sentence != first.sentence:
            return []
        if _is_part(later):
            continue
        return _linked_place(later)
    return []


def _is_part(clause: Clause) -> bool:
    """Nothing but signs and what joins them."""
    return any(item.has("sign") for item in clause.items) and all(
        not item.left_out
        and (item.has("sign") or item.word in JOINING or item.cue("no", "slight", "marked"))
        for item in clause.items
    )


def _linked_place(clause: Clause) -> list[Spot]:
    """The place of a part that begins with signs and goes on with where they are."""
    items = clause.items
    signs = [at for at, item in enumerate(items) if item.has("sign")]
    if not signs or any(items[at].word not in JOINING for at in range(signs[0])):
        return []
    spots = [spot for spot in spots_of(clause, ()) if spot.at > signs[0]]
    if not spots or not is_linked_ahead(clause, signs[-1], spots[0]):
        return []
    return spots
