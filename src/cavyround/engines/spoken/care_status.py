"""Whether care was done, partly, not at all or is only planned; on which side; of what."""

from cavyround.engines.spoken.care_telling import Told
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk
from cavyround.engines.spoken.spots import Spot
from cavyround.facts.observation import Side

# These are done by the telling: an appointment is booked today for another day.
DONE_BY_TELLING = frozenset({"vet_call", "moved", "sample", "photo", "heat_pad"})
# Of these a part may be done.
IN_PARTS = frozenset(
    [
        "nail_trim",
        "grease_gland_clean",
        "sac_clean",
        "coat_trim",
        "bath",
        "ear_wipe",
        "brush",
        "bottom_wash",
        "medicine_dose",
        "vitamin_c",
        "syringe_feed",
        "probiotic",
        "eye_drops",
    ]
)
SIDED = {
    "ear_wipe": "ear",
    "eye_wipe": "eye",
    "eye_drops": "eye",
    "foot_soak": "foot",
    "hair_removed": "",
    "wound_clean": "",
    "cream": "",
}
AGAIN = frozenset({"next", "second", "another", "repeat"})
# A "no" right before it, or with one word between.
BESIDE = 2


def care_status(care: str, item: Item, near: list[Item], told: Told) -> str:
    """The status of a care: done, partly, not_done or planned.

    Args:
        care: its code.
        item: the word that tells it.
        near: the words in the same thought.
        told: what these words tell.
    """
    if "care_status" in item.notes:
        return item.notes["care_status"]
    at = next(index for index, one in enumerate(near) if one is item)
    by_telling = care in DONE_BY_TELLING
    first = item.word.split()[:1]
    if (
        (first and first[0] in TO_COME_ITSELF)
        or " to be " in item.word
        or item.word.endswith(" to see")
    ):
        return "planned"
    if first == ["no"]:
        return "not_done"
    if _is_planned_before(near, told, at, by_telling=by_telling):
        return "planned"
    half = care in IN_PARTS and told.says("half")
    if half and not _is_denied_first(told):
        return "partly"
    if _is_not_done(near, told, at, by_telling=by_telling):
        return "not_done"
    if _is_planned_after(near, told, at, by_telling=by_telling):
        return "planned"
    return "partly" if half else "done"


# "needs the vet", "booking him in tomorrow": the words of the care say it themselves.
TO_COME_ITSELF = frozenset(
    {
        "needs",
        "need",
        "wants",
        "want",
        "due",
        "booking",
        "book",
        "isolate",
        "ringing",
        "phoning",
        "calling",
    }
)
TIMES = frozenset({"tomorrow", "later", "next", "first", "in", "booked", "due", "on", "down"})


def _is_time(item: Item) -> bool:
    """ "tomorrow" is when the vet sees it: the booking is done."""
    return item.word.split()[0] in TIMES if item.word else False


def _is_planned_before(near: list[Item], told: Told, at: int, *, by_telling: bool) -> bool:
    """ "needs his nails doing", "can someone trim her nails": still to come."""
    return any(
        place <= at and not _parted(near, told, place, at)
        for family in ("to_come", "asked")
        for place in told.at(family)
        if not by_telling or (place < at and not _is_time(near[place]))
    )


def _parted(near: list[Item], told: Told, start: int, end: int) -> bool:
    """Something was found, or done, between a word and the care: the word is not of the care."""
    signs = any(
        one.has("sign") and not one.has("verb") and not one.has("care")
        for one in near[start + 1 : end]
    )
    # "haven't managed a sample": what follows the denial is denied with it.
    return signs or any(start + 1 < place < end for place in told.at("did"))


def _is_denied_first(told: Told) -> bool:
    """ "haven't done half of what I wanted": a denial before the half, and no part of the care."""
    denied, half = told.at("denied"), told.at("half")
    return bool(denied and half) and denied[0] < half[0] and not told.says("refused")


def _is_not_done(near: list[Item], told: Told, at: int, *, by_telling: bool) -> bool:
    done = told.at("did")
    for place in told.at("denied"):
        if place <= at and not _parted(near, told, place, at):
            return True
        if place > at and not by_telling and not any(one < place for one in done):
            return True
        if place > at and near[place].word.startswith("not "):
            return True
    if any(place <= at or not by_telling for place in told.at("refused")):
        return True
    before = near[max(0, at - BESIDE) : at]
    noes = [index for index, one in enumerate(before) if one.word in ("no", "without")]
    return (
        bool(noes)
        and not any(one.has("sign") and not one.has("care") for one in before[noes[0] + 1 :])
        and not told.says("no_denial")
    )


def _is_planned_after(near: list[Item], told: Told, at: int, *, by_telling: bool) -> bool:
    done = told.at("did")
    for place in (*told.at("to_come"), *told.at("asked")):
        if place <= at or any(one < place for one in done) or _is_past(near[at]):
            continue
        if not by_telling or near[place].word.startswith(("to be", "needs", "need", "due")):
            return True
    if done or by_telling or _is_past(near[at]):
        return False
    again = at > 0 and near[at - 1].word.split()[-1:] and near[at - 1].word.split()[-1] in AGAIN
    return bool(again) or told.says("when") or near[at].word.split()[0] in AGAIN


PAST = frozenset(
    ["did", "done", "cut", "gave", "put", "took", "got", "rang", "rung", "spoke", "went", "had"]
)


def _is_past(item: Item) -> bool:
    """ "bathed", "took out": the word itself says that it was done."""
    return any(
        word in PAST or (word.endswith("ed") and word not in ("feed", "need", "med", "bed"))
        for word in item.word.split()
    )


SIDE_WORDS = {"left": Side.LEFT, "right": Side.RIGHT, "both": Side.BOTH, "each": Side.BOTH}


def _side_in_words(items: list[Item]) -> Side | None:
    """ "drops in left eye": the words of the care say the side themselves."""
    said = [SIDE_WORDS[word] for one in items for word in one.word.split() if word in SIDE_WORDS]
    return said[0] if len(set(said)) == 1 else None


def care_side(care: str, items: list[Item], spots: list[Spot], desk: Desk) -> Side:
    """The side a care was done on; not said where the care has none."""
    if care not in SIDED:
        return Side.NOT_SAID
    if (in_words := _side_in_words(items)) is not None:
        return in_words
    if care == "hair_removed" and not any(spot.side is not Side.NOT_SAID for spot in spots):
        for _, filed in desk.last:
            if filed.finding in ("foreign_body", "debris"):
                return filed.side
    organ = SIDED[care]
    for spot in (*reversed(spots), *desk.pending, *desk.topic):
        if organ in ("", spot.region) or (organ == "foot" and "foot" in spot.region):
            if organ == "" and care != "hair_removed":
                return Side.NOT_SAID
            return spot.side
    return Side.NOT_SAID


def sample_of(clause: Clause, kinds: dict[str, str]) -> str:
    """What was taken for the sample; empty where it was not said."""
    return next((kinds[word] for word in clause.words if word in kinds), "")
