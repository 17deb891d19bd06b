"""A day as it was written: ISO, or day, month, year. A month before a day is never assumed."""

import re
from dataclasses import dataclass
from datetime import date, datetime, time

MONTHS = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)
SHORTEST_MONTH = 3
CENTURY = 2000
FULL_YEAR = 4
_month = "|".join(f"{name[:3]}(?:{name[3:]})?" if name != "may" else name for name in MONTHS)
DAY = re.compile(
    r"(?:(?:mon|tues?|wed(?:nes)?|thu(?:rs)?|fri|sat(?:ur)?|sun)(?:day)?[,.]? +)?"
    r"(?:(?P<iso>\d{4}-\d{1,2}-\d{1,2})"
    r"|(?P<d>\d{1,2})(?P<s>[./-])(?P<m>\d{1,2})(?P=s)(?P<y>\d{4}|\d{2})"
    rf"|(?P<day>\d{{1,2}})(?:st|nd|rd|th|\.)? +(?P<month>{_month}|sept)\.?,? +(?P<year>\d{{4}}))"
    r"(?:(?:[T ]|,? +at +| +)(?P<at>\d{1,2}:\d{2})(?::\d{2}(?:\.\d+)?)?"
    r"(?P<zone>Z|[+-]\d{2}:?\d{2})?)?(?![\w:/-])",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Day:
    """A day, with the time and zone where they were written; or why it is none."""

    on: date | None = None
    at: time | None = None
    zone: str = ""
    why: str = ""


def day_of(found: re.Match[str]) -> Day:
    """What a match of DAY says; a day that no calendar has says so."""
    try:
        on = date(*_numbers(found))
        at = time.fromisoformat(found["at"].zfill(5)) if found["at"] else None
    except ValueError:
        return Day(why=f"“{found.group().strip()}” is a day that no calendar has.")
    return Day(on, at, (found["zone"] or "").upper())


def whole_day(text: str) -> Day | None:
    """The day a text consists of; None where there is anything else in it."""
    found = DAY.fullmatch(text.strip())
    return day_of(found) if found else None


def _numbers(found: re.Match[str]) -> tuple[int, int, int]:
    if found["iso"]:
        year, month, day = map(int, found["iso"].split("-"))
        return year, month, day
    if found["month"]:
        names = [name[:SHORTEST_MONTH] for name in MONTHS]
        month = names.index(found["month"].lower()[:SHORTEST_MONTH]) + 1
        return int(found["year"]), month, int(found["day"])
    year = int(found["y"])
    return (
        (year if len(found["y"]) == FULL_YEAR else CENTURY + year),
        int(found["m"]),
        int(found["d"]),
    )


def zone_offset(zone: str, on: datetime) -> datetime | None:
    """A moment that was written with its zone; None where no zone was written."""
    if not zone:
        return None
    return datetime.fromisoformat(f"{on:%Y-%m-%dT%H:%M:%S}{zone}")
