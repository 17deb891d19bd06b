"""How many spoken notes are read in a second, and words a second beside a general negation tool."""

import random
from collections.abc import Callable

import spacy
from negspacy.negation import Negex  # noqa: F401 -- registers the pipe
from negspacy.termsets import termset
from spacy.language import Language

from benchmarks.report import Found, Line
from benchmarks.timing import once
from cavyround.engines.spoken import read_note
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.trained import trained_weights

SEED = 20261130
NOTES = 200
ROUNDS = 5
LEAST_NOTES = 1  # a second: one note is read while the carer looks up
# Sentences as carers say them, our own; a note is a handful of them in any order.
SAID = (
    "Weight nine eighty five.",
    "Left eye's a bit weepy, no crust, right one's fine.",
    "No sneezing, no discharge, nose dry.",
    "Ears clean, both.",
    "Front teeth straight, couldn't see the back ones.",
    "Small lump under the chin on the right, pea sized, soft.",
    "Skin's flaky over the rump, not scratching.",
    "Belly soft, droppings small and not many.",
    "Nails done, front only.",
    "If she stops eating overnight ring me.",
    "Last week she had diarrhoea, that's all cleared up.",
    "Bottom clean, no smell, grease gland a bit waxy.",
)
TARGETS = ("crust", "sneezing", "discharge", "lump", "flaky", "diarrhoea", "smell", "weepy")


def reading(book: Knowledge) -> Found:
    """The part of the table about spoken notes."""
    notes = _notes()
    words = sum(len(note.split()) for note in notes)
    ours = _seconds(lambda: [read_note(note, book=book, checking="Fudge") for note in notes])
    tool = _negation_tool()
    theirs = _seconds(lambda: [tool(note) for note in notes])
    trained = trained_weights()
    both = _seconds(
        lambda: [read_note(note, book=book, checking="Fudge", trained=trained) for note in notes]
    )
    rate = len(notes) / both
    lines = [
        Line(
            "spoken notes read, both readings",
            f"{rate:,.0f} a second",
            f"≥ {LEAST_NOTES}",
            rate > 1,
        ),
        Line("words read twice", f"{words / both:,.0f} a second"),
        Line("the same beside a general negation tool", f"{theirs / both:.2f} times its speed"),
        Line("words read by the rules alone, one core", f"{words / ours:,.0f} a second"),
        Line("the same beside a general negation tool", f"{theirs / ours:.2f} times its speed"),
    ]
    note = (
        f"Spoken notes: {len(notes)} invented notes of {words / len(notes):.0f} words on average, "
        f"best of {ROUNDS} rounds; the second reading uses all cores; the tool is negspacy on a "
        "blank English spaCy with a "
        f"list of {len(TARGETS)} findings, on the same text in the same run: it finds listed words "
        "and whether they are negated, ours also places, sides, weights, care and whose it is. "
        f"Seed {SEED}."
    )
    return Found(lines, [note])


def _notes() -> list[str]:
    chance = random.Random(SEED)  # noqa: S311 -- the same notes every time
    return [" ".join(chance.sample(SAID, chance.randint(4, 9))) for _ in range(NOTES)]


def _negation_tool() -> Language:
    tool = spacy.blank("en")
    tool.add_pipe("sentencizer")
    ruler = tool.add_pipe("entity_ruler")
    ruler.add_patterns([{"label": "FINDING", "pattern": one} for one in TARGETS])  # type: ignore[attr-defined]
    config = {
        "neg_termset": termset("en_clinical").get_patterns(),  # type: ignore[no-untyped-call]
        "ent_types": ["FINDING"],
    }
    # Importing Negex has registered the pipe by its name.
    tool.add_pipe("negex", config=config)
    return tool


def _seconds(run: Callable[[], object]) -> float:
    run()
    return min(once(run) for _ in range(ROUNDS))
