"""Which of its meanings a sign has, at which of the places it may be at, there or not."""

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.lexicon import Meaning
from cavyround.engines.spoken.spots import FEET, LEGS, Spot
from cavyround.facts.observation import Side, Status
from cavyround.knowledge.words import SignWords

# Signs that name their own place: what follows is said of it too ("no snot, no crust").
OF_ITSELF = frozenset(
    {"nose", "eye", "mouth", "ear", "droppings", "urine", "breathing", "belly", "vulva", "penis"}
    | {"testicle", "nails", "front_teeth", "perineal_sac", "grease_gland"}
)
SURFACES = frozenset({"coat", "skin"})
# Said of "the left hind" these are of the leg, not of the foot.
OF_LEGS = frozenset({"stiff", "limp", "dragging_legs", "broken"})
NO_SIDE = frozenset({"head_shaking", "none_passed"})
NEVER_UNCERTAIN = frozenset({"normal", "bright", "eating_normally", "lively"})


def choose(
    means: list[Meaning],
    groups: list[list[Spot]],
    topic: list[Spot],
    *,
    home: bool = False,
    around: tuple[str, ...] = (),
) -> list[tuple[SignWords, Spot | None]]:
    """The meanings that fit, each with its place; None where it has none but its own."""
    senses: list[SignWords] = [one.entry for one in means]
    for group in groups:
        said_too = [*around, *(spot.region for one in groups for spot in one)]
        fits = _fitting(senses, group, said_too)
        if fits:
            return fits
    keeping = [sense for sense in senses if sense.keeps]
    if keeping and (fits := _fitting(keeping, topic, [spot.region for spot in topic])):
        return fits
    free = [sense for sense in senses if not sense.at and (sense.to or sense.home)]
    if home and free and not groups and _is_of_the_place(free[0], topic):
        # Told of a place, its own meaning goes first: a scar is "flat".
        own = _fitting([one for one in senses if one.at], topic, [spot.region for spot in topic])
        if own:
            return own
    if free:
        sense = free[0]
        said = [spot for group in groups for spot in group]
        near = next((spot for spot in said if spot.region == sense.to), None)
        if near is None and not sense.to:
            near = next((spot for spot in said if _is_surface(spot.region)), None)
        return [(sense, near)]
    far = [sense for sense in senses if home or not sense.near]
    fits = _fitting(far, topic, [spot.region for spot in topic])
    if fits:
        return fits
    at_home = next((sense for sense in senses if sense.home), None)
    return [(at_home, None)] if at_home is not None else []


def _is_of_the_place(free: SignWords, topic: list[Spot]) -> bool:
    """What the animal does is done whatever place is told of: "scratches till he bleeds"."""
    regions = {spot.region for spot in topic}
    return regions == {"whole"} or not (free.form == "doing" or regions & SURFACES)


def _fitting(
    senses: list[SignWords], group: list[Spot], around: list[str]
) -> list[tuple[SignWords, Spot | None]]:
    fits: list[tuple[SignWords, Spot | None]] = []
    for spot in group:
        for sense in senses:
            at = sense.at
            if spot.loose and LEGS[spot.loose] in at and sense.finding in OF_LEGS:
                fits.append((sense, spot))
                break
            if spot.region in at or (spot.loose and LEGS[spot.loose] in at):
                fits.append((sense, spot))
                break
            # "fur is thin on the flanks": coat said, place elsewhere.
            if (
                SURFACES & set(at) & set(around)
                and spot.region not in SURFACES
                and (sense.finding != "normal")
                and _is_surface(spot.region)
            ):
                fits.append((sense, spot))
                break
    return fits


def _is_surface(region: str) -> bool:
    return region in {
        "head",
        "face",
        "neck",
        "chin",
        "chest",
        "shoulder",
        "back",
        "flank",
        "rump",
        "belly",
        "groin",
        "behind_ear",
        "front_leg",
        "hind_leg",
        "anus",
        "nose",
        "ear",
    }


def placed(sense: SignWords, spot: Spot | None) -> tuple[str, Side]:
    """Region and side of a finding: its own, or those of the place it was said at."""
    if sense.to:
        fits = spot is not None and (
            spot.region == sense.to or sense.to in ("eye", "nose", "nails", "perineal_sac")
        )
        if sense.finding in NO_SIDE:
            return sense.to, Side.NOT_SAID
        return sense.to, spot.side if spot is not None and fits else Side.NOT_SAID
    if spot is None:
        return sense.home or "whole", Side.NOT_SAID
    region = spot.region
    if (
        spot.loose
        and LEGS[spot.loose] in sense.at
        and (region not in sense.at or sense.finding in OF_LEGS)
    ):
        region = LEGS[spot.loose]
    if sense.finding == "limp":
        region = {"foot": "hind_leg", **{v: LEGS[k] for k, v in FEET.items()}}.get(region, region)
    return region, spot.side


def side_of_phrase(clause: Clause, at: int, sense: SignWords) -> Spot | None:
    """ "left lens cloudy": the words name their own place, the side stands before them."""
    if not sense.to:
        return None
    within = clause.items[at].word.split()
    for word, side in (("left", Side.LEFT), ("right", Side.RIGHT), ("both", Side.BOTH)):
        if word in within:
            return Spot(sense.to, side, at, ())
    if sense.finding == "head_tilt":
        # "tilted to the left": the side stands behind.
        for item in clause.items[at + 1 : at + 4]:
            if item.word in ("left", "right") and item.has("side"):
                return Spot(sense.to, Side(item.of("side")[0].code), at, (item,))
    for item in reversed(clause.items[max(0, at - 2) : at]):
        if item.has("side") and item.word in ("left", "right", "both"):
            if item.word == "right" and clause.items[0] is item and clause.opens:
                return None
            return Spot(sense.to, Side(item.of("side")[0].code), at, (item,))
    return None


def status_of(item: Item, sense: SignWords) -> Status | None:
    """There, not there or in doubt; None where the words say nothing at all ("not fine")."""
    said = item.notes.get("status")
    if sense.status == "uncertain":
        return Status.ABSENT if said == Status.ABSENT else Status.UNCERTAIN
    if sense.status == "absent":
        return None if said == Status.ABSENT else Status.ABSENT
    if sense.finding in NEVER_UNCERTAIN and said is not None:
        return None if said == Status.ABSENT else Status.PRESENT
    return Status(said) if said is not None else Status.PRESENT
