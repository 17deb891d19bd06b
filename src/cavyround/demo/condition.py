"""Body condition scored by hand about once a month, so that a score stands beside the weight."""

from cavyround.demo.ailments import seen
from cavyround.demo.story import Story, Visit

# Who was scored, how many days ago about, and what. Saffron loses and still
# feels the same; Marjoram gains and is bony, which no flesh explains.
SCORES: tuple[tuple[str, int, int], ...] = (
    ("saffron", 45, 3),
    ("saffron", 8, 3),
    ("marjoram", 44, 3),
    ("marjoram", 0, 2),
    ("bramley", 40, 3),
    ("bramley", 9, 3),
    ("tansy", 38, 3),
    ("tansy", 10, 3),
    ("otis", 35, 3),
    ("otis", 6, 3),
    ("nutmeg", 12, 3),
    ("fern", 5, 3),
)


def tell_condition(story: Story) -> None:
    """Each score at the full check nearest to its day."""
    for key, ago, score in SCORES:
        if visit := _nearest(story, key, ago):
            scored = seen("whole", "body_condition", value=str(score), unit="of_5")
            visit.sitting.found.append(scored)


def _nearest(story: Story, key: str, ago: int) -> Visit | None:
    days = [
        day
        for (who, day), visit in story.visits.items()
        if who == key and visit.sitting.kind == "full" and not visit.sitting.put_down
    ]
    return story.visits[key, min(days, key=lambda day: abs(day - ago))] if days else None
