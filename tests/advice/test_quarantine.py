"""Quarantine from the record: who is in, until when, what is missing."""

from datetime import timedelta

import pytest

from cavyround.advice.giving import advise
from cavyround.advice.quarantine import Quarantined, in_quarantine, quarantine_of
from cavyround.engines.contagion.quarantine import Restart
from cavyround.record.animals import Coming, ImpossibleError, add_animal, move
from cavyround.record.contagion import Apart, end_quarantine, set_quarantine
from cavyround.record.models import Animal, Pen, Person
from tests.builders import NOW, a_check, a_full_check, a_pen, found

DAY = timedelta(days=1)
CAME = NOW - 10 * DAY


def comes(lead: Person, pen: Pen | None, name: str = "Teasel", days_ago: int = 10) -> Animal:
    at = NOW - days_ago * DAY
    coming = Coming(on=at.date(), how="surrendered", came_from="a family")
    return add_animal(lead, {"name": name}, coming, at, pen=pen)


@pytest.fixture
def pen(db: None) -> Pen:
    return a_pen("quarantine", name="Q1", room="Shed")


def one(animal: Animal) -> Quarantined:
    told = quarantine_of(animal, NOW)
    assert told is not None
    return told


def missing(animal: Animal) -> set[str]:
    return {need.code for need in one(animal).clock.missing}


def test_whoever_stands_in_a_pen_of_quarantine_has_a_clock_without_anybody_setting_it(
    lead: Person, pen: Pen
) -> None:
    animal = comes(lead, pen)
    told = one(animal)
    assert told.clock.ends_on == (CAME + 21 * DAY).date()
    assert told.clock.days_left == 11
    assert missing(animal) >= {"time", "arrival_check", "second_skin_look", "nothing_catching"}


def test_one_from_nobody_knows_where_and_one_that_itches_stay_longer(
    lead: Person, carer: Person, pen: Pen
) -> None:
    coming = Coming(on=CAME.date(), how="found")
    stray = add_animal(lead, {"name": "Stray"}, coming, CAME, pen=pen)
    assert one(stray).clock.days == 35
    itchy = comes(lead, a_pen("quarantine", name="Q2", room="Hut"), "Itchy")
    assert one(itchy).clock.days == 21
    a_check(carer, itchy, found("scratching", "skin", "skin"), at=NOW - DAY)
    assert one(itchy).clock.days == 35


def test_checks_meet_what_is_asked(lead: Person, carer: Person, pen: Pen) -> None:
    animal = comes(lead, pen, days_ago=21)
    for days_ago in (21, 2):
        check = a_full_check(carer, animal, at=NOW - days_ago * DAY)
        advise(carer, check, NOW - days_ago * DAY + DAY / 24)
    assert missing(animal) == set()
    assert one(animal).clock.may_end


def test_a_newcomer_in_the_room_sets_the_clock_back_and_says_who(lead: Person, pen: Pen) -> None:
    animal = comes(lead, pen)
    comes(lead, a_pen("quarantine", name="Q2", room="Shed"), "Newcomer", days_ago=3)
    told = one(animal)
    assert told.clock.ends_on == (NOW - 3 * DAY + 21 * DAY).date()
    assert told.clock.began.why is Restart.NEWCOMER_AIR
    assert "Newcomer" in told.clock.began.words


def test_it_can_be_set_and_what_was_set_counts(lead: Person, pen: Pen) -> None:
    animal = comes(lead, pen)
    comes(lead, a_pen("quarantine", name="Q2", room="Shed"), "Newcomer", days_ago=3)
    apart = Apart(
        began_on=CAME.date(),
        days=30,
        second_look_days=10,
        last_check_days=3,
        air_counts=False,
        why="own air by a wall",
    )
    set_quarantine(lead, animal, apart, NOW)
    assert one(animal).clock.ends_on == (CAME + 30 * DAY).date()


def test_a_resident_can_be_put_under_quarantine_where_it_lives(lead: Person) -> None:
    animal = comes(lead, a_pen(name="Clover"))
    assert quarantine_of(animal, NOW) is None
    apart = Apart(
        began_on=NOW.date(), days=28, second_look_days=14, last_check_days=7, why="met a case"
    )
    set_quarantine(lead, animal, apart, NOW)
    assert one(animal).clock.days == 28


def test_it_ends_by_somebodys_word_and_with_something_missing_only_for_a_reason(
    lead: Person, pen: Pen
) -> None:
    animal = comes(lead, pen)
    with pytest.raises(ImpossibleError, match="Not everything is met"):
        end_quarantine(lead, animal, NOW, missing=["time"])
    end_quarantine(lead, animal, NOW, missing=["time"], why="the vet says so")
    assert quarantine_of(animal, NOW) is None


def test_coming_back_into_quarantine_begins_anew(lead: Person, pen: Pen) -> None:
    animal = comes(lead, pen)
    end_quarantine(lead, animal, NOW - 5 * DAY, missing=["time"], why="the vet says so")
    move(lead, animal, a_pen(name="Clover"), NOW - 5 * DAY)
    move(lead, animal, pen, NOW - DAY)
    assert one(animal).since == (NOW - DAY).date()


def test_the_number_of_queries_does_not_grow_with_the_animals(
    lead: Person, pen: Pen, django_assert_max_num_queries: "object"
) -> None:
    for number in range(20):
        comes(lead, pen, f"N{number}")
    with django_assert_max_num_queries(40):  # type: ignore[operator]
        assert len(in_quarantine(NOW)) == 20
