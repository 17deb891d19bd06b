"""A day as it was written."""

from datetime import date, time

import pytest

from cavyround.web.weighing.notebook.days import whole_day


@pytest.mark.parametrize(
    "text",
    [
        "2026-03-04",
        "4/3/2026",
        "04.03.2026",
        "4-3-26",
        "4 March 2026",
        "4th Mar 2026",
        "4. march, 2026",
        "Wed 4 March 2026",
        "Wednesday, 4/3/2026",
        "2026-03-04T09:12:30",
        "4 March 2026 at 9:12",
    ],
)
def test_a_day_is_read_with_the_day_before_the_month(text: str) -> None:
    day = whole_day(text)
    assert day is not None
    assert day.on == date(2026, 3, 4)


def test_a_time_and_its_zone_are_kept_where_they_are_written() -> None:
    day = whole_day("2026-03-04 09:12Z")
    assert day is not None
    assert (day.at, day.zone) == (time(9, 12), "Z")
    plain = whole_day("2026-03-04")
    assert plain is not None
    assert plain.at is None


@pytest.mark.parametrize("text", ["31/2/2026", "2026-13-01", "4/13/2026", "2026-03-04 25:00"])
def test_a_day_that_no_calendar_has_says_so(text: str) -> None:
    day = whole_day(text)
    assert day is not None
    assert "no calendar" in day.why


@pytest.mark.parametrize("text", ["", "4/3", "March 2026", "912", "4/3-2026", "4 Brumaire 2026"])
def test_what_is_no_whole_day_is_none(text: str) -> None:
    assert whole_day(text) is None
