"""The codes a note is marked with and the network answers with, each list in its lasting order.

The order is that of the columns the network has learned: a code may be added at an end, never
moved.
"""

from functools import cache

from cavyround.engines.spoken.coverage import STEPS
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge

SIDES = ("N", "L", "R", "B", "M", "one")
# Present, absent, uncertain.
STATUSES = ("p", "a", "u")
GRADES = ("", "slight", "moderate", "marked", "healing", "worse", "same")
KINDS = ("", "clear", "white", "yellow", "green", "brown", "bloody")
# What a change of weight is: not said with a sign, a loss, a gain.
CHANGES = ("none", "loss", "gain")
NO_SIGN, LOSS, GAIN = range(3)
CARE_STATUSES = ("done", "partly", "not_done", "planned")
# Why words that sound like a finding are none.
LEFT_OUT = (
    "",
    "general_talk",
    "hypothetical",
    "history",
    "to_animal",
    "other_person",
    "corrected",
    "question",
    "plan",
    "homophone",
    "name_pun",
    "no_content",
    "equipment",
)


@cache
def book() -> Knowledge:
    """The knowledge, read once."""
    return load_knowledge()


@cache
def findings() -> tuple[str, ...]:
    """The findings notes are marked with: those of the plain vocabulary, none of triage's own."""
    return tuple(code for code, one in book().vocabulary.findings.items() if not one.added)


@cache
def regions() -> tuple[str, ...]:
    """The places of the body."""
    return tuple(book().vocabulary.regions)


@cache
def care() -> tuple[str, ...]:
    """The small care items."""
    return tuple(book().vocabulary.care)


def steps() -> tuple[str, ...]:
    """The steps of the check, in the order of the vocabulary."""
    return tuple(STEPS)
