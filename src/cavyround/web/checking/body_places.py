"""Where a region lies on the drawn outline, so that what was read in words can be shown on it.

Geometry of our own two drawings, nothing of the trade: 0 to 1000 both ways, nose up, on the side
of the animal's left as the drawing shows it. What lies on no one place has none.
"""

from dataclasses import dataclass
from typing import Literal

MIDDLE = 500


@dataclass(frozen=True, slots=True)
class Place:
    """A point of one of the drawings; ``off`` is how far to the side of the middle line."""

    view: Literal["above", "below"]
    off: int
    y: int


PLACES = {
    "head": Place("above", 0, 190),
    "face": Place("above", 70, 130),
    "nose": Place("above", 0, 60),
    "eye": Place("above", 112, 158),
    "ear": Place("above", 210, 250),
    "behind_ear": Place("above", 150, 310),
    "neck": Place("below", 0, 270),
    "shoulder": Place("above", 150, 400),
    "back": Place("above", 0, 560),
    "flank": Place("above", 220, 640),
    "rump": Place("above", 0, 840),
    "grease_gland": Place("above", 0, 935),
    "lips": Place("below", 40, 88),
    "mouth": Place("below", 0, 92),
    "front_teeth": Place("below", 0, 110),
    "cheek_teeth": Place("below", 55, 150),
    "chin": Place("below", 60, 190),
    "chest": Place("below", 60, 400),
    "belly": Place("below", 70, 580),
    "groin": Place("below", 110, 740),
    "nipple": Place("below", 66, 700),
    "vulva": Place("below", 0, 830),
    "penis": Place("below", 0, 815),
    "testicle": Place("below", 45, 860),
    "perineal_sac": Place("below", 0, 900),
    "anus": Place("below", 0, 925),
    "front_leg": Place("below", 142, 390),
    "hind_leg": Place("below", 165, 820),
    "front_foot": Place("below", 147, 300),
    "hind_foot": Place("below", 175, 690),
    "foot": Place("below", 165, 760),
    "nails": Place("below", 175, 665),
}


def spots(region: str, side: str) -> list[dict[str, object]]:
    """The points to draw for a region and side: two for both, none where the place has none."""
    place = PLACES.get(region)
    if place is None:
        return []
    # From below the animal's left lies on the right of the drawing.
    left = MIDDLE - place.off if place.view == "above" else MIDDLE + place.off
    right = 2 * MIDDLE - left
    across = {"L": [left], "R": [right], "B": [left, right]}.get(side, [MIDDLE])
    paired_unsaid = side in ("N", "one") and place.off > MIDDLE // 10
    return [
        {"view": place.view, "x": x, "y": place.y, "guessed": paired_unsaid}
        for x in dict.fromkeys(across)
    ]
