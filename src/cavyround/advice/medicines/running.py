"""The courses of the animals here, each with its rows and how it stands now."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.engines.courses import CourseDue, Phase, due
from cavyround.facts import courses as facts
from cavyround.record import models
from cavyround.record.courses import courses_of
from cavyround.record.days_off import days_off

OVER = frozenset({Phase.FINISHED, Phase.STOPPED})


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningCourse:
    """One course: its row (with order, animal and pen), its facts, and how it stands."""

    row: models.Course
    course: facts.Course
    due: CourseDue

    @property
    def is_over(self) -> bool:
        """Whether nothing more is to be done: stopped, or checked again and clear."""
        return self.due.phase in OVER


def courses_here(now: datetime, animals: Iterable[UUID] | None = None) -> list[RunningCourse]:
    """Every course of the animals here, or of those named, also the finished ones."""
    rows = models.Course.objects.select_related(
        "order__product", "order__made_by", "animal__pen__room"
    )
    rows = rows.filter(animal__left_on=None) if animals is None else rows.filter(animal__in=animals)
    return standing(rows.order_by("animal__name", "made_at", "id"), now)


def courses_running(now: datetime, animals: Iterable[UUID] | None = None) -> list[RunningCourse]:
    """The courses that are not over."""
    return [one for one in courses_here(now, animals) if not one.is_over]


def standing(rows: Iterable[models.Course], now: datetime) -> list[RunningCourse]:
    """How each of these courses stands; the number of queries does not grow with them."""
    rows = list(rows)
    known = book()
    courses = courses_of(rows, known)
    zone = timezone.get_current_timezone()
    off = days_off(timezone.localdate(now)) if rows else frozenset()
    return [
        RunningCourse(
            row=row,
            course=courses[row.pk],
            due=due(courses[row.pk], now=now, zone=zone, book=known, days_off=off),
        )
        for row in rows
    ]
