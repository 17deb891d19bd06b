"""What a quarantine asks of a day: a look that has come due, and that it may end."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from cavyround.engines.contagion.quarantine import Clock


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """One thing a check does for a quarantine, and since when it is due."""

    words: str
    on: date


def asks_of(clock: Clock, today: date) -> Iterator[Ask]:
    """The looks that are due today or overdue; doing them ends the asking.

    The last check may be done on any of several days: it is overdue once the time is over.
    """
    second, last = clock.second_look_on, clock.last_check_from
    if second is not None and second <= today:
        yield Ask(words="quarantine: second look at coat and skin", on=second)
    if last is not None and last <= today:
        day = f"{clock.ends_on.day} {clock.ends_on:%B}"
        over = "was over" if clock.ends_on <= today else "ends"
        words = f"quarantine {over} on {day}: whole check before it is ended"
        yield Ask(words=words, on=min(today, clock.ends_on))
