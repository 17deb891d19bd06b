"""Civil days and elapsed hours: what a day or an hour later means across a clock change.

Instants are in UTC. A time of day that does not exist on the day the clocks go forward
is taken as much later as the clocks jump; one that comes twice on the day they go back
is the first of the two. So there is exactly one moment for each day and time.
"""

from datetime import UTC, date, datetime, time, timedelta, tzinfo

from cavyround.facts.lengths import Length, Unit

MIDNIGHT = time.min


def moment(day: date, at: time, zone: tzinfo) -> datetime:
    """The one instant of a day and time in the rescue's zone."""
    return datetime.combine(day, at.replace(fold=0), tzinfo=zone).astimezone(UTC)


def day_begins(day: date, zone: tzinfo) -> datetime:
    """The instant a civil day begins; a day may be 23 or 25 hours long."""
    return moment(day, MIDNIGHT, zone)


def day_of(at: datetime, zone: tzinfo) -> date:
    """The civil day of an instant in the rescue's zone."""
    return at.astimezone(zone).date()


def later(at: datetime, length: Length, zone: tzinfo, *, times: int = 1) -> datetime:
    """So many hours later by any clock, or the same time of day so many days later."""
    if length.unit is Unit.HOURS:
        return at + times * length.span
    local = at.astimezone(zone)
    return moment(local.date() + timedelta(days=times * length.amount), local.time(), zone)


def earlier(at: datetime, length: Length, zone: tzinfo) -> datetime:
    """So many hours or days before."""
    return later(at, length, zone, times=-1)
