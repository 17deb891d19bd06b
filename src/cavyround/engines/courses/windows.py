"""When a dose may be given, until when it is on time, and from when it is missed.

The order's own words come first; where it says nothing, the knowledge's numbers.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from cavyround.engines.courses.clock import day_begins, earlier, later
from cavyround.engines.courses.planning import Place, Planner
from cavyround.facts.lengths import Length, Unit
from cavyround.facts.schedules import IfLate
from cavyround.knowledge.book import Knowledge

DAY = timedelta(days=1)
HUNDRED = 100


@dataclass(frozen=True, slots=True)
class Window:
    """From ``opens_at`` it may be given, before ``late_at`` it is on time, at ``missed_at`` gone.

    ``missed_at`` is None for a single dose with no such time: it stays late until given.
    """

    opens_at: datetime
    late_at: datetime
    missed_at: datetime | None


class Windows:
    """The windows of one schedule; what the order leaves open is filled from the knowledge once."""

    def __init__(self, planner: Planner, book: Knowledge) -> None:
        """Work out how far off still counts as on time, what is missed, and what is too near."""
        self.planner = planner
        gap = planner.schedule.gap
        self._usual = _usual(gap, book)
        self._missed_after = _share(gap, book, "dose_missed_after_pct")
        self._least_apart = _share(gap, book, "dose_least_apart_pct")

    def around(self, place: Place, following: Place, not_before: datetime | None) -> Window:
        """The window of a place; it ends where that of ``following`` opens.

        ``not_before`` is when the one before stopped being on time, so that two never overlap.
        """
        opens_at = self._opens(place)
        if not_before is not None:
            opens_at = max(opens_at, not_before)
        late_at = self._late(place)
        missed_at = self._missed(place, late_at)
        if missed_at is not None:
            missed_at = max(late_at, min(missed_at, self._opens(following)))
        return Window(opens_at, late_at, missed_at)

    def apart(self, given_at: datetime) -> datetime | None:
        """The moment before which nothing may follow a dose given at ``given_at``."""
        said = self.planner.schedule.least_apart
        if said is None:
            return None if self._least_apart is None else given_at + self._least_apart
        if said.unit is Unit.HOURS:
            return given_at + said.span
        local = given_at.astimezone(self.planner.zone).date()
        return day_begins(local + said.span, self.planner.zone)

    def _opens(self, place: Place) -> datetime:
        said = self.planner.schedule.early
        if said is not None:
            return earlier(place.due_at, said, self.planner.zone)
        return place.due_at if place.any_time else place.due_at - self._usual

    def _late(self, place: Place) -> datetime:
        said = self.planner.schedule.late
        if place.any_time:
            return self._end_of_day(place, said)
        if said is not None:
            return later(place.due_at, said, self.planner.zone)
        return place.due_at + self._usual

    def _missed(self, place: Place, late_at: datetime) -> datetime | None:
        schedule = self.planner.schedule
        if schedule.if_late is IfLate.LEAVE_OUT:
            return late_at
        said = schedule.missed_after
        if said is not None:
            if place.any_time:
                return self._end_of_day(place, said)
            return later(place.due_at, said, self.planner.zone)
        if self._missed_after is None:
            return None
        return max(late_at, place.due_at + self._missed_after)

    def _end_of_day(self, place: Place, more: Length | None) -> datetime:
        """The end of the due day, and so much more: whole days on whole days."""
        ends = day_begins(place.day + DAY, self.planner.zone)
        return ends if more is None else later(ends, more, self.planner.zone)


def _usual(gap: timedelta | None, book: Knowledge) -> timedelta:
    """How far off a time of day still counts as on time where the order does not say."""
    often = gap is not None and gap < DAY
    key = "dose_window_often_hours" if often else "dose_window_daily_hours"
    usual = timedelta(hours=float(book.number(key)))
    most = _share(gap, book, "dose_window_most_pct")
    return usual if most is None else min(usual, most)


def _share(gap: timedelta | None, book: Knowledge, key: str) -> timedelta | None:
    """So many per cent of the time between doses; None where there is only one dose."""
    return None if gap is None else gap * float(book.number(key)) / HUNDRED
