"""A phone's clock beside ours: what it says is set right, not refused; what it said is kept."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from django.utils import timezone
from django.utils.dateparse import parse_datetime

# A request of a phone with a good clock is under way for seconds, a photo for minutes. What
# differs by more is the clock's fault. Our own judgement; the phone gives up waiting sooner.
ON_THE_WAY = timedelta(minutes=1)
PHOTO_ON_THE_WAY = timedelta(minutes=10)
# A phone that lost its battery may believe it is 1970; nothing here is older than this.
EARLIEST = datetime(2015, 1, 1, tzinfo=UTC)
# Entries kept before phones' clocks were set right may lie ahead of their arrival by this much.
ONCE_RAN_AHEAD = timedelta(hours=24)


@dataclass(frozen=True, slots=True)
class PhoneClock:
    """One sending: when it came by our clock and when it left by the phone's, if it says so.

    What a phone made, it made by the clock it sent it with, as far as anybody can tell: so the
    difference at the sending sets right every moment in it. A moment that cannot be even then
    (the clock has jumped in between) becomes the moment of arrival.
    """

    now: datetime
    sent_at: datetime | None = None
    on_the_way: timedelta = ON_THE_WAY

    @property
    def offset(self) -> timedelta:
        """What has to be added to the phone's moments; nothing where its clock is right."""
        if self.sent_at is None:
            return timedelta()
        differs = self.now - self.sent_at
        return differs if abs(differs) > self.on_the_way else timedelta()

    def set_right(self, said: datetime, place: int = 0) -> datetime:
        """A moment by our clock. ``place`` in the sending keeps the order where it is arrival."""
        try:
            right = said + self.offset
            if EARLIEST <= right <= self.now + self.on_the_way:
                return right
        except OverflowError:
            pass
        return self.now + timedelta(microseconds=place)


def said_moment(text: object) -> datetime | None:
    """A moment as a phone writes it, with its zone; None where it is none."""
    if not isinstance(text, str):
        return None
    try:
        moment = parse_datetime(text)
        # Moments at the ends of the calendar exist in no other zone than their own.
        return moment.astimezone(UTC) if moment and timezone.is_aware(moment) else None
    except (ValueError, OverflowError):
        return None
