"""Published courses, each with its source: the dates they give, and what is doubted about them.

The iCalendar rule for "every 10 days, 4 times from 1 March 2024" and its four dates are worked
from RFC 5545; the schedules are those their sources print.
"""

from datetime import UTC, date, datetime, time

import pytest

from cavyround.engines.courses import cycle_checks, due_until
from cavyround.engines.courses.cycles import Doubt
from cavyround.facts.courses import Course
from cavyround.facts.schedules import UNTIL_VET_SAYS, Ending, Rest, Schedule, days
from cavyround.knowledge.book import Knowledge

FIRST = date(2024, 3, 1)


def every(number: int, doses: int | None, **said: object) -> Schedule:
    ends = UNTIL_VET_SAYS if doses is None else Ending(doses=doses)
    return Schedule(every=days(number), first_on=FIRST, ends=ends, **said)  # type: ignore[arg-type]


def course(schedule: Schedule, *against: str) -> Course:
    return Course(
        id="c", order="o", animal="a", what="medicine", schedule=schedule, against=against
    )


def days_of(book: Knowledge, schedule: Schedule) -> list[int]:
    """The days after the first on which a dose falls due."""
    before = datetime(2024, 2, 1, tzinfo=UTC)
    end = datetime(2024, 9, 1, tzinfo=UTC)
    _, slots = due_until(course(schedule), now=before, until=end, zone=UTC, book=book)
    return [(slot.day - FIRST).days for slot in slots]


def test_the_dates_of_an_icalendar_rule(book: Knowledge) -> None:
    """RFC 5545: DTSTART 20240301, FREQ=DAILY;INTERVAL=10;COUNT=4 gives 1, 11, 21, 31 March."""
    before = datetime(2024, 2, 1, tzinfo=UTC)
    end = datetime(2024, 9, 1, tzinfo=UTC)
    _, slots = due_until(course(every(10, 4)), now=before, until=end, zone=UTC, book=book)
    assert [slot.day for slot in slots] == [date(2024, 3, day) for day in (1, 11, 21, 31)]


@pytest.mark.parametrize(
    ("schedule", "expected"),
    [
        # Eshar & Bdolah-Abram, JAVMA 2012;241:1056: ivermectin four times, days 0, 10, 20, 30
        (every(10, 4), [0, 10, 20, 30]),
        # J Parasit Dis 2015, doi 10.1007/s12639-015-0652-6: ten days apart, three times
        (every(10, 3), [0, 10, 20]),
        # Vildershoj 2025, J Exot Pet Med: hCG weekly, three times
        (every(7, 3), [0, 7, 14]),
        # Vetpedia card 601: enilconazole every 3 to 4 days, four times
        (every(3, 4, late=days(1)), [0, 3, 6, 9]),
        # Carpenter 5th ed., p. 686: leuprolide every 28 days
        (every(28, 3), [0, 28, 56]),
        # German Wikipedia on coccidiosis (Huerkamp 1996): 3 days, 5 days between, 3 days
        (every(1, 6, rest=Rest(after_days=3, days=5)), [0, 1, 2, 8, 9, 10]),
        # twice a day for five days, as antibiotics are given
        (every(1, 10, at=(time(8), time(20))), [day for day in range(5) for _ in range(2)]),
    ],
)
def test_published_schedules_fall_on_their_days(
    book: Knowledge, schedule: Schedule, expected: list[int]
) -> None:
    assert days_of(book, schedule) == expected


@pytest.mark.parametrize(
    ("schedule", "doubts"),
    [
        # the trial's ten days four times (mite-free by day 40) and the colony's three times
        (every(10, 4), []),
        (every(10, 3), []),
        # Vetpedia card 627: every two weeks until healed; the cycle is 10 to 14 days
        (every(14, None), [Doubt.LETS_EGGS_THROUGH]),
        # WikiVet: weekly three times "may not be effective"
        (every(7, 3), [Doubt.ENDS_TOO_SOON]),
    ],
)
def test_what_is_doubted_of_the_published_courses_against_mange(
    book: Knowledge, schedule: Schedule, doubts: list[Doubt]
) -> None:
    [found] = cycle_checks(course(schedule, "trixacarus"), book=book)
    assert [one.doubt for one in found.warnings] == doubts
    assert not any(one.surely for one in found.warnings)


def test_four_times_ten_days_cover_two_whole_cycles(book: Knowledge) -> None:
    """Days 0 to 30 are at least two of the longest cycles of 14 days."""
    [found] = cycle_checks(course(every(10, 4), "trixacarus"), book=book)
    assert found.cycles is not None
    assert found.cycles >= 2
    assert found.published == "7 to 14 days"


def test_louse_repeats_must_outlast_the_hatching(book: Knowledge) -> None:
    """Rutgers FS1184: an egg takes 3 to 14 days to hatch."""
    [twice] = cycle_checks(course(every(14, 2), "gliricola"), book=book)
    [thrice] = cycle_checks(course(every(14, 3), "gliricola"), book=book)
    assert [one.doubt for one in twice.warnings] == [Doubt.ENDS_TOO_SOON]
    assert thrice.warnings == ()
