"""A course is finished only when it was looked at again and was clear."""

from datetime import timedelta
from typing import Any

import pytest

from cavyround.engines.courses import CourseDue, Phase
from cavyround.engines.courses.ending import NOTHING_WENT_IN
from cavyround.engines.courses.slots import PHASE_WORDS
from cavyround.facts.courses import LookedAgain
from cavyround.facts.schedules import days, hours
from cavyround.knowledge.book import Knowledge
from tests.engines.courses.made import FIRST, HAVANA, a_course, at, every, given, standing

FOUR = given(at(0), at(10), at(20), at(30))


def clear(*when: int) -> tuple[LookedAgain, ...]:
    return tuple(LookedAgain(at=at(day), clear=True) for day in when)


def after(book: Knowledge, *looks: LookedAgain, now: int = 90, **said: Any) -> CourseDue:
    """Four doses against burrowing mites, the last on day 30, and the looks made since."""
    known = {"against": ("trixacarus",), **said}
    return standing(book, a_course(every(10), FOUR, looked_again=looks, **known), at(now))


def due_on(found: CourseDue) -> int | None:
    return (found.look_again.on - FIRST).days if found.look_again else None


def test_a_course_runs_while_a_dose_is_waiting(book: Knowledge) -> None:
    assert standing(book, a_course(every(10), FOUR[:3]), at(22)).phase is Phase.RUNNING


def test_after_the_last_dose_it_is_to_be_looked_at_again(book: Knowledge) -> None:
    found = after(book)
    assert found.phase is Phase.TO_LOOK_AGAIN
    assert found.look_again is not None
    # seven days after the last dose, and again a cycle of fourteen after it
    assert (due_on(found), found.look_again.which, found.look_again.of) == (37, 1, 2)
    assert "no live mite" in found.look_again.words
    assert found.look_again.sources


@pytest.mark.parametrize(
    ("looks", "phase", "next_on"),
    [
        ((37,), Phase.TO_LOOK_AGAIN, 44),
        ((37, 44), Phase.FINISHED, None),
        # too early does not count
        ((33,), Phase.TO_LOOK_AGAIN, 37),
        # a late first look: the second comes a week after it
        ((50,), Phase.TO_LOOK_AGAIN, 57),
        ((50, 51), Phase.TO_LOOK_AGAIN, 57),
        ((50, 57), Phase.FINISHED, None),
    ],
)
def test_both_looks_are_needed_each_in_its_time(
    book: Knowledge, looks: tuple[int, ...], phase: Phase, next_on: int | None
) -> None:
    found = after(book, *clear(*looks))
    assert (found.phase, due_on(found)) == (phase, next_on)


def test_a_look_that_is_not_clear_is_for_the_vet(book: Knowledge) -> None:
    found = after(book, *clear(37), LookedAgain(at=at(44), clear=False))
    assert found.phase is Phase.NOT_CLEAR


def test_after_a_look_that_was_not_clear_all_are_needed_anew(book: Knowledge) -> None:
    bad = LookedAgain(at=at(37), clear=False)
    assert after(book, bad, *clear(44)).phase is Phase.TO_LOOK_AGAIN
    assert after(book, bad, *clear(44, 51)).phase is Phase.FINISHED


def test_not_sure_is_not_clear(book: Knowledge) -> None:
    unsure = LookedAgain(at=at(44), clear=None)
    assert after(book, *clear(37), unsure).phase is Phase.TO_LOOK_AGAIN


def test_a_look_before_the_last_dose_counts_for_nothing(book: Knowledge) -> None:
    assert due_on(after(book, *clear(25, 29))) == 37


@pytest.mark.parametrize(
    ("against", "said", "first_look"),
    [
        # lice: their cycle takes up to five weeks
        (("gliricola",), {}, 51),
        (("gyropus",), {}, 51),
        # of several the longest counts
        (("trixacarus", "gliricola"), {}, 51),
        # something catching of which no time is known
        (("paraspidodera",), {}, 44),
        (("nobody_knows",), {}, 44),
        # any other medicine
        ((), {}, 37),
        # the order's own time
        ((), {"recheck": days(3)}, 33),
        ((), {"recheck": hours(36)}, 32),
    ],
)
def test_when_it_is_looked_at_again(
    book: Knowledge, against: tuple[str, ...], said: dict[str, Any], first_look: int
) -> None:
    assert due_on(after(book, against=against, **said)) == first_look


def test_the_order_can_put_the_last_look_off_but_never_bring_it_forward(book: Knowledge) -> None:
    sooner = after(book, *clear(37), recheck=days(2))
    put_off = after(book, *clear(37), recheck=days(40))
    assert (due_on(sooner), due_on(put_off)) == (44, 70)


def test_several_infections_are_looked_for_together(book: Knowledge) -> None:
    look = after(book, against=("trixacarus", "gliricola")).look_again
    assert look is not None
    assert "mite" in look.words
    assert "louse" in look.words


def test_care_is_finished_with_its_last_time(book: Knowledge) -> None:
    course = a_course(every(10), FOUR, care="foot_bath")
    assert standing(book, course, at(31)).phase is Phase.FINISHED


def test_a_course_of_which_nothing_went_in_is_never_finished(book: Knowledge) -> None:
    found = standing(book, a_course(every(10), against=("trixacarus",)), at(90))
    assert found.phase is Phase.NOT_CLEAR
    assert found.doubts == (NOTHING_WENT_IN,)


def test_a_stopped_course_is_not_a_finished_one(book: Knowledge) -> None:
    course = a_course(every(10), FOUR[:2], stopped_at=at(12), stopped_why="the vet said stop")
    assert standing(book, course, at(90)).phase is Phase.STOPPED


def test_the_day_of_the_look_is_the_rescues_own_day(book: Knowledge) -> None:
    late = given(at(0, 4, 30))  # 23:30 of the day before in Havana
    schedule = every(10, 1, first_on=FIRST - timedelta(days=1))
    found = standing(book, a_course(schedule, late), at(20), HAVANA)
    assert due_on(found) == 6


def test_every_phase_has_words() -> None:
    assert set(PHASE_WORDS) == set(Phase)
