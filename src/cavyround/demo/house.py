"""The rooms and pens of the invented rescue."""

from cavyround.record.models import Pen
from cavyround.record.places import Floor, keep_pen, keep_room

# Room, then its pens: key, name, kind, floor in cm²; one was never measured.
HOUSE: tuple[tuple[str, tuple[tuple[str, str, str, int | None], ...]], ...] = (
    (
        "Long Room",
        (
            ("nest", "Nest", "nursery", 10000),
            ("hayloft", "Hayloft", "nursery", 10000),
            ("clover", "Clover", "residents", 9800),
            ("dandelion", "Dandelion", "residents", 9800),
            ("plantain", "Plantain", "residents", 7200),
            ("chicory", "Chicory", "residents", 9800),
            ("yarrow", "Yarrow", "residents", 15000),
            ("meadow", "Meadow run", "residents", 30000),
        ),
    ),
    (
        "Quarantine shed",
        (
            ("q1", "Quarantine 1", "quarantine", 9800),
            ("q2", "Quarantine 2", "quarantine", 7200),
            ("q3", "Quarantine 3", "quarantine", 7200),
            ("q4", "Quarantine 4", "quarantine", None),
        ),
    ),
    ("Sick room", (("sick", "Sick bay", "sick_bay", 7200),)),
    ("Wash house", (("isolation", "Isolation", "isolation", 7200),)),
    ("Foster home", (("foster", "Foster home of the Marlows", "foster", 9800),)),
)


def build_house() -> dict[str, Pen]:
    """All pens, by their key."""
    pens: dict[str, Pen] = {}
    for room_name, inside in HOUSE:
        room = keep_room(room_name)
        for key, name, kind, area in inside:
            pens[key] = keep_pen(room, name, kind, floor=Floor(area_cm2=area))
    return pens
