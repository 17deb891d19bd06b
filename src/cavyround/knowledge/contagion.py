"""What the trade knows of contagion: ways of contact, what can break out, what ends it."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Literal

from pydantic import Field

from cavyround.knowledge.conditions import Strict, Text
from cavyround.knowledge.facts_of_trade import Threshold

WayCode = Literal["pen", "run", "after", "air", "things", "hands"]
Sources = tuple[str, ...]


class ContactWay(Strict):
    """A way of contact; ``close`` is skin to skin."""

    words: Text
    close: bool = False
    sources: Sources = Field(min_length=1)


class LastsFor(Strict):
    """For how long places and things count as catching where nobody cleaned them."""

    pen_days: Threshold
    things_days: Threshold
    hands_hours: Threshold


class QuarantineNeeds(Strict):
    """Something that must be true before a quarantine ends; ``days`` is its own time."""

    code: Literal[
        "time",
        "arrival_check",
        "second_skin_look",
        "last_check",
        "nothing_catching",
        "promises",
        "treatments",
    ]
    words: Text
    days: int | None = Field(default=None, ge=1)
    sources: Sources = Field(min_length=1)


class SkinLooks(Strict):
    """The steps that look at coat and skin, and the findings that count as itchy."""

    steps: tuple[str, ...] = Field(min_length=1)
    itchy: tuple[str, ...] = Field(min_length=1)
    sources: Sources = Field(min_length=1)


class OutbreakKind(Strict):
    """Something that can break out, with its case definition and what is done about it.

    ``infections`` are those it may be. ``passes`` are the ways that count; ``dirty_days`` is
    how long a pen counts as catching after a case, ``watch_days`` how long the exposed are
    watched where no incubation is published. ``quarantine`` names the time kept apart.
    ``looks`` are the steps of a check by which it is looked for, ``signs`` the findings that
    speak for it wherever they are seen.
    ``people`` is what people are told of their own risk, where the words of the single
    infections do not stand beside each other.
    """

    id: Text
    words: Text
    infections: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()
    suspected: Text
    confirmed: Text
    look_for: Text
    looks: tuple[str, ...] = Field(min_length=1)
    signs: tuple[str, ...] = ()
    passes: tuple[WayCode, ...] = Field(min_length=1)
    dirty_days: int | None = Field(default=None, ge=1)
    watch_days: int | None = Field(default=None, ge=1)
    quarantine: Text
    together: Text
    clean: Text
    people: Text | None = None
    over: Text
    sources: Sources = Field(min_length=1)


class ClosingNeed(Strict):
    """What must be met before an outbreak is closed: reckoned, or said by a person."""

    code: Text
    by: Literal["record", "person"]
    words: Text
    sources: Sources = Field(min_length=1)


class WhatIf(Strict):
    """A chance of passing on in one generation, for the sum "if nothing is done"."""

    chance: Decimal = Field(gt=0, lt=1)
    words: Text
    sources: Sources = Field(min_length=1)


class Contagion(Strict):
    """All of contagion.yaml."""

    ways: Mapping[WayCode, ContactWay]
    lasts: LastsFor
    quarantine_ends: tuple[QuarantineNeeds, ...] = Field(min_length=1)
    skin: SkinLooks
    outbreaks: tuple[OutbreakKind, ...] = Field(min_length=1)
    closing: tuple[ClosingNeed, ...] = Field(min_length=1)
    what_if: tuple[WhatIf, ...] = Field(min_length=1)

    def kind(self, outbreak_id: str) -> OutbreakKind | None:
        """What can break out by its id; None for one no longer in the knowledge."""
        return next((one for one in self.outbreaks if one.id == outbreak_id), None)

    def suggested_by(self, problems: tuple[str, ...]) -> OutbreakKind | None:
        """What a check's problems make one think of first; None where nothing spreads."""
        for problem in problems:
            for one in self.outbreaks:
                if problem in one.problems:
                    return one
        return None
