"""The rooms and pens of the invented rescue."""

from cavyround.record.models import Pen
from cavyround.record.places import keep_pen, keep_room

# Room, then its pens: key, name, kind.
HOUSE: tuple[tuple[str, tuple[tuple[str, str, str], ...]], ...] = (
    (
        "Long Room",
        (
            ("nest", "Nest", "nursery"),
            ("hayloft", "Hayloft", "nursery"),
            ("clover", "Clover", "residents"),
            ("dandelion", "Dandelion", "residents"),
            ("plantain", "Plantain", "residents"),
            ("chicory", "Chicory", "residents"),
            ("yarrow", "Yarrow", "residents"),
            ("meadow", "Meadow run", "residents"),
        ),
    ),
    (
        "Quarantine shed",
        (
            ("q1", "Quarantine 1", "quarantine"),
            ("q2", "Quarantine 2", "quarantine"),
            ("q3", "Quarantine 3", "quarantine"),
            ("q4", "Quarantine 4", "quarantine"),
        ),
    ),
    ("Sick room", (("sick", "Sick bay", "sick_bay"),)),
    ("Wash house", (("isolation", "Isolation", "isolation"),)),
    ("Foster home", (("foster", "Foster home of the Marlows", "foster"),)),
)


def build_house() -> dict[str, Pen]:
    """All pens, by their key."""
    pens: dict[str, Pen] = {}
    for room_name, inside in HOUSE:
        room = keep_room(room_name)
        for key, name, kind in inside:
            pens[key] = keep_pen(room, name, kind)
    return pens
