"""How often a dose is given, as people write it; what could be misread is not read."""

from datetime import time

import pytest

from cavyround.facts.lengths import Length, Unit
from cavyround.facts.reading_amounts import NotRead
from cavyround.facts.reading_schedules import read_often, read_times


@pytest.mark.parametrize(
    ("text", "amount", "unit"),
    [
        ("every 10 days", 10, Unit.DAYS),
        ("Every  10 days", 10, Unit.DAYS),
        ("10 days", 10, Unit.DAYS),
        ("every 12 hours", 12, Unit.HOURS),
        ("every 12 h", 12, Unit.HOURS),
        ("every 2 weeks", 14, Unit.DAYS),
        ("daily", 1, Unit.DAYS),
        ("once a day", 1, Unit.DAYS),
        ("weekly", 7, Unit.DAYS),
        ("every other day", 2, Unit.DAYS),
    ],
)
def test_how_often_is_read_as_people_write_it(text: str, amount: int, unit: Unit) -> None:
    assert read_often(text) == Length(amount, unit)


def test_once_is_once() -> None:
    assert read_often("Once") == "once"


# The published lists of error-prone abbreviations (Joint Commission "Do Not Use"; ISMP 2021).
@pytest.mark.parametrize("text", ["QD", "q.d.", "QOD", "BID", "tid", "SID", "q12h", "q10d", "o.d."])
def test_what_the_published_lists_call_error_prone_is_not_read(text: str) -> None:
    read = read_often(text)
    assert isinstance(read, NotRead)
    assert "write it out" in read.words


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("twice a day", "every 12 hours"),
        ("three times a day", "every 8 hours"),
        ("now and then", "write how often"),
        ("", "write how often"),
        ("every 0 days", "cannot be nought"),
        ("every 100 hours", "write it in days"),
        ("every 500 days", "more than 400"),
        ("every 1.5 days", "write how often"),
    ],
)
def test_what_is_not_clear_is_said_with_how_to_write_it(text: str, words: str) -> None:
    read = read_often(text)
    assert isinstance(read, NotRead)
    assert words in read.words


def test_times_of_day_come_earliest_first() -> None:
    assert read_times("20:00, 8:00") == (time(8), time(20))
    assert read_times("08:00 and 20:00") == (time(8), time(20))
    assert read_times("  ") == ()


@pytest.mark.parametrize("text", ["8", "25:00", "08:61", "morning", "08:00 8:00"])
def test_what_is_no_time_of_day_is_said(text: str) -> None:
    assert isinstance(read_times(text), NotRead)
