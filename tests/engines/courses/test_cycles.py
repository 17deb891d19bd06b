"""Repeats timed against a parasite's cycle: what lets eggs through, what ends too soon."""

from datetime import UTC, time, timedelta
from typing import Any

import pytest

from cavyround.engines.courses import CycleCheck, cycle_checks, cycle_checks_as_given
from cavyround.engines.courses.cycles import Doubt
from cavyround.facts.schedules import UNTIL_VET_SAYS, Ending, Rest, Schedule, days, hours
from cavyround.knowledge.book import Knowledge
from tests.engines.courses.made import (
    FIRST,
    a_course,
    at,
    every,
    every_hours,
    given,
    standing,
)

THROUGH, TOO_SOON = Doubt.LETS_EGGS_THROUGH, Doubt.ENDS_TOO_SOON


def check(book: Knowledge, schedule: Schedule, infection: str, **said: Any) -> CycleCheck:
    [found] = cycle_checks(a_course(schedule, against=(infection,), **said), book=book)
    return found


def doubts(found: CycleCheck) -> list[tuple[Doubt, bool]]:
    return [(one.doubt, one.surely) for one in found.warnings]


@pytest.mark.parametrize(
    ("schedule", "infection", "expected"),
    [
        # mange mite, 10 to 14 days from egg to egg
        (every(10, 4), "trixacarus", []),
        (every(11, 4), "trixacarus", [(THROUGH, False)]),
        (every(14, 4), "trixacarus", [(THROUGH, False)]),
        (every(15, 4), "trixacarus", [(THROUGH, True)]),
        (every(10, 1), "trixacarus", [(TOO_SOON, True)]),
        # ends on day 10 or 14, the cycle takes 10 to 14 (its eggs, from memory, 3 to 5)
        (every(10, 2), "trixacarus", [(TOO_SOON, False)]),
        (every(7, 3), "trixacarus", [(TOO_SOON, False)]),
        (every(5, 4), "trixacarus", []),
        # slender louse: eggs hatch for 3 to 14 days, it lays again after 14 to 35
        (every(10, 3), "gliricola", []),
        (every(14, 3), "gliricola", []),
        (every(10, 2), "gliricola", [(TOO_SOON, False)]),
        (every(3, 2), "gliricola", [(TOO_SOON, True)]),
        (every(15, 3), "gliricola", [(THROUGH, False)]),
        (every(36, 3), "gliricola", [(THROUGH, True)]),
        # the oval louse's own numbers were not found: those of the slender one count
        (every(10, 2), "gyropus", [(TOO_SOON, False)]),
        # fur mite: up to 35 days, its shortest cycle is not known
        (every(21, 2), "chirodiscoides", [(TOO_SOON, False)]),
        (every(21, 3), "chirodiscoides", []),
        (every(36, 3), "chirodiscoides", [(THROUGH, True)]),
    ],
)
def test_the_timing_is_compared_with_the_cycle(
    book: Knowledge, schedule: Schedule, infection: str, expected: list[tuple[Doubt, bool]]
) -> None:
    assert doubts(check(book, schedule, infection)) == expected


def test_a_cycle_nobody_found_is_said_and_not_guessed(book: Knowledge) -> None:
    found = check(book, every(10), "demodex")
    assert doubts(found) == [(Doubt.CYCLE_NOT_KNOWN, False)]
    assert found.cycles is None


def test_a_medicine_that_kills_eggs_needs_no_such_timing(book: Knowledge) -> None:
    assert doubts(check(book, every(30, 1), "trixacarus", kills_eggs=True)) == []


def test_a_medicine_that_goes_on_working_bridges_the_gap(book: Knowledge) -> None:
    monthly = every(28, 2)
    assert doubts(check(book, monthly, "trixacarus")) == [(THROUGH, True)]
    assert doubts(check(book, monthly, "trixacarus", lasts=days(21))) == []
    alone = check(book, every(28, 1), "trixacarus", lasts=hours(24 * 3))
    assert doubts(alone) == [(TOO_SOON, True)]


def test_eggs_that_do_not_stay_on_the_animal_raise_no_such_doubt(book: Knowledge) -> None:
    found = check(book, every(1, 5), "eimeria")
    assert doubts(found) == []
    assert "Clear droppings every day" in found.around


def test_an_infection_that_is_no_parasite_has_no_cycle(book: Knowledge) -> None:
    assert cycle_checks(a_course(every(1), against=("ringworm", "unheard_of")), book=book) == ()


def test_a_course_the_vet_ends_says_how_many_doses_outlast_the_eggs(book: Knowledge) -> None:
    found = check(book, every(10, ends=UNTIL_VET_SAYS), "gliricola")
    assert doubts(found) == []
    assert found.span_days is None
    # eggs hatch for up to 14 days: doses on day 0, 10 and 20
    assert found.least_doses == 3


@pytest.mark.parametrize(
    ("schedule", "span"),
    [
        (every(10, 4), 30),
        (every(1, 6, at=(time(8), time(20))), 2),
        (every(1, 6, rest=Rest(after_days=3, days=5)), 10),
        (every_hours(12, 6), 2),
        (every(10, ends=Ending(last_day=FIRST + timedelta(days=25))), 20),
        (every(1, 1, every=None), 0),
    ],
)
def test_the_span_is_counted_from_the_first_dose_to_the_last(
    book: Knowledge, schedule: Schedule, span: int
) -> None:
    assert check(book, schedule, "trixacarus").span_days == span


@pytest.mark.parametrize(
    ("given_on", "now", "expected"),
    [
        # as ordered: every ten days
        ((0, 10, 20, 30), 50, []),
        ((0, 10), 11, []),
        # the second is missed, the third lies twenty days after the first
        ((0,), 16, [(THROUGH, True)]),
        ((0, 20, 30), 50, [(THROUGH, True)]),
        # four days late
        ((0, 14), 15, [(THROUGH, False)]),
        # only the first two went in
        ((0, 10), 60, [(TOO_SOON, False)]),
        ((), 60, None),
    ],
)
def test_a_missed_or_late_dose_lets_eggs_through(
    book: Knowledge, given_on: tuple[int, ...], now: int, expected: list[Any] | None
) -> None:
    doses = given(*[at(day) for day in given_on])
    course = a_course(every(10, 4), doses, against=("trixacarus",))
    found = cycle_checks_as_given(standing(book, course, at(now)), zone=UTC, book=book)
    assert [doubts(one) for one in found] == ([] if expected is None else [expected])


def test_a_warning_gives_its_numbers_and_sources(book: Knowledge) -> None:
    [warning] = check(book, every(14, 4), "trixacarus").warnings
    assert "14 days without an effect" in warning.words
    assert "10 to 14 days" in warning.words
    assert warning.sources == ("CB-PRU", "VP-ECT")


def test_a_number_from_memory_is_shown_as_such(book: Knowledge) -> None:
    [warning] = check(book, every(7, 3), "trixacarus").warnings
    assert "From memory: eggs hatch within 3 to 5 days" in warning.words
