"""The dose round of the last day: begun by somebody, and much still to be given."""

from cavyround.demo.dosing import Cabinet, Given, begins, every, gives, orders
from cavyround.demo.story import Story
from cavyround.facts.lengths import days
from cavyround.facts.schedules import IfLate, IfMissed, IfPartly

WORMED = ("marjoram", "otis", "quince", "barnaby", "wilf")
YESTERDAY, MORNING = 1, 510


def tell_doses_today(story: Story, cabinet: Cabinet) -> None:
    """Two pens are wormed together; this morning one dose went in, one was refused."""
    orders(
        story,
        cabinet,
        "worms",
        2,
        "fenbendazole",
        drug="fenbendazole",
        dose="20 mg/kg",
        route="by_mouth",
        strength="100 mg/mL",
        why="worm eggs in the droppings of both pens",
        against=("paraspidodera",),
        when=lambda: every(
            days(1),
            story.clock.day(YESTERDAY),
            doses=5,
            if_late=IfLate.GIVE_KEEP_PLAN,
            if_missed=IfMissed.ADD_AT_END,
            if_partly=IfPartly.COUNTS,
        ),
    )
    begins(story, cabinet, "worms", WORMED, YESTERDAY)
    for key in WORMED:
        gives(story, cabinet, "worms", key, 1, Given(ago=YESTERDAY))
    gives(story, cabinet, "worms", "marjoram", 2, Given(ago=0, minute=MORNING))
    refused = Given(ago=0, minute=MORNING + 2, outcome="refused", why="clenched its teeth")
    gives(story, cabinet, "worms", "otis", 2, refused)
    gives(story, cabinet, "vitamin_c", "damson", 2, Given(ago=0, minute=MORNING + 8))
