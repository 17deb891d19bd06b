"""Quarantine from the record: who is in, until when, what is missing."""

from datetime import datetime, timedelta

import pytest

from cavyround.advice.book import book
from cavyround.advice.giving import advise
from cavyround.advice.quarantine import Quarantined, in_quarantine, quarantine_of
from cavyround.engines.contagion.quarantine import Restart
from cavyround.record.animals import Coming, ImpossibleError, add_animal, move
from cavyround.record.contagion import Apart, end_quarantine, set_quarantine
from cavyround.record.models import Animal, Pen, Person
from tests.builders import FINISH, NOW, a_check, a_full_check, a_pen, found

DAY = timedelta(days=1)
CAME = NOW - 10 * DAY


def comes(
    lead: Person,
    pen: Pen | None,
    name: str = "Teasel",
    days_ago: int = 10,
    source: str = "home",
) -> Animal:
    at = NOW - days_ago * DAY
    coming = Coming(on=at.date(), how="surrendered", came_from="a family", source=source)
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


def falls_ill(carer: Person, animal: Animal, at: datetime) -> None:
    bald = found("bald_patch", "nose", "nose", kinds=["scaly"])
    assert advise(carer, a_check(carer, animal, bald, FINISH, at=at), at).isolate


def test_a_sign_in_a_pen_mate_sets_the_clock_back(lead: Person, carer: Person, pen: Pen) -> None:
    animal, mate = comes(lead, pen), comes(lead, pen, "Rhubarb")
    falls_ill(carer, mate, NOW - 3 * DAY)
    assert one(animal).clock.began.why is Restart.NEW_SIGN
    assert "Rhubarb" in one(animal).clock.began.words
    assert one(animal).clock.began.on == NOW.date(), "they are together still"
    move(lead, mate, a_pen("isolation", name="Iso", room="Wash house"), NOW - 2 * DAY)
    assert one(animal).clock.began.on == (NOW - 2 * DAY).date()
    assert one(animal).clock.ends_on == (NOW + 19 * DAY).date()


def test_one_that_went_before_its_sign_was_seen_counts_too(
    lead: Person, carer: Person, pen: Pen
) -> None:
    animal, mate = comes(lead, pen), comes(lead, pen, "Rhubarb")
    move(lead, mate, a_pen("isolation", name="Iso", room="Wash house"), NOW - 5 * DAY)
    falls_ill(carer, mate, NOW - 3 * DAY)
    assert one(animal).clock.began.on == (NOW - 5 * DAY).date()


def test_a_sign_in_the_air_counts_where_the_air_counts(
    lead: Person, carer: Person, pen: Pen
) -> None:
    animal = comes(lead, pen)
    near = comes(lead, a_pen("quarantine", name="Q2", room="Shed"), "Rhubarb")
    falls_ill(carer, near, NOW - 3 * DAY)
    assert one(animal).clock.began.why is Restart.NEW_SIGN
    no_air = Apart(
        began_on=CAME.date(),
        days=21,
        second_look_days=14,
        last_check_days=7,
        air_counts=False,
        why="own ventilation",
    )
    set_quarantine(lead, animal, no_air, NOW)
    assert one(animal).clock.began.why is Restart.CAME


def test_a_sign_far_away_changes_nothing(lead: Person, carer: Person, pen: Pen) -> None:
    animal = comes(lead, pen)
    far = comes(lead, a_pen("quarantine", name="Q2", room="Hut"), "Rhubarb")
    falls_ill(carer, far, NOW - 3 * DAY)
    assert one(animal).clock.began.why is Restart.CAME


def test_a_step_that_was_skipped_was_not_looked_at(lead: Person, carer: Person, pen: Pen) -> None:
    animal = comes(lead, pen, days_ago=21)
    a_full_check(carer, animal, at=NOW - 21 * DAY)
    steps = [step.code for step in book().steps if step.code != "skin"]
    rest = {"kind": "hold_normal", "hold": "standing", "steps": steps}
    skipped = {"kind": "step_skipped", "step": "skin", "why": "struggled"}
    a_check(carer, animal, rest, skipped, FINISH, at=NOW - 2 * DAY)
    assert "second_skin_look" in missing(animal)


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
    animal = comes(lead, a_pen(name="Clover"), days_ago=300)
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


