"""A year with a slipped digit is no day; every other is."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavyround.facts.days import why_no_day

TODAY = date(2026, 3, 3)


@pytest.mark.parametrize(
    ("day", "can_be"),
    [
        ("0001-01-01", False),
        ("0206-03-03", False),
        ("1500-01-01", False),
        ("2006-03-02", False),
        ("2006-03-03", True),
        ("2026-03-03", True),
        ("2028-03-03", True),
        ("2028-03-04", False),
        ("9999-12-31", False),
    ],
)
def test_a_day_within_twenty_years_back_and_two_ahead_can_be(day: str, can_be: bool) -> None:
    why = why_no_day(date.fromisoformat(day), TODAY)
    assert (why == "") is can_be
    assert can_be or "Look at the year again" in why


@given(st.dates(), st.dates(date(2020, 1, 1), date(2100, 12, 31)))
def test_there_is_an_answer_on_every_day_also_on_a_leap_day(day: date, today: date) -> None:
    for each in (today, date(2028, 2, 29)):
        assert isinstance(why_no_day(day, each), str)
        assert why_no_day(each, each) == ""
