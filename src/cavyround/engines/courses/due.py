"""What of a course is due: every dose so far, the next, how many are left, and how it ends."""

from collections.abc import Collection
from datetime import date, datetime, tzinfo

from cavyround.engines.courses.ending import ended
from cavyround.engines.courses.planning import Planner
from cavyround.engines.courses.slots import CourseDue, Slot, State
from cavyround.engines.courses.walking import Walk
from cavyround.engines.courses.windows import Windows
from cavyround.facts.courses import Course
from cavyround.knowledge.book import Knowledge

OUTSIDE = "a dose was given that belongs to no due dose: tell the vet"


def walk(
    course: Course,
    *,
    now: datetime,
    zone: tzinfo,
    book: Knowledge,
    days_off: Collection[date] = (),
    since: datetime | None = None,
) -> Walk:
    """The course walked from its first dose, or from those of ``since``, to ``now``."""
    planner = Planner(course.schedule, zone, frozenset(days_off))
    return Walk(course, Windows(planner, book), now).go(since)


def due_until(
    course: Course,
    *,
    now: datetime,
    until: datetime,
    zone: tzinfo,
    book: Knowledge,
    days_off: Collection[date] = (),
    since: datetime | None = None,
) -> tuple[CourseDue, tuple[Slot, ...]]:
    """How a course stands, and every dose still waiting or planned that is due before ``until``.

    Those to come lie as they are planned now: a dose given late may still move them.
    """
    walked = walk(course, now=now, zone=zone, book=book, days_off=days_off, since=since)
    standing = _standing(walked, zone, book)
    waiting = standing.next
    first = (waiting,) if waiting is not None and waiting.due_at < until else ()
    return standing, (*first, *walked.slots_to_come(until))


def due(
    course: Course,
    *,
    now: datetime,
    zone: tzinfo,
    book: Knowledge,
    days_off: Collection[date] = (),
    since: datetime | None = None,
) -> CourseDue:
    """How a course stands at ``now``.

    ``zone`` is the rescue's own: days are its civil days. ``days_off`` are the days on
    which nobody is there; a dose is moved off one only where the order allows.
    With ``since`` the doses due before it are left out as far as nothing of them matters
    any more, and ``given`` and ``missed`` count only the others.
    """
    walked = walk(course, now=now, zone=zone, book=book, days_off=days_off, since=since)
    return _standing(walked, zone, book)


def _standing(walked: Walk, zone: tzinfo, book: Knowledge) -> CourseDue:
    course = walked.course
    end = ended(course, walked.slots, zone=zone, book=book)
    given_outside = any(one.went_in for one in walked.outside)
    return CourseDue(
        course=course,
        phase=end.phase,
        slots=tuple(walked.slots),
        left=_left(walked),
        look_again=end.look_again,
        outside=walked.outside,
        doubts=(*end.doubts, *([OUTSIDE] if given_outside else [])),
    )


def _left(walked: Walk) -> int | None:
    """Doses not yet given, missed or left out."""
    if walked.slots and walked.slots[-1].state is State.STOPPED:
        return 0
    if walked.course.schedule.ends.is_open:
        return None
    waiting = sum(slot.is_waiting for slot in walked.slots)
    return waiting + sum(1 for _ in walked.to_come())
