"""Where the doses of a schedule lie, before anybody has given one."""

from bisect import bisect_left
from collections.abc import Collection
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from cavyround.engines.courses.clock import day_begins, day_of, moment
from cavyround.facts.schedules import DayOff, Schedule

NO_SPAN = timedelta(0)


@dataclass(frozen=True, slots=True)
class Shift:
    """How far a late dose has moved the doses after it."""

    days: int = 0
    span: timedelta = NO_SPAN


@dataclass(frozen=True, slots=True)
class Place:
    """One planned dose. ``at`` None: any time that day. ``moved_from``: off that day off."""

    number: int
    day: date
    at: time | None
    due_at: datetime
    moved_from: date | None = None
    falls_on_day_off: bool = False

    @property
    def any_time(self) -> bool:
        """Whether it is due any time that day, with no hour said."""
        return self.at is None


@dataclass(frozen=True, slots=True)
class Planner:
    """The places of one schedule in one zone, with the days on which nobody is there."""

    schedule: Schedule
    zone: tzinfo
    days_off: Collection[date] = ()

    def place(self, number: int, shift: Shift) -> Place:
        """Where dose ``number`` lies; the end of the course is not looked at."""
        one = self.schedule
        if one.first_at is not None:
            between = one.every.span if one.every else NO_SPAN
            due_at = one.first_at.astimezone(UTC) + (number - 1) * between + shift.span
            local = due_at.astimezone(self.zone)
            return Place(number, local.date(), local.time(), due_at)
        step, at = self._step(number)
        return self._on_day(number, self._day(step) + timedelta(days=shift.days), at)

    def _step(self, number: int) -> tuple[int, time | None]:
        """On which dosing day (0 is the first) and at which time dose ``number`` lies."""
        one = self.schedule
        if not one.at:
            return number - 1, None
        begins_with = one.at.index(one.first_time) if one.first_time else 0
        step, which = divmod(number - 1 + begins_with, len(one.at))
        return step, one.at[which]

    def _day(self, step: int) -> date:
        one = self.schedule
        first = one.first_on or date.min
        every = one.every.amount if one.every else 1
        pause = one.rest.days * (step // one.rest.after_days) if one.rest else 0
        return first + timedelta(days=step * every + pause)

    def _on_day(self, number: int, planned: date, at: time | None) -> Place:
        day = self._off_day_off(planned)
        due_at = day_begins(day, self.zone) if at is None else moment(day, at, self.zone)
        return Place(
            number=number,
            day=day,
            at=at,
            due_at=due_at,
            moved_from=planned if day != planned else None,
            falls_on_day_off=day in self.days_off,
        )

    def _off_day_off(self, planned: date) -> date:
        """The nearest day somebody is there, as far as the order allows; else the day itself."""
        one = self.schedule
        if planned not in self.days_off or one.day_off is DayOff.KEEP:
            return planned
        way = -1 if one.day_off is DayOff.EARLIER else 1
        for by in range(1, one.move_days + 1):
            day = planned + timedelta(days=way * by)
            if self._allows(day) and day not in self.days_off:
                return day
        return planned

    def _allows(self, day: date) -> bool:
        one = self.schedule
        last = one.ends.last_day
        return (one.first_on is None or day >= one.first_on) and (last is None or day <= last)

    def is_past_end(self, place: Place) -> bool:
        """Whether the place lies after the order's last day; no for an order without one."""
        last = self.schedule.ends.last_day
        return last is not None and (place.moved_from or place.day) > last

    def is_over(self, place: Place, *, extra: int, past_end: int) -> bool:
        """Whether the course has ended before this place.

        ``extra`` doses were added at the end, and ``past_end`` of them are used up.
        """
        doses = self.schedule.ends.doses
        if doses is not None:
            return place.number > doses + extra
        return self.is_past_end(place) and past_end >= extra

    def last_before(self, moment: datetime) -> int:
        """The last dose of an unmoved plan due before a moment, or its last or first of all."""

        def comes_later(number: int) -> bool:
            place = self.place(number, Shift())
            return place.due_at >= moment or self.is_past_end(place)

        return max(1, bisect_left(range(1, self._at_most(moment) + 1), 1, key=comes_later))

    def _at_most(self, moment: datetime) -> int:
        """At least as many doses as can be due before a moment; never more than the order's."""
        one = self.schedule
        first = one.first_at or day_begins(one.first_on or date.min, self.zone)
        every = one.every.span if one.every else timedelta(days=1)
        intervals = max(0, (moment - first) // every) + 2
        bound = intervals * max(1, len(one.at))
        return min(one.ends.doses or bound, bound)

    def shifted(self, place: Place, given_at: datetime, shift: Shift) -> Shift:
        """The shift after a dose given late, from which the next are counted; never backwards."""
        if self.schedule.in_hours:
            return Shift(span=shift.span + max(NO_SPAN, given_at - place.due_at))
        days = (day_of(given_at, self.zone) - place.day).days
        return Shift(days=shift.days + max(0, days))
