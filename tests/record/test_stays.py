"""Stays read from the record: moves, arrivals, departures, what was mended, whose hands."""

from datetime import timedelta

import pytest

from cavyround.facts.stays import StayFaultCode, UseKind, faults_of
from cavyround.record.animals import (
    Coming,
    ImpossibleError,
    Leaving,
    add_animal,
    arrive,
    depart,
    move,
)
from cavyround.record.contagion import share
from cavyround.record.models import Animal, Move, Pen, Person
from cavyround.record.places import keep_pen, keep_room
from cavyround.record.stays import correct_move, stays_of, uses_of
from tests.builders import NOW, TODAY, a_check, weighed

HOUR = timedelta(hours=1)


@pytest.fixture
def pens(db: None) -> tuple[Pen, Pen]:
    room = keep_room("Long Room")
    return keep_pen(room, "Clover", "residents"), keep_pen(room, "Yarrow", "residents")


@pytest.fixture
def animal(lead: Person, pens: tuple[Pen, Pen]) -> Animal:
    coming = Coming(on=TODAY, how="found")
    return add_animal(lead, {"name": "Teasel"}, coming, NOW, pen=pens[0])


def test_a_move_ends_one_stay_and_begins_the_next(
    lead: Person, animal: Animal, pens: tuple[Pen, Pen]
) -> None:
    move(lead, animal, pens[1], NOW + HOUR, why="sneezes")
    first, second = stays_of([animal.pk])
    assert (first.pen, first.ended_at) == (str(pens[0].pk), NOW + HOUR)
    assert (second.pen, second.ended_at) == (str(pens[1].pk), None)
    assert (second.by, second.why) == ("Marjorie Oakes", "sneezes")
    assert first.room == second.room == str(pens[0].room_id)


def test_leaving_ends_the_last_stay_and_is_no_stay_in_no_pen(lead: Person, animal: Animal) -> None:
    depart(lead, animal, Leaving(on=TODAY, how="adopted", went_to="the Pells"), NOW + HOUR)
    (only,) = stays_of([animal.pk])
    assert only.ended_at == NOW + HOUR
    assert faults_of([only]) == ()


def test_one_that_came_back_is_not_thought_to_have_been_here_between(
    lead: Person, animal: Animal, pens: tuple[Pen, Pen]
) -> None:
    depart(lead, animal, Leaving(on=TODAY, how="adopted"), NOW + HOUR)
    arrive(lead, animal, Coming(on=TODAY, how="returned"), NOW + 5 * HOUR)
    move(lead, animal, pens[1], NOW + 5 * HOUR)
    first, second = stays_of([animal.pk])
    assert (first.ended_at, second.began_at) == (NOW + HOUR, NOW + 5 * HOUR)


def test_out_of_all_pens_while_it_is_here_is_not_known_where(lead: Person, animal: Animal) -> None:
    move(lead, animal, None, NOW + HOUR)
    assert [fault.code for fault in faults_of(stays_of([animal.pk]))] == [StayFaultCode.NO_PEN]


def test_arrived_without_a_pen_is_not_known_where_until_it_is_put_into_one(
    lead: Person, pens: tuple[Pen, Pen]
) -> None:
    animal = add_animal(lead, {"name": "Wisp"}, Coming(on=TODAY, how="found"), NOW)
    (lost,) = stays_of([animal.pk])
    assert (lost.pen, lost.ended_at) == ("", None)
    move(lead, animal, pens[0], NOW + 24 * HOUR)
    lost, found = stays_of([animal.pk])
    assert (lost.pen, lost.ended_at, found.began_at) == ("", NOW + 24 * HOUR, NOW + 24 * HOUR)


def test_put_into_a_pen_on_the_day_it_came_it_was_never_lost(
    lead: Person, pens: tuple[Pen, Pen]
) -> None:
    animal = add_animal(lead, {"name": "Wisp"}, Coming(on=TODAY, how="found"), NOW)
    move(lead, animal, pens[0], NOW + HOUR)
    assert [stay.pen for stay in stays_of([animal.pk])] == [str(pens[0].pk)]


