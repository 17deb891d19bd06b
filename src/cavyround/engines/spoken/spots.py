"""A place as it was said, and the words for the ends of the body."""

from dataclasses import dataclass

from cavyround.engines.spoken.items import Item
from cavyround.facts.observation import Side

FEET = {"front": "front_foot", "hind": "hind_foot"}
LEGS = {"front": "front_leg", "hind": "hind_leg"}
ENDS = {
    "front": "front",
    "fronts": "front",
    "fore": "front",
    "hind": "hind",
    "hinds": "hind",
    "back": "hind",
    "backs": "hind",
    "rear": "hind",
}
# May stand between a side and its place.
PASSED = frozenset(
    [
        "hand",
        "of",
        "his",
        "her",
        "the",
        "its",
        "their",
        "sided",
        "to",
        "in",
        "on",
        "side",
        "own",
        "animal's",
        "one",
    ]
)
OPPOSITE = {Side.LEFT: Side.RIGHT, Side.RIGHT: Side.LEFT}


@dataclass(frozen=True, slots=True)
class Spot:
    """A place as said: region, side, the items it came from, where in the clause it stands.

    ``loose``: only "left front" or "hind" was said, so foot or leg goes by the finding.
    """

    region: str
    side: Side
    at: int
    items: tuple[Item, ...] = ()
    loose: str = ""
    many: bool = False
    end: int = 0
