"""Until when an animal is not to be adopted, by its orders."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils import timezone

from cavyround.advice.medicines.running import RunningCourse
from cavyround.engines.courses import Phase


@dataclass(frozen=True, slots=True, kw_only=True)
class Withheld:
    """One order that keeps an animal: to and with ``until``, or while its course runs."""

    running: RunningCourse
    until: date | None
    words: str


def withheld(courses: Iterable[RunningCourse], now: datetime) -> tuple[Withheld, ...]:
    """What keeps an animal from being adopted today."""
    today = timezone.localdate(now)
    found = (_one(one, today) for one in courses)
    return tuple(one for one in found if one is not None)


def _one(running: RunningCourse, today: date) -> Withheld | None:
    wait = running.row.order.withdrawal_days
    if not wait:
        return None
    what = running.course.what
    last = max((one.at for one in running.course.tries if one.went_in), default=None)
    if running.due.phase is Phase.RUNNING:
        words = f"{what}: the course runs; not adopted until {wait} days after its last dose."
        return Withheld(running=running, until=None, words=words)
    if last is None:
        return None
    until = timezone.localdate(last) + timedelta(days=wait)
    if until < today:
        return None
    words = f"{what}: not adopted until {until.day} {until:%B %Y} is over, by the order."
    return Withheld(running=running, until=until, words=words)
