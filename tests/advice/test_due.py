"""Who is due today, for what, why, and in which order."""

from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from cavyround.advice.book import book
from cavyround.advice.due import Due, due_today
from cavyround.advice.giving import advise
from cavyround.record.animals import Coming, Leaving, arrive, depart, move
from cavyround.record.models import Animal, Person, Room
from cavyround.record.promises import LookAgainAt, promise, settle
from tests.builders import (
    FINISH,
    NOW,
    TODAY,
    a_check,
    a_full_check,
    a_pen,
    an_animal,
    found,
)

DAY = timedelta(days=1)

STAGES = [one.group for one in book().living.round]


def the_due(now: datetime = NOW) -> Due:
    [due] = due_today(now)
    return due


def is_due(now: datetime = NOW) -> bool:
    return bool(due_today(now))


def checked(person: Person, days_ago: int, **said: Any) -> Animal:
    """An animal whose last full check was so many days ago."""
    animal = an_animal(person, **said)
    a_full_check(person, animal, at=NOW - days_ago * DAY)
    return animal


def test_a_resident_is_due_a_week_after_its_last_full_check(lead: Person) -> None:
    checked(lead, 6)
    assert not is_due()
    due = the_due(NOW + DAY)
    assert (due.reasons, due.overdue_days, due.kind) == (("weekly full check",), 0, "full")
    assert the_due(NOW + 4 * DAY).overdue_days == 3


def test_an_animal_never_checked_here_is_due_for_its_arrival_check(lead: Person) -> None:
    an_animal(lead, on=TODAY - DAY)
    due = the_due()
    assert (due.reasons, due.kind, due.overdue_days) == (("arrival check",), "arrival", 1)


def test_one_that_came_back_is_due_for_an_arrival_check_again(lead: Person) -> None:
    animal = checked(lead, 3)
    depart(lead, animal, Leaving(on=TODAY - 2 * DAY, how="adopted"), NOW - 2 * DAY)
    assert not is_due()
    arrive(lead, animal, Coming(on=TODAY, how="returned"), NOW)
    assert the_due().kind == "arrival"


@pytest.mark.parametrize("unfinished", [[], [{"kind": "put_down", "why": "struggled"}]])
def test_a_check_that_was_not_finished_does_not_count(
    lead: Person, unfinished: list[object]
) -> None:
    animal = checked(lead, 8)
    a_check(lead, animal, found(), *unfinished, at=NOW - DAY)
    assert the_due().overdue_days == 1


@pytest.mark.parametrize("kind", ["quick", "recheck", "weigh_in"])
def test_a_small_check_does_not_stand_for_a_full_one(lead: Person, kind: str) -> None:
    animal = checked(lead, 8)
    a_full_check(lead, animal, at=NOW - DAY, kind=kind)
    assert the_due().kind == "full"


def test_a_newcomer_is_due_daily_at_first_and_weekly_later(lead: Person) -> None:
    animal = an_animal(lead, on=TODAY - DAY)
    a_full_check(lead, animal, at=NOW - DAY, kind="arrival")
    assert "newcomer" in the_due().reasons[0]
    a_full_check(lead, animal, at=NOW + 2 * DAY)
    assert not is_due(NOW + 3 * DAY)
    assert is_due(NOW + 9 * DAY)


def test_an_animal_in_quarantine_is_due_every_few_days(lead: Person) -> None:
    checked(lead, 3, pen=a_pen("quarantine"))
    assert "quarantine" in the_due().reasons[0]
    assert not is_due(NOW - DAY)


@pytest.mark.parametrize("kind", ["sick_bay", "isolation"])
def test_an_animal_in_the_sick_bay_or_isolation_is_due_daily(lead: Person, kind: str) -> None:
    checked(lead, 1, pen=a_pen(kind))
    assert "daily" in the_due().reasons[0]


def test_a_pup_is_due_daily_also_when_its_birthday_is_not_known_for_sure(lead: Person) -> None:
    born = {"born_earliest": TODAY - 60 * DAY, "born_latest": TODAY - 20 * DAY}
    checked(lead, 1, at=NOW - 19 * DAY, **born)
    assert the_due().reasons == ("pup: daily",)