def test_a_pen_told_with_an_arrival_entered_later_holds_from_the_day_it_came(
    lead: Person, pens: tuple[Pen, Pen]
) -> None:
    came = TODAY - timedelta(days=3)
    animal = add_animal(lead, {"name": "Wisp"}, Coming(on=came, how="found"), NOW, pen=pens[0])
    (stay,) = stays_of([animal.pk])
    assert stay.began_at.date() == came


def test_a_move_at_another_moment_is_mended_and_the_old_word_stays(
    lead: Person, animal: Animal, pens: tuple[Pen, Pen]
) -> None:
    moved = move(lead, animal, pens[1], NOW + 5 * HOUR)
    correct_move(
        lead, moved, NOW + 6 * HOUR, at=NOW + 2 * HOUR, withdrawn=False, why="forgot to enter it"
    )
    assert [stay.began_at for stay in stays_of([animal.pk])] == [NOW, NOW + 2 * HOUR]
    assert Move.objects.get(pk=moved.pk).at == NOW + 5 * HOUR
    assert [stay.began_at for stay in stays_of([animal.pk], known_at=NOW + 5 * HOUR)][-1] == (
        NOW + 5 * HOUR
    ), "what was known then stays readable"


def test_a_move_that_never_was_is_withdrawn_and_the_animal_stands_where_it_stood(
    lead: Person, animal: Animal, pens: tuple[Pen, Pen]
) -> None:
    moved = move(lead, animal, pens[1], NOW + HOUR)
    correct_move(lead, moved, NOW + 2 * HOUR, at=None, withdrawn=True, why="the wrong animal")
    animal.refresh_from_db()
    assert animal.pen == pens[0]
    assert len(stays_of([animal.pk])) == 1


def test_a_move_entered_later_for_an_earlier_moment_does_not_move_it_now(
    lead: Person, animal: Animal, pens: tuple[Pen, Pen]
) -> None:
    move(lead, animal, pens[1], NOW + 5 * HOUR)
    move(lead, animal, pens[0], NOW + 6 * HOUR, at=NOW + HOUR)
    animal.refresh_from_db()
    assert animal.pen == pens[1]


def test_a_correction_needs_a_reason_and_says_something(
    lead: Person, animal: Animal, pens: tuple[Pen, Pen]
) -> None:
    moved = Move.objects.get(animal=animal)
    for why, at, withdrawn in (("", None, True), ("x", None, False), ("x", NOW + 9 * HOUR, False)):
        with pytest.raises(ImpossibleError):
            correct_move(lead, moved, NOW + HOUR, at=at, withdrawn=withdrawn, why=why)


def test_whose_hands_held_which_animal_is_read_from_the_checks(
    carer: Person, animal: Animal
) -> None:
    check = a_check(carer, animal, weighed(912))
    (use,) = uses_of()
    assert (use.kind, use.animal, use.began_at) == (
        UseKind.HANDS,
        str(animal.pk),
        check.started_at,
    )


def test_a_shared_brush_is_used_at_a_moment_and_a_run_until_its_end(
    carer: Person, animal: Animal
) -> None:
    share(carer, animal, "things", "brush 2", NOW, began_at=NOW)
    share(carer, animal, "run", "lawn", NOW, began_at=NOW)
    brush, lawn = sorted(uses_of(), key=lambda one: one.name)
    assert (brush.ended_at, lawn.ended_at) == (NOW, None)


def test_a_use_that_ends_before_it_begins_is_refused_beside_its_field(
    carer: Person, animal: Animal
) -> None:
    with pytest.raises(ImpossibleError) as refused:
        share(carer, animal, "run", "lawn", NOW, began_at=NOW, ended_at=NOW - HOUR)
    assert refused.value.field == "ended_at"
