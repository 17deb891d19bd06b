"""A schedule in whole days: between doses, from the first to the last, and how long each works."""

from dataclasses import dataclass, replace
from datetime import UTC, tzinfo
from itertools import pairwise
from math import ceil

from cavyround.engines.courses.clock import day_of
from cavyround.engines.courses.planning import Planner, Shift
from cavyround.engines.courses.slots import CourseDue
from cavyround.facts.courses import Course
from cavyround.facts.lengths import Length, Unit
from cavyround.facts.schedules import MOST_DOSES, Schedule


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """One course in whole days, as planned.

    ``gap`` is the longest time between two doses, None where there is one. ``span`` lies
    between the first and the last, None where only the vet ends it. ``lasts`` is for how
    long a dose goes on working, None where nobody knows.
    """

    schedule: Schedule
    gap: int | None
    span: int | None
    lasts: int | None

    def reaches(self, number: int) -> int:
        """Until how many days after the first dose the first ``number`` doses work."""
        return _days_to(self.schedule, number) + (self.lasts or 0)

    @property
    def reach(self) -> int | None:
        """Until how many days after the first dose the whole course works."""
        return None if self.span is None else self.span + (self.lasts or 0)


def timing_of(course: Course) -> Timing:
    """The timing of a course's schedule."""
    schedule = course.schedule
    pause = schedule.rest.days if schedule.rest else 0
    single = schedule.every is None or schedule.ends.doses == 1
    gap = None if single or schedule.every is None else _whole_days(schedule.every) + pause
    lasts = None if course.lasts is None else _whole_days(course.lasts)
    return Timing(schedule=schedule, gap=gap, span=_span(schedule), lasts=lasts)


def timing_as_given(standing: CourseDue, zone: tzinfo) -> Timing | None:
    """The timing as it came about: the days something went in, and the next planned; None if none.

    While a dose is still waiting the end is open, and ``span`` is None.
    """
    planned = timing_of(standing.course)
    went_in = [day_of(one.at, zone) for one in standing.course.tries if one.went_in]
    if not went_in:
        return None
    ahead = [standing.next.day] if standing.next is not None else []
    lies = [*went_in, *(day for day in ahead if day >= went_in[-1])]
    gaps = [(later - earlier).days for earlier, later in pairwise(lies)]
    span = None if ahead else (went_in[-1] - went_in[0]).days
    return replace(planned, gap=max(gaps, default=None), span=span)


def _whole_days(length: Length) -> int:
    return length.amount if length.unit is Unit.DAYS else ceil(length.amount / 24)


def _span(schedule: Schedule) -> int | None:
    if schedule.ends.is_open:
        return None
    if schedule.ends.doses is not None:
        return _days_to(schedule, schedule.ends.doses)
    planner = Planner(schedule, UTC)
    number = 1
    while number < MOST_DOSES and not planner.is_past_end(planner.place(number + 1, Shift())):
        number += 1
    return _days_to(schedule, number)


def _days_to(schedule: Schedule, number: int) -> int:
    """Days from the first dose to dose ``number``; hours are counted as whole days gone by."""
    planner = Planner(schedule, UTC)
    return (planner.place(number, Shift()).due_at - planner.place(1, Shift()).due_at).days
