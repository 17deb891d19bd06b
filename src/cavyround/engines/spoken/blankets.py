"""Words for all that was not named: "the rest fine", "otherwise good"."""

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.sheets import Desk
from cavyround.engines.spoken.spots import Spot

OF_THE_REST = ("rest", "the rest", "all the rest", "otherwise", "everything else", "nothing else")
# "Rex nothing": so short a clause is of the whole animal.
FEW, FEW_WITH_NAME = 3, 4


def note_blankets(
    clause: Clause, spots: list[Spot], desk: Desk, *, filed: int, names_only: bool
) -> None:
    """A word for all that was not named; it is no look at a step.

    ``names_only``: the clause said nothing but names.
    """
    words = [
        item for item in clause.items if item.cue("blanket") and not item.left_out and not item.used
    ]
    bare = [
        item for item in clause.items if item.cue("nothing") and not item.left_out and not item.used
    ]
    if filed or spots or desk.pending:
        words = [item for item in words if item.word.startswith(OF_THE_REST)]
    elif (bare and not words and any(item.name for item in clause.items)) or (
        bare and not words and not names_only and len(clause.items) <= FEW and desk.named
    ):
        words = bare if len(clause.items) <= FEW_WITH_NAME else []
    for item in words:
        item.used = True
        for name in desk.of_now:
            desk.sheet(name).blanket.append(item)
