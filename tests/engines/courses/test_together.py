"""Contacts treated together: who is missing, who is out of step."""

from datetime import timedelta
from typing import Any

from cavyround.engines.courses import TreatedTogether, treated_together
from cavyround.facts.courses import Course
from cavyround.knowledge.book import Knowledge
from tests.engines.courses.made import FIRST, LONDON, a_course, at, every, given

PEN = ("ada", "bea", "cleo")
CONTACTS = {one: tuple(other for other in PEN if other != one) for one in PEN}


def treated(animal: str, *doses: int, first: int = 0, **said: Any) -> Course:
    schedule = every(10, first_on=FIRST + timedelta(days=first))
    entries = given(*[at(day) for day in doses])
    known = {"id": f"{animal}'s", "animal": animal, "against": ("trixacarus",), **said}
    return a_course(schedule, entries, **known)


def groups(book: Knowledge, *courses: Course, now: int = 1) -> tuple[TreatedTogether, ...]:
    return treated_together(courses, CONTACTS, now=at(now), zone=LONDON, book=book)


def test_a_pen_mate_without_a_course_is_missing(book: Knowledge) -> None:
    [group] = groups(book, treated("ada", 0), treated("bea", 0))
    assert group.missing == ("cleo",)
    assert group.must
    assert [one.animal for one in group.members] == ["ada", "bea"]
    assert "1 animal is of the group not treated" in group.words[0]
    assert any("bedding" in line for line in group.around)


def test_a_whole_pen_treated_on_one_day_is_as_it_should_be(book: Knowledge) -> None:
    [group] = groups(book, *[treated(one, 0) for one in PEN])
    assert (group.missing, group.out_of_step, group.words) == ((), (), ())


def test_one_treated_by_another_order_against_the_same_is_not_missing(book: Knowledge) -> None:
    found = groups(book, treated("ada", 0), treated("bea", 0), treated("cleo", 0, order="other"))
    assert [group.missing for group in found] == [(), ()]


def test_a_course_against_something_else_does_not_count(book: Knowledge) -> None:
    other = treated("cleo", 0, order="other", against=("ringworm",))
    found = {group.order: group for group in groups(book, treated("ada"), treated("bea"), other)}
    assert found["order"].missing == ("cleo",)


def test_a_course_stopped_or_finished_treats_nobody(book: Knowledge) -> None:
    stopped = treated("cleo", 0, stopped_at=at(0, 12), stopped_why="it was ill")
    [group] = groups(book, treated("ada", 0), treated("bea", 0), stopped)
    assert group.missing == ("cleo",)


def test_who_is_treated_on_another_day_is_out_of_step(book: Knowledge) -> None:
    [group] = groups(book, treated("ada", 0), treated("bea", 0), treated("cleo", first=3))
    assert group.out_of_step == ("cleo",)
    assert "treated on another day" in group.words[0]


def test_what_does_not_pass_on_needs_no_group(book: Knowledge) -> None:
    [group] = groups(book, treated("ada", 0, against=()))
    assert group.missing == ("bea", "cleo")
    assert not group.must
    assert group.words == ()


def test_an_infection_the_knowledge_does_not_name_may_pass_on(book: Knowledge) -> None:
    [group] = groups(book, treated("ada", 0, against=("unheard_of",)))
    assert group.must


def test_what_is_done_around_is_that_of_the_louse_whose_numbers_are_used(book: Knowledge) -> None:
    [group] = groups(book, treated("ada", 0, against=("gyropus",)))
    assert any("brushes" in line for line in group.around)


def test_the_last_and_next_days_are_told_of_each(book: Knowledge) -> None:
    [group] = groups(book, treated("ada", 0))
    [ada] = group.members
    assert ada.last_given_on == FIRST
    assert ada.next_on is not None
    assert (ada.next_on - FIRST).days == 10