@pytest.mark.parametrize("source", ["many", "not_known"])
def test_only_a_home_known_to_be_well_makes_it_shorter_whatever_is_told(
    lead: Person, pen: Pen, source: str
) -> None:
    assert one(comes(lead, pen, source=source)).clock.days == 35


def test_a_newcomer_has_its_clock_wherever_it_was_put(lead: Person) -> None:
    among = comes(lead, a_pen(name="Clover"))
    nowhere = comes(lead, None, "Nowhere")
    apart = comes(lead, a_pen("quarantine", name="Q1", room="Shed"), "Apart")
    told = {each.animal: each for each in in_quarantine(NOW)}
    assert set(told) == {among, nowhere, apart}
    assert [told[each].is_among_others for each in (among, nowhere, apart)] == [True, True, False]


def test_one_born_here_has_none(lead: Person) -> None:
    coming = Coming(on=CAME.date(), how="born_here")
    pup = add_animal(lead, {"name": "Pup"}, coming, CAME, pen=a_pen("nursery", name="Nest"))
    assert quarantine_of(pup, NOW) is None


def test_a_move_ends_no_quarantine(lead: Person, pen: Pen) -> None:
    animal = comes(lead, pen)
    move(lead, animal, a_pen("sick_bay", name="Sick bay", room="Sick room"), NOW - DAY, why="limps")
    told = one(Animal.objects.get(pk=animal.pk))
    assert told.clock.ends_on == (CAME + 21 * DAY).date()
    assert told.is_among_others


def test_who_shared_a_pen_with_it_since_is_watched_until_that_one_is_clear(
    lead: Person, pen: Pen
) -> None:
    bay = a_pen("sick_bay", name="Sick bay", room="Sick room")
    saffron = comes(lead, bay, "Saffron", days_ago=300)
    damson = comes(lead, pen, "Damson")
    assert quarantine_of(saffron, NOW) is None
    move(lead, damson, bay, NOW - 2 * DAY, why="limps")
    move(lead, damson, pen, NOW - DAY, why="well again")
    told = one(saffron)
    assert told.via == damson
    assert told.clock.began.why is Restart.MET
    assert told.clock.ends_on == (NOW - 2 * DAY + 21 * DAY).date()
    end_quarantine(lead, damson, NOW, missing=["time"], why="the vet says so")
    assert quarantine_of(saffron, NOW + DAY) is None


def test_nobody_ends_before_the_one_whose_pen_or_air_it_shares(lead: Person, pen: Pen) -> None:
    calm = comes(lead, pen, "Calm")
    comes(lead, pen, "Stray", source="not_known")
    far = comes(lead, a_pen("quarantine", name="Hut 1", room="Hut"), "Far")
    told = one(calm)
    assert told.clock.ends_on == (CAME + 35 * DAY).date()
    assert told.clock.held is not None
    assert told.clock.held.other == "Stray"
    assert "with Stray" in next(need.what for need in told.clock.needs if need.code == "time")
    assert one(far).clock.ends_on == (CAME + 21 * DAY).date()


def test_a_meeting_with_one_that_was_not_cleared_counts_from_its_end(
    lead: Person, pen: Pen
) -> None:
    animal = comes(lead, pen)
    other = comes(lead, a_pen("quarantine", name="Q2", room="Hut"), "Other", days_ago=8)
    move(lead, other, pen, NOW - 5 * DAY, why="room")
    move(lead, other, a_pen("quarantine", name="Q3", room="Barn"), NOW - 2 * DAY, why="room")
    assert one(animal).clock.began.on == (NOW - 2 * DAY).date()


def test_one_that_was_ended_and_still_stands_there_has_a_clock_again_with_the_next_newcomer(
    lead: Person, pen: Pen
) -> None:
    animal = comes(lead, pen, days_ago=21)
    end_quarantine(lead, animal, NOW - 3 * DAY, missing=["time"], why="the vet says so")
    assert quarantine_of(animal, NOW) is None
    fresh = comes(lead, pen, "Fresh", days_ago=1, source="many")
    told = one(animal)
    assert told.via == fresh
    assert told.clock.ends_on == one(fresh).clock.ends_on
