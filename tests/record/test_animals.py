"""What is said of animals: what cannot be is refused beside its field; the rest is kept."""

from datetime import date, timedelta
from typing import Any

import pytest

from cavyround.record.animals import (
    Coming,
    ImpossibleError,
    Leaving,
    add_animal,
    arrive,
    depart,
    move,
    state,
)
from cavyround.record.models import Animal, AnimalStatement, Move, Person
from tests.builders import NOW, TODAY, a_pen, an_animal

DAY = timedelta(days=1)
COMING = Coming(on=TODAY, how="found", came_from="a park", told="alone")
IMPOSSIBLE = [
    ({"born_earliest": TODAY + DAY}, "born_earliest", "future"),
    ({"born_latest": TODAY + DAY}, "born_latest", "future"),
    ({"born_earliest": date.min}, "born_earliest", "0001-01-01 is more than 20 years ago"),
    ({"born_latest": date(1500, 1, 1)}, "born_latest", "more than 20 years ago"),
    ({"pregnant": "yes", "due_from": date(26, 3, 9)}, "due_from", "more than 20 years ago"),
    ({"pregnant": "yes", "due_from": date.max}, "due_from", "more than 2 years ahead"),
    (
        {"born_earliest": TODAY, "born_latest": TODAY - DAY},
        "born_latest",
        "must not come before the earliest",
    ),
    ({"sex": "boar", "pregnant": "yes"}, "pregnant", "A boar cannot be pregnant"),
    ({"sex": "boar", "pregnant": "possible"}, "pregnant", "A boar cannot be pregnant"),
]


@pytest.mark.parametrize(("details", "field", "words"), IMPOSSIBLE)
def test_an_animal_that_cannot_be_is_refused_beside_its_field(
    lead: Person, details: dict[str, Any], field: str, words: str
) -> None:
    with pytest.raises(ImpossibleError, match=words) as refused:
        add_animal(lead, {"name": "Bramble", **details}, COMING, NOW)
    assert refused.value.field == field
    assert Animal.objects.count() == 0


@pytest.mark.parametrize(("details", "field", "words"), IMPOSSIBLE)
def test_a_statement_that_cannot_be_is_refused_and_nothing_changes(
    lead: Person, sow: Animal, details: dict[str, Any], field: str, words: str
) -> None:
    with pytest.raises(ImpossibleError, match=words) as refused:
        state(lead, sow, details, "told so", NOW)
    assert refused.value.field == field
    sow.refresh_from_db()
    assert (sow.sex, sow.pregnant, sow.born_latest) == ("sow", "unknown", None)
    assert AnimalStatement.objects.filter(animal=sow).count() == 1


def test_a_statement_is_weighed_with_what_was_said_before(lead: Person) -> None:
    animal = an_animal(lead, pregnant="possible")
    with pytest.raises(ImpossibleError) as refused:
        state(lead, animal, {"sex": "boar"}, "looked again", NOW)
    assert refused.value.field == "pregnant"
    state(lead, animal, {"sex": "boar", "pregnant": "no"}, "looked again, two people", NOW)
    animal.refresh_from_db()
    assert animal.sex == "boar"


def test_born_today_is_possible(lead: Person) -> None:
    today = {"name": "Pup", "born_earliest": TODAY, "born_latest": TODAY}
    assert add_animal(lead, today, Coming(on=TODAY, how="born_here"), NOW).born_latest == TODAY


def test_a_day_begins_at_midnight_on_the_rescues_clock(lead: Person) -> None:
    summer_evening = NOW.replace(month=7, day=1, hour=23, minute=30)
    pup = {"name": "Pup", "born_latest": date(2026, 7, 2)}
    assert add_animal(lead, pup, COMING, summer_evening).born_latest == date(2026, 7, 2)


@pytest.mark.parametrize("field", ["wings", "pen", "left_on"])
def test_a_detail_an_animal_has_not_is_refused(lead: Person, sow: Animal, field: str) -> None:
    with pytest.raises(KeyError, match=field):
        add_animal(lead, {"name": "Sorrel", field: None}, COMING, NOW)
    with pytest.raises(KeyError, match=field):
        state(lead, sow, {field: None}, "told so", NOW)


def test_an_animal_comes_with_its_arrival_and_its_first_statement(lead: Person) -> None:
    pen = a_pen("quarantine")
    known = {"name": "Sorrel", "sex": "boar", "born_latest": date(2025, 1, 1)}
    animal = add_animal(lead, known, COMING, NOW, pen=pen)
    assert animal.is_here
    assert (animal.pen, animal.arrived_on) == (pen, TODAY)
    assert animal.arrivals.get().told == "alone"
    assert animal.statements.get().fields["born_latest"] == "2025-01-01"
    assert animal.moves.get().why == "arrival"


def test_only_what_changed_is_stated(lead: Person, sow: Animal) -> None:
    said = state(lead, sow, {"name": "Bramble", "colour": "cream and roan"}, "looked", NOW)
    assert said.fields == {"colour": "cream and roan"}


def test_a_fostered_animal_is_still_the_rescues_and_keeps_its_pen(lead: Person) -> None:
    animal = an_animal(lead, pen=a_pen("foster"))
    depart(lead, animal, Leaving(on=TODAY, how="fostered", went_to="a kind home"), NOW)
    assert animal.is_here
    assert animal.pen is not None


@pytest.mark.parametrize("how", ["adopted", "transferred_out", "died", "put_to_sleep", "other"])
def test_an_animal_that_left_is_in_no_pen_and_its_moves_stay(lead: Person, how: str) -> None:
    animal = an_animal(lead, pen=a_pen())
    depart(lead, animal, Leaving(on=TODAY, how=how), NOW)
    animal.refresh_from_db()
    assert not animal.is_here
    assert animal.pen is None
    assert Move.objects.filter(animal=animal).count() == 2


def test_one_that_comes_back_is_here_again(lead: Person, sow: Animal) -> None:
    depart(lead, sow, Leaving(on=TODAY - DAY, how="adopted"), NOW - DAY)
    arrive(lead, sow, Coming(on=TODAY, how="returned"), NOW)
    sow.refresh_from_db()
    assert sow.is_here
    assert sow.arrived_on == TODAY


def test_a_move_says_where_to_and_when(lead: Person, sow: Animal) -> None:
    pen = a_pen("sick_bay")
    moved = move(lead, sow, pen, NOW, "sneezing")
    assert (moved.pen, moved.at, moved.why) == (pen, NOW, "sneezing")
    assert sow.pen == pen
