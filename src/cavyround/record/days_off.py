"""Write and read the days on which nobody is there."""

from datetime import date, datetime, timedelta
from uuid import UUID

from cavyround.record import models
from cavyround.record.models.entries import kept_already, new_id

# Where the doses of a running course lay may hang on days this long ago.
LOOKED_BACK = timedelta(days=400)


def note_day_off(
    person: models.Person,
    day: date,
    now: datetime,
    *,
    why: str = "",
    id: UUID | None = None,  # noqa: A002 -- made at the source
) -> models.DayOff:
    """Nobody is there on a day."""
    known = kept_already(models.DayOff, id)
    if known is not None:
        return known
    row = models.DayOff(id=id or new_id(), day=day, why=why.strip(), made_at=now, made_by=person)
    row.save()
    return row


def take_back_day_off(
    person: models.Person, day_off: models.DayOff, now: datetime
) -> models.DayOffTakenBack:
    """Somebody is there after all."""
    row = models.DayOffTakenBack(day_off=day_off, made_at=now, made_by=person)
    row.save()
    return row


def days_off(today: date) -> frozenset[date]:
    """The days on which nobody is there, from about a year back."""
    noted = models.DayOff.objects.filter(day__gte=today - LOOKED_BACK, taken_back=None)
    return frozenset(noted.values_list("day", flat=True))
