"""Which steps were looked at and said, skipped, or only covered by a blanket word."""

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk, Sheet
from cavyround.engines.spoken.spots import Spot
from cavyround.knowledge.book import Knowledge

# The order of the shared vocabulary, section 1.
STEPS = (
    "weight",
    "manner",
    "eating",
    "droppings",
    "urine",
    "breathing",
    "nose",
    "eyes",
    "ears",
    "front_teeth",
    "mouth",
    "chin_neck",
    "coat",
    "skin",
    "condition",
    "chest_back",
    "belly",
    "nipples",
    "genitals",
    "bottom",
    "grease_gland",
    "legs_gait",
    "feet",
    "nails",
)
# Care left undone, or still to do, is no look at its place.
LOOKED_AT = frozenset({"done", "partly"})
SURELY_SKIPPED = frozenset(
    [
        "didnt",
        "havent",
        "couldnt",
        "skipped",
        "skip",
        "skipping",
        "forgot",
        "missed",
        "wouldnt",
        "wont",
        "never",
    ]
)


def note_skips(
    clause: Clause, spots: list[Spot], desk: Desk, book: Knowledge, *, filed: int
) -> bool:
    """Steps that the speaker says were not done; True where there were some."""
    cues = [item for item in clause.items if item.cue("skip") and not item.left_out]
    if not cues or filed:
        return False
    steps = _left_out(clause, spots, cues, book)
    for step in steps:
        for name in desk.of_now:
            desk.sheet(name).skipped.setdefault(step)
    if steps:
        for cue in cues:
            cue.used = True
    return bool(steps)


def _left_out(clause: Clause, spots: list[Spot], cues: list[Item], book: Knowledge) -> list[str]:
    steps: list[str] = []
    if any(item.has("about", "weight_words") for item in clause.items):
        steps.append("weight")
    for spot in spots:
        denied = any(cue.start < spot.items[0].start for cue in cues)
        if denied and (step := book.step_of(spot.region)):
            steps.append(step)
    steps.extend(
        "weight"
        for cue in cues
        if cue.word.endswith(("weigh", "weighed", "got weighed")) and "only" not in cue.word
    )
    return steps


def named_steps(sheet: Sheet) -> tuple[str, ...]:
    """Steps with a finding of their own, or with care that cannot be done without looking."""
    named = {filed.step for filed in sheet.findings}
    named |= {given.step for given in sheet.care if given.status in LOOKED_AT}
    return tuple(step for step in STEPS if step in named)


def steps_of(sheet: Sheet) -> dict[str, tuple[str, ...]]:
    """Named, under a blanket word, said to be skipped, and not covered at all."""
    named = named_steps(sheet)
    skipped = tuple(step for step in STEPS if step in sheet.skipped and step not in named)
    rest = [step for step in STEPS if step not in named]
    blanket = tuple(step for step in rest if step not in skipped) if sheet.blanket else ()
    return {
        "steps_named": named,
        "steps_blanket": blanket,
        "steps_skipped": skipped,
        "steps_not_covered": tuple(step for step in rest if step not in blanket),
    }
