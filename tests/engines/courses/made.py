"""Courses, doses and moments for tests, with only what a test says of them."""

from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta
from itertools import count
from typing import Any
from zoneinfo import ZoneInfo

from cavyround.engines.courses import CourseDue, State, due
from cavyround.facts.courses import Course, GivenDose, Outcome
from cavyround.facts.schedules import Ending, Schedule, days, hours
from cavyround.knowledge.book import Knowledge

FIRST = date(2026, 3, 2)
LONDON = ZoneInfo("Europe/London")
HAVANA = ZoneInfo("America/Havana")
_ids = count(1)


def at(day: int, hour: int = 9, minute: int = 0, zone: Any = UTC) -> datetime:
    """So many days after the first day, at a time of day in a zone."""
    on = FIRST + timedelta(days=day)
    return datetime.combine(on, time(hour, minute), tzinfo=zone)


def every(number: int, doses: int | None = 4, **said: Any) -> Schedule:
    """Every so many days from the first day."""
    known: dict[str, Any] = {"every": days(number), "first_on": FIRST, "ends": Ending(doses=doses)}
    return Schedule(**{**known, **said})


def every_hours(number: int, doses: int | None = 6, **said: Any) -> Schedule:
    known: dict[str, Any] = {"first_at": at(0, 8), "ends": Ending(doses=doses)}
    return Schedule(**{"every": hours(number), **known, **said})


def given(*moments: datetime, **said: Any) -> tuple[GivenDose, ...]:
    return tuple(a_dose(moment, **said) for moment in moments)


def a_dose(moment: datetime, outcome: Outcome = Outcome.GIVEN, **said: Any) -> GivenDose:
    known = {"id": f"dose-{next(_ids)}", "by": "a carer", **said}
    if outcome is Outcome.NOT_GIVEN:
        known = {"why": "it was at the vet's", **known}
    return GivenDose(at=moment, outcome=outcome, **known)


def a_course(
    schedule: Schedule | None = None, doses: Iterable[GivenDose] = (), **said: Any
) -> Course:
    known: dict[str, Any] = {
        "id": "course",
        "order": "order",
        "animal": "sow",
        "what": "a medicine",
        **said,
    }
    return Course(schedule=schedule or every(10), doses=tuple(doses), **known)


def standing(
    book: Knowledge, course: Course, now: datetime, zone: Any = UTC, **said: Any
) -> CourseDue:
    return due(course, now=now, zone=zone, book=book, **said)


def states(found: CourseDue) -> list[State]:
    return [slot.state for slot in found.slots]
