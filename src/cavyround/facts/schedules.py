"""When something is to be done to an animal, as the order says it: a value, strictly checked.

A schedule says how often, from when, until when, how early or late still counts as
on time, and what the order wants done when a dose is late, missed or only partly
taken. Where the order is silent the value is None, or "ask the vet"; nothing is guessed.
Days are civil days in the rescue's zone, hours are elapsed hours.
"""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import pairwise

from cavyround.facts.deviations import (
    WORDS_IF_LATE,
    WORDS_IF_MISSED,
    WORDS_IF_PARTLY,
    DayOff,
    IfLate,
    IfMissed,
    IfPartly,
)
from cavyround.facts.endings import MOST_DOSES, UNTIL_VET_SAYS, Ending, Rest, day_words
from cavyround.facts.lengths import Length, Unit, days, hours

__all__ = [
    "MOST_DOSES",
    "UNTIL_VET_SAYS",
    "DayOff",
    "Ending",
    "IfLate",
    "IfMissed",
    "IfPartly",
    "Length",
    "Rest",
    "Schedule",
    "Unit",
    "days",
    "hours",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """When the doses of one order fall due, and what the order says when they do not go as planned.

    Counted in days: ``every`` in days (None: once), ``first_on``, and ``at`` the times of
    day; without times it is due any time that day. ``first_time`` says with which of the
    times the first day begins. Counted in hours: ``every`` in hours and ``first_at``, an
    instant with its zone.

    ``early`` and ``late`` are how far off still counts as on time, ``missed_after`` how long
    after the due moment it is missed, ``least_apart`` what must always lie between two
    doses; None where the order does not say, and the knowledge's own number is used.
    ``day_off`` says whether a dose may be moved off a day off, by at most ``move_days``.

    Raises ValueError, in words for the person who enters it, for anything that cannot be.
    """

    every: Length | None
    ends: Ending
    first_on: date | None = None
    first_at: datetime | None = None
    at: tuple[time, ...] = ()
    first_time: time | None = None
    rest: Rest | None = None
    early: Length | None = None
    late: Length | None = None
    missed_after: Length | None = None
    least_apart: Length | None = None
    if_late: IfLate = IfLate.ASK_VET
    if_missed: IfMissed = IfMissed.ASK_VET
    if_partly: IfPartly = IfPartly.ASK_VET
    day_off: DayOff = DayOff.KEEP
    move_days: int = 0

    def __post_init__(self) -> None:
        """Refuse what contradicts itself."""
        for refuse in _REFUSALS:
            if why := refuse(self):
                raise ValueError(why)

    @property
    def gap(self) -> timedelta | None:
        """The shortest time between two planned doses; None where there is only one."""
        return _least_gap(self)

    @property
    def is_once(self) -> bool:
        """Whether there is only one dose."""
        return self.every is None or self.ends.doses == 1

    @property
    def in_hours(self) -> bool:
        """Whether it is counted in elapsed hours rather than in days."""
        return self.first_at is not None

    @property
    def words(self) -> str:
        """The whole of it on one line: ``every 10 days, 4 doses in all, from 1 March 2026``."""
        parts = [_often(self), *([self.rest.words] if self.rest else [])]
        if not self.is_once:
            parts.append(self.ends.words)
        return ", ".join([*parts, _from(self)])

    @property
    def rules_words(self) -> tuple[str, ...]:
        """What the order says of doses that do not go as planned, one line each."""
        return (
            f"Late: {WORDS_IF_LATE[self.if_late]}.",
            f"Missed: {WORDS_IF_MISSED[self.if_missed]}.",
            f"Partly taken or spat out: {WORDS_IF_PARTLY[self.if_partly]}.",
            f"On a day off: {_day_off_words(self)}.",
        )


def _refuse_beginning(one: Schedule) -> str:
    if (one.first_on is None) == (one.first_at is None):
        return "say when the first is due: a day, or for a course counted in hours a moment"
    if one.first_at is not None and one.first_at.utcoffset() is None:
        return "the first moment needs its time zone"
    if isinstance(one.first_on, datetime):
        return "the first day is a day, without a time; times of day are said on their own"
    if one.every is None:
        return ""
    if one.every.amount == 0:
        return "the time between doses cannot be nought"
    if one.in_hours and one.every.unit is not Unit.HOURS:
        return "with days between doses the first is said as a day and times of day"
    if not one.in_hours and one.every.unit is not Unit.DAYS:
        return "with hours between doses the first is said as a moment, day and time"
    return ""


def _refuse_times(one: Schedule) -> str:
    if one.in_hours and (one.at or one.first_time or one.rest):
        return "a course counted in hours has no times of day and no days of pause"
    if any(at.tzinfo is not None for at in one.at):
        return "times of day are the rescue's own; they carry no zone"
    if list(one.at) != sorted(set(one.at)):
        return "times of day are each said once, earliest first"
    if one.first_time is not None and one.first_time not in one.at:
        return "the first time must be one of the times of day"
    if one.rest is not None and (one.every is None or one.every.amount != 1):
        return "days of pause go with doses every day"
    return ""


def _refuse_end(one: Schedule) -> str:
    if one.every is None:
        most = max(1, len(one.at))
        if one.ends.doses is None or one.ends.doses > most:
            return "what is given once ends after that one day"
        return ""
    last = one.ends.last_day
    first = one.first_on or (one.first_at.date() if one.first_at else None)
    if isinstance(last, datetime):
        return "the last day is a day, without a time"
    if last is not None and first is not None and last < first:
        return "the last day lies before the first"
    return ""


def _refuse_day_off(one: Schedule) -> str:
    if one.day_off is DayOff.KEEP:
        return "say which way a dose is moved off a day off" if one.move_days else ""
    if one.in_hours:
        return "a course counted in hours cannot be moved off a day off"
    if one.move_days < 1:
        return "say by how many days a dose may be moved off a day off"
    if one.every is not None and one.move_days >= one.every.amount:
        return "moving so many days would reach the next dose"
    return ""


def _refuse_windows(one: Schedule) -> str:
    early, late, missed, apart = (
        length.span if length else timedelta(0)
        for length in (one.early, one.late, one.missed_after, one.least_apart)
    )
    if one.late is not None and one.late.amount == 0 and (one.in_hours or one.at):
        return "a dose that is never on time cannot be given; say how late still counts as on time"
    if one.missed_after is not None and missed < late:
        return "a dose cannot be missed while it still counts as on time"
    if one.gap is None:
        return ""
    if early + late >= one.gap:
        return "early and late together reach the next dose; nothing may fall due twice"
    if one.missed_after is not None and missed + early > one.gap:
        return "a dose is missed before the next one may be given; say a shorter time"
    if one.least_apart is not None and apart > one.gap:
        return "doses cannot be kept further apart than they are ordered"
    return ""


def _refuse_rules(one: Schedule) -> str:
    if one.if_late is IfLate.LEAVE_OUT and one.if_missed is IfMissed.GIVE_MOVE_PLAN:
        return "a late dose that is left out cannot be given once it is missed"
    return ""


_REFUSALS = (
    _refuse_beginning,
    _refuse_times,
    _refuse_end,
    _refuse_day_off,
    _refuse_windows,
    _refuse_rules,
)


def _least_gap(one: Schedule) -> timedelta | None:
    if one.is_once and len(one.at) <= 1:
        return None
    if one.in_hours:
        return one.every.span if one.every else None
    starts = [timedelta(hours=at.hour, minutes=at.minute, seconds=at.second) for at in one.at]
    between = [later - earlier for earlier, later in pairwise(starts)]
    if one.every is not None:
        first, last = (starts[0], starts[-1]) if starts else (timedelta(0), timedelta(0))
        between.append(one.every.span - last + first)
    return min(between)


def _often(one: Schedule) -> str:
    times = f" at {_listed([f'{at:%H:%M}' for at in one.at])}" if one.at else ""
    if one.is_once and len(one.at) <= 1:
        return f"once{times}"
    if one.every is None:
        return f"on one day{times}"
    often = "every day" if one.every == days(1) else f"every {one.every.words}"
    often = "every hour" if one.every == hours(1) else often
    return f"{often}{times}"


def _from(one: Schedule) -> str:
    if one.first_at is not None:
        return f"first {day_words(one.first_at.date())}, {one.first_at:%H:%M %Z}".rstrip()
    first = f"first {day_words(one.first_on)}" if one.first_on else ""
    return f"{first}, {one.first_time:%H:%M}" if one.first_time else first


def _day_off_words(one: Schedule) -> str:
    if one.day_off is DayOff.KEEP:
        return "given all the same"
    way = "earlier" if one.day_off is DayOff.EARLIER else "later"
    return f"may be given up to {days(one.move_days).words} {way}"


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
