"""Whether care was done, partly, not at all or is only planned; on which side; of what."""

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk
from cavyround.engines.spoken.spots import Spot
from cavyround.facts.observation import Side

FUTURE = frozenset(
    {"will", "gonna", "going", "need", "needs", "should", "must", "ll", "tomorrow", "want", "wants"}
)
DID = frozenset({"done", "gave", "given", "did", "went", "gone", "took", "been"})
# These are done by the telling: an appointment is booked today for another day.
DONE_BY_TELLING = frozenset({"vet_call", "moved", "sample", "photo"})
SIDED = {
    "ear_wipe": "ear",
    "eye_wipe": "eye",
    "eye_drops": "eye",
    "foot_soak": "foot",
    "hair_removed": "",
    "wound_clean": "",
    "cream": "",
}
NEAR = 5
SAMPLES = {
    "pluck": "hair",
    "hair": "hair",
    "wee": "urine",
    "urine": "urine",
    "pee": "urine",
    "poo": "droppings",
    "poop": "droppings",
    "poos": "droppings",
    "faecal": "droppings",
    "fecal": "droppings",
    "stool": "droppings",
    "droppings": "droppings",
    "skin": "skin",
    "scrape": "skin",
    "scraping": "skin",
    "tape": "skin",
    "swab": "swab",
}


def care_status(clause: Clause, care: str, item: Item) -> str:
    """The status of a care: done, partly, not_done or planned."""
    if "care_status" in item.notes:
        return item.notes["care_status"]
    at = clause.items.index(item)
    before = _near_before(clause, at)
    words = {word for one in before for word in one.word.split()}
    if any(one.cue("not_done") or one.cue("no") for one in before) or any(
        one.cue("not_done") for one in clause.items[at:] if one.word not in ("cant", "left")
    ):
        return "not_done"
    future = bool(words & FUTURE) or any(
        one.tail == "ll" or (one.word == "like" and one is not item) for one in before
    )
    if care in DONE_BY_TELLING:
        return "planned" if future else "done"
    if future or (_is_planned(clause) and not DID & set(clause.words)):
        return "planned"
    if (
        care == "medicine_dose"
        and {"half", "some"} & set(clause.words[-4:])
        and "down" in clause.words
    ):
        return "partly"
    if item.word.endswith(" only") or (care == "nail_trim" and _one_end(clause)):
        return "partly"
    if care in (
        "nail_trim",
        "grease_gland_clean",
        "sac_clean",
        "coat_trim",
        "bath",
        "ear_wipe",
        "brush",
    ) and clause.cued("partly"):
        return "partly"
    return "done"


FRONTS = frozenset({"front", "fronts"})
BACKS = frozenset({"back", "backs", "hind", "hinds", "rear"})


def _one_end(clause: Clause) -> bool:
    """ "I've cut the fronts"."""
    words = set(clause.words)
    return bool(words & {"fronts", "backs"}) and bool(words & FRONTS) is not bool(words & BACKS)


def _is_planned(clause: Clause) -> bool:
    """Whether something is still to come; "an hour later" is told of what was."""
    return any(
        item.cue("plan")
        and not (
            item.word == "later"
            and at
            and clause.items[at - 1].word in ("hour", "hours", "minutes")
        )
        for at, item in enumerate(clause.items)
    )


def care_side(care: str, spots: list[Spot], desk: Desk) -> Side:
    """The side a care was done on; not said where the care has none."""
    if care not in SIDED:
        return Side.NOT_SAID
    organ = SIDED[care]
    for spot in (*reversed(spots), *desk.pending, *desk.topic):
        if organ in ("", spot.region) or (organ == "foot" and "foot" in spot.region):
            if organ == "" and care != "hair_removed":
                return Side.NOT_SAID
            return spot.side
    return Side.NOT_SAID


def _near_before(clause: Clause, at: int) -> list[Item]:
    """What stands before a care in the same thought."""
    near: list[Item] = []
    for item in reversed(clause.items[:at]):
        if len(near) > NEAR or (item.has("sign") and not item.has("verb")):
            break
        near.insert(0, item)
    return near


def sample_of(clause: Clause) -> str:
    """What was taken for the sample; empty where it was not said."""
    return next((SAMPLES[word] for word in clause.words if word in SAMPLES), "")
