"""Slips and what was done about them: nothing is written over, everything is said."""

from cavyround.demo.ailments import seen
from cavyround.demo.happenings import Slip, corrects
from cavyround.demo.story import Again, Story
from cavyround.demo.weighing import grams_on


def tell_mistakes(story: Story) -> None:
    """All of them."""
    _digits_swapped(story)
    _wrong_animal(story)
    _doubted(story)
    _newcomer(story)
    _this_morning(story)


def _digits_swapped(story: Story) -> None:
    """Otis at one and a half kilograms."""
    story.visit("otis", 28, misread=1511)
    right = {
        "kind": "weight",
        "grams": str(grams_on(story.cast["otis"], 28)),
        "as_typed": f"{grams_on(story.cast['otis'], 28)} g",
        "doubted": False,
    }
    slip = Slip(key="otis", ago=28, kind="weight", noticed=27)
    corrects(story, slip, "Digits swapped: the slip at the scale has it.", right)


def _wrong_animal(story: Story) -> None:
    """Wax that was Quince's."""
    story.visit("marjoram", 42, found=[seen("ear", "wax", "L", kinds=["dark"])])
    words = "Meant for Quince, the next on the table; entered for Marjoram by mistake."
    corrects(story, Slip(key="marjoram", ago=42, kind="observation", noticed=41), words, None)


def _doubted(story: Story) -> None:
    """Readings nobody believed; kept, and weighed again at once."""
    story.visit("burdock", 31, doubted=642, notes=["Jumped off the scale; weighed again."])
    story.visit("fennel", 10, doubted=1988, notes=["Leaned on the rim; weighed again."])


def _newcomer(story: Story) -> None:
    """Damson, caught in a hedge."""
    found = [
        seen("whole", "body_condition", value="2", unit="of_5"),
        seen("nails", "overgrown", "B", grade="moderate"),
        seen("coat", "dirty"),
        seen("flank", "wound", "R", kinds=["small"]),
    ]
    place = {
        "step": "chest_back",
        "view": "above",
        "x": 655,
        "y": 560,
        "size_mm": "6",
        "words": "scratch, dry",
    }
    care = [
        {
            "care": "nail_trim",
            "status": "partly",
            "side": "L",
            "detail": "left front and left hind",
        },
        {"care": "wound_clean", "side": "R", "product": "saline"},
    ]
    story.visit(
        "damson",
        1,
        "arrival",
        found=found,
        places=[place],
        care=care,
        notes=["Ate hay within minutes. Sexed by one person only: sow, likely."],
        told=[{"what": "poor_diet", "note": "lived on grass and hedge"}],
    ).again.append(Again(days=1, words="weight, droppings, scratch; sex her again, two people"))


def _this_morning(story: Story) -> None:
    """Something small from this morning's round."""
    story.visit(
        "marjoram",
        0,
        found=[seen("front_foot", "dry", "R", grade="slight")],
        care=[{"care": "cream", "side": "R", "product": "plain salve"}],
    ).again.append(
        Again(
            days=3,
            words="right front sole: still dry?",
            where=("front_foot", "dry", "R"),
        )
    )
