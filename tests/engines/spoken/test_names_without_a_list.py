"""Names nobody gave: found by where they stand, so that any name is, in capitals or without.

Common practice, no source: the notes of others are told again with other names, words among them.
"""

import random
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from cavyround.engines.spoken import as_gold, read_note
from cavyround.knowledge.book import Knowledge
from tests.scoring_notes import Score, notes_in, score

FOLDER = Path(__file__).parents[2] / "scenarios" / "spoken"
SEED = 5
# Invented for this test; some are words of every day.
OTHERS = [
    "Pippin",
    "Quill",
    "Mochi",
    "Zebedee",
    "Tofu",
    "Marbles",
    "Biggles",
    "Puddle",
    "Gravy",
    "Conker",
    "Tinker",
    "Chutney",
    "Barnaby",
    "Clementina",
    "Agatha",
    "Tumbleweed",
    "Horace",
    "Ottoline",
    "Zorro",
    "Kenji",
    "Bubbles",
    "Ravioli",
    "Hobnob",
    "Perdita",
    "Mustard",
    "Twiglet",
    "Digby",
    "Sybil",
    "Mungo",
    "Fergus",
    "Morag",
    "Lachie",
    "Thunder",
    "Sprocket",
    "Diesel",
    "Loretta",
    "Tex",
    "Dakota",
    "Sierra",
    "Juniper",
    "Larch",
    "Gala",
    "Inigo",
    "Moomin",
    "Kiki",
    "Totoro",
    "Udon",
    "Tempura",
    "Niamh",
    "Nigella",
    "Delia",
    "Dannii",
    "Shazza",
    "Speckles",
    "Nibs",
    "Inky",
    "Blot",
    "Pogo",
    "Bungle",
    "Wonton",
    "Pastrami",
    "Dusk",
    "Earlene",
    "Miffy",
]
FLOORS = {"as written": 0.90, "lower case": 0.85, "nothing but words": 0.74}


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("right, zebedee. he's four ninety five. eyes clear.", "zebedee"),
        ("this is totoro. nose clean.", "totoro"),
        ("puddle's nails were far too long.", "puddle"),
        ("gravy's got a weepy left eye.", "gravy"),
        ("next perdita six hundred and ten eyes clear", "perdita"),
        ("sorry, tinker, seven ninety eight, bright eyes, dry nose.", "tinker"),
        ("moved kiki to isolation, swelling under his chin.", "kiki"),
        ("front teeth on nibs look good.", "nibs"),
        ("quick update on mrs tiggywinkle's foot, it's swollen.", "mrs tiggywinkle"),
        ("couldn't get a weight on dusk, he won't sit still. ears good.", "dusk"),
        ("oh perdita. there's a graze on the left hind leg.", "perdita"),
    ],
)
def test_a_name_in_lower_case_is_known_by_where_it_stands(
    book: Knowledge, text: str, name: str
) -> None:
    assert {one.name for one in read_note(text, book=book).animals} == {name}


@pytest.mark.parametrize(
    "text",
    [
        "the battery's flat. left eye clear.",
        "steady on ya little ratbag. left eye clear.",
        "it's the weather, it's too hot for teatime. left eye clear.",
        "Spot on is going on tomorrow. Left eye clear.",
        "Hi, it's Kayla. I'm only doing one. Left eye clear.",
        "Eyes like Sophia Loren. Left eye clear.",
        "I'm at the sink with tweezers. Left eye clear.",
    ],
)
def test_what_only_looks_like_a_name_is_none(book: Knowledge, text: str) -> None:
    assert {one.name for one in read_note(text, book=book).animals} == {"unnamed"}


def with_other_names(note: Any, chance: random.Random) -> Any:
    """The same note of animals with other names."""
    text = note["text"]
    animals = []
    for animal in note["animals"]:
        old = animal["animal"]
        if not old.startswith(("unnamed", "group", "pup")) and " " not in old:
            free = [one for one in OTHERS if not re.search(rf"\b{one}\b", text, re.IGNORECASE)]
            new = chance.choice(free)
            text = re.sub(rf"\b{re.escape(old)}\b", new, text, flags=re.IGNORECASE)
            animal = {**animal, "animal": new}  # noqa: PLW2901
        animals.append(animal)
    return {**note, "text": text, "animals": animals}


def read(note: Any, text: str, book: Knowledge) -> dict[str, Any]:
    return {"id": note["id"], "animals": as_gold(read_note(text, book=book))}


@pytest.mark.parametrize("way", FLOORS)
def test_notes_are_read_as_well_under_other_names(way: str, book: Knowledge) -> None:
    chance = random.Random(SEED)  # noqa: S311 -- the same names every time
    sets = ("dev", "second", "unread", "third")
    gold = [one for name in sets for one in notes_in(FOLDER / f"{name}_notes.jsonl")][::2]
    gold = [with_other_names(note, chance) for note in gold]
    ways: dict[str, Callable[[str], str]] = {
        "as written": str,
        "lower case": str.lower,
        "nothing but words": lambda text: re.sub(r"[^\w\s']", "", text).lower(),
    }
    total: Score = score(gold, [read(one, ways[way](one["text"]), book) for one in gold], book)
    assert total.f1() >= FLOORS[way], f"{total.f1():.3f}\n" + "\n".join(total.faults)
