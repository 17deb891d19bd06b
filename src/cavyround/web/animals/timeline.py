"""The story of an animal: everything that was entered, newest first, a page at a time.

Each kind of entry is asked for at most one page of rows before the cursor, so a
page costs the same however long the story is.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from heapq import nlargest
from typing import Any
from uuid import UUID

from django.db.models import Model, Q, QuerySet
from django.utils.dateparse import parse_datetime

from cavyround.record.models import (
    AdviceGiven,
    Allergy,
    Animal,
    AnimalStatement,
    Arrival,
    Check,
    Course,
    CourseStopped,
    Departure,
    DoseEntry,
    FollowUp,
    FollowUpOutcome,
    Labour,
    LabourOver,
    LivesAlone,
    LivesAloneEnd,
    Move,
    Photo,
    StandingMark,
    StandingMarkEnd,
    VetAnswer,
    VetQuestion,
)
from cavyround.web.animals.chapters import Chapter, chapters_of

ON_A_PAGE = 30
# Days outside these are in no story, and at the ends of the calendar no zone can be reckoned.
YEARS = range(1900, 2200)


@dataclass(frozen=True, slots=True)
class Cursor:
    """Where the page before ended: everything shown next is older."""

    at: datetime
    id: UUID

    @classmethod
    def read(cls, text: str) -> "Cursor | None":
        """Read a cursor from an address; None for anything odd, which is the first page."""
        moment, _, key = text.partition("~")
        try:
            at, row = parse_datetime(moment), UUID(key)
        except ValueError:
            return None
        if at is None or at.tzinfo is None or at.year not in YEARS:
            return None
        return cls(at, row)

    def __str__(self) -> str:
        """As it stands in an address."""
        return f"{self.at.isoformat()}~{self.id}"


@dataclass(frozen=True, slots=True)
class Source:
    """One kind of entry: its rows for an animal, and the column that says when."""

    rows: Callable[[Animal], QuerySet[Any]]
    when: str = "made_at"


def _by(model: type[Any], *related: str, path: str = "animal") -> Source:
    return Source(
        lambda animal: model.objects.filter(**{path: animal}).select_related("made_by", *related)
    )


SOURCES = (
    Source(
        lambda animal: Check.objects.filter(animal=animal).select_related("started_by"),
        when="started_at",
    ),
    _by(Arrival),
    _by(Departure),
    Source(
        lambda a: Move.objects.filter(animal=a).select_related("made_by", "pen__room"), when="at"
    ),
    _by(AnimalStatement),
    Source(
        lambda a: (
            AdviceGiven.objects.filter(animal=a, check_in=None)
            .defer("inputs")
            .select_related("made_by")
        )
    ),
    Source(lambda a: Photo.objects.filter(animal=a, check_in=None).select_related("made_by")),
    _by(FollowUp),
    _by(FollowUpOutcome, "follow_up", path="follow_up__animal"),
    _by(StandingMark),
    _by(StandingMarkEnd, "mark", path="mark__animal"),
    _by(VetQuestion),
    _by(VetAnswer, "question", path="question__animal"),
    _by(Allergy),
    _by(Labour),
    _by(LabourOver, path="labour__animal"),
    _by(LivesAlone),
    _by(LivesAloneEnd, "alone", path="alone__animal"),
    _by(Course, "order"),
    _by(CourseStopped, "course__order", path="course__animal"),
    Source(
        lambda animal: DoseEntry.objects.filter(
            course__animal=animal, corrections=None
        ).select_related("made_by", "course__order"),
        when="at",
    ),
)


@dataclass(frozen=True, slots=True)
class Page:
    """One page of the story; ``older`` is the cursor for the next, empty at the end."""

    chapters: tuple[Chapter, ...]
    older: str = ""


def story_of(animal: Animal, before: Cursor | None = None) -> Page:
    """The newest entries before the cursor, in words."""
    entries = nlargest(ON_A_PAGE + 1, _entries(animal, before), key=lambda one: one[:2])
    shown = entries[:ON_A_PAGE]
    older = str(Cursor(*shown[-1][:2])) if len(entries) > ON_A_PAGE else ""
    return Page(tuple(chapters_of(shown)), older)


def _entries(animal: Animal, before: Cursor | None) -> Iterable[tuple[datetime, UUID, Model]]:
    for source in SOURCES:
        rows = source.rows(animal).order_by(f"-{source.when}", "-id")
        if before is not None:
            same_moment = Q(**{source.when: before.at, "id__lt": before.id})
            rows = rows.filter(Q(**{f"{source.when}__lt": before.at}) | same_moment)
        for row in rows[: ON_A_PAGE + 1]:
            yield getattr(row, source.when), row.pk, row