@pytest.mark.parametrize("pregnant", ["yes", "possible"])
def test_a_sow_that_may_be_expecting_is_due_every_few_days(lead: Person, pregnant: str) -> None:
    checked(lead, 3, pregnant=pregnant)
    assert "expectant" in the_due().reasons[0]


def test_a_promise_to_look_again_makes_an_animal_due_until_it_is_kept(lead: Person) -> None:
    animal = checked(lead, 1)
    again = LookAgainAt(due_at=NOW + 5 * timedelta(hours=1), words="left eye", region="eye")
    made = promise(lead, animal, again, NOW)
    due = the_due()
    assert (due.reasons, due.kind) == (("look again: left eye",), "recheck")
    assert not is_due(NOW - DAY)
    settle(lead, made, "gone", NOW)
    assert not is_due()


def test_a_whole_check_that_is_due_too_takes_the_recheck_with_it(lead: Person) -> None:
    animal = checked(lead, 9)
    promise(lead, animal, LookAgainAt(due_at=NOW - 4 * DAY, words="left eye"), NOW)
    due = the_due()
    assert due.kind == "full"
    assert set(due.reasons) == {"look again: left eye", "weekly full check"}
    assert due.overdue_days == 4


def test_an_animal_that_left_is_not_due(lead: Person) -> None:
    animal = checked(lead, 9)
    depart(lead, animal, Leaving(on=TODAY, how="adopted"), NOW)
    assert not is_due()


def test_a_fostered_animal_is_still_due(lead: Person) -> None:
    animal = checked(lead, 9, pen=a_pen("foster"))
    depart(lead, animal, Leaving(on=TODAY, how="fostered"), NOW)
    assert the_due().group == "foster"


def test_the_round_goes_from_healthy_to_contagious(lead: Person) -> None:
    for kind in reversed([kind for kind in STAGES if kind != "no_pen"]):
        checked(lead, 30, name=kind, pen=a_pen(kind))
    checked(lead, 30, name="no_pen")
    assert [due.group for due in due_today(NOW)] == list(STAGES)


def test_within_a_group_the_pen_of_the_most_overdue_comes_first_and_whole(lead: Person) -> None:
    far, near = a_pen(name="far", room="Far room"), a_pen(name="near", room="Near room")
    Room.objects.filter(name="Far room").update(position=2)
    Room.objects.filter(name="Near room").update(position=1)
    for name, days, pen in (
        ("Alder", 8, far),
        ("Birch", 8, near),
        ("Ash", 8, near),
        ("Late", 12, far),
    ):
        checked(lead, days, name=name, pen=pen)
    assert [due.animal.name for due in due_today(NOW)] == ["Late", "Alder", "Ash", "Birch"]


def test_an_animal_advised_to_be_kept_apart_comes_last_wherever_it_lives(lead: Person) -> None:
    animal = an_animal(lead, name="Itchy", pen=a_pen("nursery"))
    ring = found("ringworm", "face", "skin")
    check = a_check(lead, animal, ring, FINISH, at=NOW - DAY)
    given = advise(lead, check, NOW - DAY)
    assert given.result["isolate"]
    checked(lead, 30, name="Sick", pen=a_pen("sick_bay"))
    due = {one.animal.name: one for one in due_today(NOW + 7 * DAY)}
    assert list(due) == ["Sick", "Itchy"]
    assert due["Itchy"].group == "isolation"
    assert due["Itchy"].urgency is not None
    assert due["Itchy"].urgency.code == given.urgency
    assert due["Sick"].urgency is None


def test_who_has_the_animal_on_the_table_is_told(lead: Person, carer: Person, sow: Animal) -> None:
    a_check(carer, sow, found(), at=NOW - timedelta(minutes=5))
    assert the_due().being_checked_by == "Tam Birch"
    assert the_due(NOW + timedelta(hours=1)).being_checked_by == ""


