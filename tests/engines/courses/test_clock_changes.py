"""Nothing falls due twice or not at all when the clocks change, and days off move only if allowed.

Clock changes of 2026: in London forward on 29 March at 01:00 UTC and back on 25 October at
01:00 UTC; in Havana forward on 8 March and back on 1 November, at midnight (tz database).
"""

from collections import Counter
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from cavyround.engines.courses import due_until
from cavyround.engines.courses.clock import day_begins, day_of, moment
from cavyround.engines.courses.slots import Slot
from cavyround.facts.schedules import DayOff, Schedule, days
from cavyround.knowledge.book import Knowledge
from tests.engines.courses.made import FIRST, HAVANA, LONDON, a_course, at, every, every_hours

SPRING, AUTUMN = date(2026, 3, 29), date(2026, 10, 25)
LORD_HOWE = ZoneInfo("Australia/Lord_Howe")  # half an hour of summer time


def slots(book: Knowledge, schedule: Schedule, zone: ZoneInfo, **said: Any) -> list[Slot]:
    """All doses of a schedule, seen from long before the first."""
    course = a_course(schedule)
    now = at(-20)
    end = datetime(2027, 12, 1, tzinfo=UTC)
    _, found = due_until(course, now=now, until=end, zone=zone, book=book, **said)
    return list(found)


def daily_round(day: date, *times: time, doses: int = 12) -> Schedule:
    return every(1, doses, first_on=day - timedelta(days=2), at=times)


@pytest.mark.parametrize("day", [SPRING, AUTUMN])
def test_every_day_has_each_of_its_times_once(book: Knowledge, day: date) -> None:
    found = slots(book, daily_round(day, time(8), time(20)), LONDON)
    local = [slot.due_at.astimezone(LONDON) for slot in found]
    assert [one.time() for one in local] == [time(8), time(20)] * 6
    assert set(Counter(one.date() for one in local).values()) == {2}
    assert len({slot.due_at for slot in found}) == 12


def test_a_time_the_clocks_jump_over_comes_as_much_later_once(book: Knowledge) -> None:
    found = slots(book, daily_round(SPRING, time(1, 30), doses=4), LONDON)
    local = [slot.due_at.astimezone(LONDON) for slot in found]
    assert [(one.date().day, one.time()) for one in local] == [
        (27, time(1, 30)),
        (28, time(1, 30)),
        (29, time(2, 30)),
        (30, time(1, 30)),
    ]


def test_a_time_that_comes_twice_is_due_at_the_first_of_the_two(book: Knowledge) -> None:
    found = slots(book, daily_round(AUTUMN, time(1, 30), doses=4), LONDON)
    on_day = [slot.due_at for slot in found if slot.day == AUTUMN]
    # 01:30 summer time; 01:30 winter time is an hour later and is not due again
    assert on_day == [datetime(2026, 10, 25, 0, 30, tzinfo=UTC)]


def test_a_day_is_as_long_as_the_clocks_make_it() -> None:
    def hours_of(day: date, zone: ZoneInfo) -> float:
        return (day_begins(day + timedelta(days=1), zone) - day_begins(day, zone)) / timedelta(
            hours=1
        )

    assert (hours_of(SPRING, LONDON), hours_of(AUTUMN, LONDON)) == (23, 25)
    assert hours_of(date(2026, 3, 8), HAVANA) == 23
    assert hours_of(date(2026, 11, 1), HAVANA) == 25
    assert hours_of(date(2026, 10, 4), LORD_HOWE) == 23.5


@pytest.mark.parametrize("zone", [LONDON, HAVANA, LORD_HOWE])
def test_the_windows_of_all_day_doses_touch_and_never_overlap(
    book: Knowledge, zone: ZoneInfo
) -> None:
    found = slots(book, every(1, 300), zone)
    for one, following in pairwise(found):
        assert one.missed_at == following.opens_at
        assert day_of(one.opens_at, zone) == one.day


def test_twelve_elapsed_hours_stay_twelve_and_the_local_time_moves(book: Knowledge) -> None:
    schedule = every_hours(12, 6, first_at=datetime(2026, 3, 28, 8, tzinfo=UTC))
    found = slots(book, schedule, LONDON)
    gaps = {b.due_at - a.due_at for a, b in pairwise(found)}
    assert gaps == {timedelta(hours=12)}
    local = [slot.due_at.astimezone(LONDON).time() for slot in found]
    assert local == [time(8), time(20), time(9), time(21), time(9), time(21)]


def test_a_window_in_days_ends_at_the_same_time_of_day_across_the_change(book: Knowledge) -> None:
    schedule = every(7, 2, first_on=SPRING - timedelta(days=1), at=(time(8),), late=days(2))
    found = slots(book, schedule, LONDON)
    assert found[0].late_at.astimezone(LONDON).time() == time(8)


def test_a_moment_has_one_instant_however_it_was_folded() -> None:
    folded = time(1, 30, fold=1)
    assert moment(AUTUMN, folded, LONDON) == moment(AUTUMN, time(1, 30), LONDON)


OFF = FIRST + timedelta(days=10)


@pytest.mark.parametrize(
    ("said", "days_off", "lies_on"),
    [
        ({}, {10}, 10),
        ({"day_off": DayOff.LATER, "move_days": 2}, {10}, 11),
        ({"day_off": DayOff.LATER, "move_days": 2}, {10, 11}, 12),
        ({"day_off": DayOff.EARLIER, "move_days": 2}, {10}, 9),
        ({"day_off": DayOff.EARLIER, "move_days": 2}, {9, 10}, 8),
        # nowhere to move to within what the order allows
        ({"day_off": DayOff.LATER, "move_days": 2}, {10, 11, 12}, 10),
    ],
)
def test_a_dose_moves_off_a_day_off_only_as_far_as_the_order_allows(
    book: Knowledge, said: dict[str, Any], days_off: set[int], lies_on: int
) -> None:
    free = [FIRST + timedelta(days=day) for day in days_off]
    second = slots(book, every(10, **said), LONDON, days_off=free)[1]
    assert (second.day - FIRST).days == lies_on
    assert second.place.moved_from == (OFF if lies_on != 10 else None)
    assert second.place.falls_on_day_off is (lies_on == 10)


def test_the_doses_after_a_moved_one_stay_where_they_were(book: Knowledge) -> None:
    schedule = every(10, day_off=DayOff.LATER, move_days=3)
    found = slots(book, schedule, LONDON, days_off=[OFF])
    assert [(slot.day - FIRST).days for slot in found] == [0, 11, 20, 30]


def test_the_first_dose_is_never_moved_before_the_order_begins(book: Knowledge) -> None:
    schedule = every(10, day_off=DayOff.EARLIER, move_days=3)
    assert slots(book, schedule, LONDON, days_off=[FIRST])[0].day == FIRST


def test_two_doses_never_meet_on_one_day_however_many_days_are_off(book: Knowledge) -> None:
    free = [FIRST + timedelta(days=day) for day in range(60) if day % 7 in (5, 6)]
    for way in (DayOff.EARLIER, DayOff.LATER):
        found = slots(book, every(3, 15, day_off=way, move_days=2), LONDON, days_off=free)
        lies = [slot.day for slot in found]
        assert lies == sorted(set(lies))
