"""The rooms and pens of the invented rescue."""

from cavyround.record.models import Pen, Room

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
    for place, (room_name, inside) in enumerate(HOUSE):
        room = Room.objects.create(name=room_name, position=place)
        for position, (key, name, kind) in enumerate(inside):
            pens[key] = Pen.objects.create(room=room, name=name, kind=kind, position=position)
    return pens