def test_a_moved_animal_is_due_where_it_lives_now(lead: Person) -> None:
    animal = checked(lead, 9, pen=a_pen())
    pen = a_pen("isolation")
    move(lead, animal, pen, NOW)
    assert (the_due().group, the_due().pen) == ("isolation", pen)


def queries_for(now: datetime) -> int:
    with CaptureQueriesContext(connection) as asked:
        due_today(now)
    return len(asked)


def test_the_number_of_queries_does_not_grow_with_the_herd(lead: Person) -> None:
    pens = [a_pen(kind) for kind in ("residents", "quarantine", "nursery")]

    def more(count: int, start: int) -> None:
        for number in range(start, start + count):
            animal = checked(lead, 9, name=f"N{number}", pen=pens[number % 3])
            promise(lead, animal, LookAgainAt(due_at=NOW, words="eye"), NOW)
            advise(lead, a_check(lead, animal, found(), FINISH), NOW)

    more(5, 0)
    few = queries_for(NOW + 9 * DAY)
    more(55, 5)
    assert len(due_today(NOW + 9 * DAY)) == 60
    assert queries_for(NOW + 9 * DAY) == few


LONDON = ZoneInfo("Europe/London")


# On these days London sets its clocks: 29 March 2026 has 23 hours, 25 October has 25.
@pytest.mark.parametrize("clock_change", [date(2026, 3, 29), date(2026, 10, 25)])
@pytest.mark.parametrize("days_before", [0, 1, 3, 7])
@pytest.mark.parametrize("clock", [time(0, 5), time(1, 30), time(12), time(23, 50)])
def test_a_week_is_seven_days_of_the_calendar_also_when_the_clocks_change(
    lead: Person, clock_change: date, days_before: int, clock: time
) -> None:
    day = clock_change - timedelta(days=days_before)
    begin = datetime.combine(day, clock, LONDON)
    a_full_check(lead, an_animal(lead, at=begin - 30 * DAY), at=begin)
    overdue = {
        days: [
            one.overdue_days
            for at in (time(0, 1), time(23, 59))
            for one in due_today(datetime.combine(day + timedelta(days=days), at, LONDON))
        ]
        for days in (6, 7, 8)
    }
    assert overdue == {6: [], 7: [0, 0], 8: [1, 1]}


@pytest.mark.parametrize(
    ("due_at", "day_before", "on_the_day"),
    [
        # 23:30 UTC on 28 March is still 28 March in London; on 29 March it is already the 30th.
        ("2026-03-28T23:30:00+00:00", "2026-03-27T22:00:00+00:00", "2026-03-28T08:00:00+00:00"),
        ("2026-03-29T23:30:00+00:00", "2026-03-29T20:00:00+00:00", "2026-03-30T00:30:00+01:00"),
        ("2026-10-24T23:30:00+00:00", "2026-10-24T20:00:00+00:00", "2026-10-25T00:30:00+01:00"),
        ("2026-10-25T23:30:00+00:00", "2026-10-24T20:00:00+00:00", "2026-10-25T06:00:00+00:00"),
    ],
)
def test_a_promise_falls_due_on_the_day_of_the_rescues_own_clock(
    lead: Person, due_at: str, day_before: str, on_the_day: str
) -> None:
    animal = an_animal(lead)
    a_full_check(lead, animal, at=datetime.fromisoformat(day_before) - timedelta(hours=2))
    again = LookAgainAt(due_at=datetime.fromisoformat(due_at), words="left eye")
    promise(lead, animal, again, NOW)
    assert not is_due(datetime.fromisoformat(day_before))
    assert the_due(datetime.fromisoformat(on_the_day)).reasons == ("look again: left eye",)


def test_a_finished_check_with_hardly_a_step_done_is_not_the_weeks_check(lead: Person) -> None:
    animal = an_animal(lead)
    a_check(lead, animal, {"kind": "step_normal", "step": "manner"}, FINISH)
    assert "broken off: 1 of 24 steps" in the_due().reasons[0]
