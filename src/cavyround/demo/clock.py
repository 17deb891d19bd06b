"""Moments of the past, told in days ago, and ids that carry the moment they were made."""

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from random import Random
from uuid import UUID

from django.utils import timezone

# A day given without an hour is taken as this time of a working morning.
MORNING = time(10, 20)
_ROUND_BEGINS, _ROUND_TAKES = 500, 90
_MORNING_LASTS = timedelta(hours=2)


def moment_of(as_of: datetime | None) -> datetime:
    """The moment the history runs up to; naive ones are in the rescue's zone."""
    if as_of is None:
        return timezone.now()
    if timezone.is_aware(as_of):
        return as_of
    if as_of.time() == time.min:
        as_of = datetime.combine(as_of.date(), MORNING)
    return timezone.make_aware(as_of)


@dataclass(frozen=True, slots=True)
class Clock:
    """Days and minutes before the end of the history, as real moments. Nothing lies after it."""

    as_of: datetime

    def day(self, ago: int) -> date:
        """The date so many days ago; negative for days to come."""
        return timezone.localdate(self.as_of) - timedelta(days=ago)

    def at(self, ago: int, minute: int) -> datetime:
        """A minute of the day so many days ago.

        Today's minutes are drawn together so that the morning's round ends before ``as_of``
        at whatever hour that is.
        """
        if ago == 0:
            return self._this_morning(minute)
        return min(self.by(ago, minute), self.as_of)

    def by(self, ago: int, minute: int) -> datetime:
        """A minute by which something is due; it may lie ahead."""
        hour = time(minute // 60, minute % 60)
        return timezone.make_aware(datetime.combine(self.day(ago), hour))

    def _this_morning(self, minute: int) -> datetime:
        midnight = timezone.make_aware(datetime.combine(self.day(0), time.min))
        end = max(midnight, self.as_of - timedelta(minutes=12))
        begin = max(midnight, end - _MORNING_LASTS)
        part = min(1.0, max(0.0, (minute - _ROUND_BEGINS) / _ROUND_TAKES))
        return begin + (end - begin) * part

    def not_later(self, moment: datetime) -> datetime:
        """The moment itself, or the end of the history."""
        return min(moment, self.as_of)


@dataclass(slots=True)
class Ids:
    """UUIDv7 ids made from the moment of what they name: the same every time, sorted by time."""

    random: Random
    _asked: int = field(default=0)
    _before: int = field(default=0)

    def at(self, moment: datetime) -> UUID:
        """A new id; ids of one millisecond sort in the order they were asked for."""
        milliseconds = int(moment.timestamp() * 1000)
        self._before = self._before + 1 if milliseconds == self._asked else 0
        self._asked = milliseconds
        order = (milliseconds << 12) + self._before
        high = (order >> 12) << 16 | 0x7000 | (order & 0xFFF)
        low = 0x8000000000000000 | self.random.getrandbits(62)
        return UUID(int=high << 64 | low)
