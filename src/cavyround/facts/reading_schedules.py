"""Read how often something is given, and at what times of day. What is not clear is not guessed."""

import re
from datetime import time
from typing import Literal

from cavyround.facts.lengths import LONGEST_DAYS, LONGEST_HOURS, Length, Unit
from cavyround.facts.reading_amounts import NotRead

ONCE = "once"
EVERY = re.compile(
    r"(?:every\s+)?(?P<amount>[0-9]{1,4})\s*(?P<unit>hours?|hrs?|h|days?|d|weeks?|wks?|w)",
    re.ASCII,
)
WORDS = {
    "daily": Length(1, Unit.DAYS),
    "every day": Length(1, Unit.DAYS),
    "once a day": Length(1, Unit.DAYS),
    "every other day": Length(2, Unit.DAYS),
    "weekly": Length(7, Unit.DAYS),
    "every week": Length(7, Unit.DAYS),
    "once a week": Length(7, Unit.DAYS),
    "every hour": Length(1, Unit.HOURS),
}
SEVERAL = {"twice": "12 hours", "three times": "8 hours", "four times": "6 hours"}
# Error-prone: the published lists say to write them out (Joint Commission, ISMP).
SHORT = {
    *("qd", "q.d.", "qod", "q.o.d.", "od", "o.d.", "sid", "s.i.d.", "bid", "b.i.d.", "bd"),
    *("tid", "t.i.d.", "tds", "qid", "q.i.d.", "q12h", "q24h", "q8h", "q6h", "eod"),
}
TIME = re.compile(r"(?P<hour>[0-9]{1,2})[:.](?P<minute>[0-9]{2})", re.ASCII)
DAYS_IN_WEEK = 7
HOURS_IN_DAY, MINUTES_IN_HOUR = 24, 60


def read_often(text: str) -> Length | Literal["once"] | NotRead:
    """``every 10 days``, ``12 hours``, ``every 2 weeks``, ``daily``, ``once``."""
    said = " ".join(text.lower().split())
    if said in (ONCE, "only once", "one time"):
        return "once"
    if said in WORDS:
        return WORDS[said]
    if said in SHORT or re.fullmatch(r"q[0-9]+(h|d|wk?)", said):
        words = f"{text!r} is misread too easily; write it out, as every 12 hours"
        return NotRead(text, words)
    for several, hours in SEVERAL.items():
        if said.startswith(several):
            words = (
                f"say the time between two doses, as every {hours}; "
                "or every day, with the times of day below"
            )
            return NotRead(text, words)
    read = EVERY.fullmatch(said)
    if read is None:
        return NotRead(text, "write how often, as every 10 days, every 12 hours, weekly or once")
    return _length(text, int(read["amount"]), read["unit"][0])


def _length(text: str, amount: int, unit: str) -> Length | NotRead:
    amount *= DAYS_IN_WEEK if unit == "w" else 1
    longest = LONGEST_HOURS if unit == "h" else LONGEST_DAYS
    if amount == 0:
        return NotRead(text, "the time between two doses cannot be nought")
    if amount > longest:
        hint = "; write it in days" if unit == "h" else ""
        what = "hours" if unit == "h" else "days"
        return NotRead(text, f"{amount} {what} is more than {longest} {what}{hint}")
    return Length(amount, Unit.HOURS if unit == "h" else Unit.DAYS)


def read_times(text: str) -> tuple[time, ...] | NotRead:
    """Times of day, ``08:00 20:00``, earliest first; empty for none."""
    found: list[time] = []
    for part in re.split(r"[\s,;]+|\s+and\s+", text.strip()):
        if not part or part == "and":
            continue
        read = TIME.fullmatch(part)
        if read is None:
            return NotRead(text, f"{part!r} is no time of day; write it as 08:00")
        hour, minute = int(read["hour"]), int(read["minute"])
        if hour >= HOURS_IN_DAY or minute >= MINUTES_IN_HOUR:
            return NotRead(text, f"there is no {part} on a clock; write it as 08:00 or 20:00")
        found.append(time(hour, minute))
    if len(found) != len(set(found)):
        return NotRead(text, "a time of day stands there twice")
    return tuple(sorted(found))
