"""Due doses: windows, states, what the order says, and how many are left. Worked by hand."""

from datetime import datetime, time, timedelta
from typing import Any

import pytest

from cavyround.engines.courses import Act, State
from cavyround.engines.courses.judging import GIVEN_EARLY, GIVEN_TWICE, TOO_SOON
from cavyround.engines.courses.slots import GIVES, STATE_WORDS
from cavyround.facts.courses import Outcome
from cavyround.facts.deviations import WORDS_IF_LATE, WORDS_IF_MISSED, WORDS_IF_PARTLY
from cavyround.facts.schedules import (
    UNTIL_VET_SAYS,
    Ending,
    IfLate,
    IfMissed,
    IfPartly,
    Rest,
    Schedule,
    days,
    hours,
)
from cavyround.knowledge.book import Knowledge
from tests.engines.courses.made import (
    FIRST,
    a_course,
    a_dose,
    at,
    every,
    every_hours,
    given,
    standing,
    states,
)

MORNING_AND_EVENING = (time(8), time(20))


def twice_daily(doses: int | None = 6, **said: Any) -> Schedule:
    return every(1, doses, at=MORNING_AND_EVENING, **said)


@pytest.mark.parametrize(
    ("now", "state"),
    [
        (at(-1, 23, 59), State.TO_COME),
        (at(0, 0), State.DUE),
        (at(0, 23, 59), State.DUE),
        (at(1, 0), State.LATE),
        # half of the ten days is gone
        (at(4, 23, 59), State.LATE),
        (at(5, 0), State.MISSED),
    ],
)
def test_a_dose_for_any_time_of_day_is_due_that_day_then_late_then_missed(
    book: Knowledge, now: datetime, state: State
) -> None:
    assert standing(book, a_course(every(10)), now).slots[0].state is state


@pytest.mark.parametrize(
    ("now", "state"),
    [
        # twice a day: an hour off is on time, missed after half of twelve hours
        (at(0, 6, 59), State.TO_COME),
        (at(0, 7, 0), State.DUE),
        (at(0, 8, 59), State.DUE),
        (at(0, 9, 0), State.LATE),
        (at(0, 13, 59), State.LATE),
        (at(0, 14, 0), State.MISSED),
    ],
)
def test_a_dose_at_a_time_of_day_has_a_window_round_it(
    book: Knowledge, now: datetime, state: State
) -> None:
    assert standing(book, a_course(twice_daily()), now).slots[0].state is state


def test_once_a_day_the_window_is_two_hours_either_way(book: Knowledge) -> None:
    [slot] = standing(book, a_course(every(1, at=(time(8),))), at(0, 8)).slots
    assert (slot.opens_at, slot.late_at, slot.missed_at) == (at(0, 6), at(0, 10), at(0, 20))


def test_no_window_is_longer_than_a_quarter_of_the_time_between_doses(book: Knowledge) -> None:
    [slot] = standing(book, a_course(every_hours(2)), at(0, 8)).slots
    assert (slot.opens_at, slot.late_at) == (at(0, 7, 30), at(0, 8, 30))


def test_the_orders_own_window_comes_before_the_usual_one(book: Knowledge) -> None:
    schedule = every(10, early=days(1), late=days(2), missed_after=days(4))
    [slot] = standing(book, a_course(schedule), at(0)).slots
    assert (slot.opens_at, slot.late_at, slot.missed_at) == (at(-1, 0), at(3, 0), at(5, 0))


def test_windows_never_overlap_whatever_the_order_says_of_late(book: Knowledge) -> None:
    schedule = every(1, at=(time(8),), late=hours(23))
    found = standing(book, a_course(schedule, given(at(0, 9))), at(0, 10))
    first, second = found.slots
    assert first.late_at == second.opens_at == at(1, 7)


def test_a_single_dose_stays_late_until_it_is_given(book: Knowledge) -> None:
    once = every(1, 1, every=None)
    assert states(standing(book, a_course(once), at(200))) == [State.LATE]
    assert states(standing(book, a_course(once, given(at(200))), at(201))) == [State.GIVEN]


def test_a_dose_given_is_not_due_again_and_the_next_is_to_come(book: Knowledge) -> None:
    found = standing(book, a_course(every(10), given(at(0))), at(0, 10))
    assert states(found) == [State.GIVEN, State.TO_COME]
    assert found.next is found.slots[1]
    assert found.next.day == FIRST + timedelta(days=10)
    assert (found.given, found.left) == (1, 3)


def test_at_most_one_dose_is_waiting_after_a_long_silence(book: Knowledge) -> None:
    found = standing(book, a_course(twice_daily(100)), at(10, 8))
    assert states(found) == [State.MISSED] * 20 + [State.DUE]
    assert (found.missed, found.left) == (20, 80)


def test_a_refused_dose_stays_due_and_what_was_tried_is_kept(book: Knowledge) -> None:
    tried = a_dose(at(0, 8), Outcome.REFUSED)
    [slot] = standing(book, a_course(twice_daily(), [tried]), at(0, 8, 30)).slots
    assert (slot.state, slot.act) == (State.DUE, Act.GIVE)
    assert slot.tries == (tried,)


def test_a_dose_not_given_stays_due_until_it_is_missed(book: Knowledge) -> None:
    course = a_course(twice_daily(), [a_dose(at(0, 8), Outcome.NOT_GIVEN)])
    assert states(standing(book, course, at(0, 8, 30))) == [State.DUE]
    assert states(standing(book, course, at(0, 15))) == [State.MISSED, State.TO_COME]


@pytest.mark.parametrize(
    ("says", "act", "next_day"),
    [
        (IfLate.GIVE_KEEP_PLAN, Act.GIVE, 10),
        (IfLate.GIVE_MOVE_PLAN, Act.GIVE, 13),
        (IfLate.ASK_VET, Act.ASK_VET, 10),
    ],
)
def test_a_late_dose_is_dealt_with_as_the_order_says(
    book: Knowledge, says: IfLate, act: Act, next_day: int
) -> None:
    schedule = every(10, if_late=says)
    [late] = standing(book, a_course(schedule), at(3)).slots
    assert (late.state, late.act, late.says) == (State.LATE, act, WORDS_IF_LATE[says])
    after = standing(book, a_course(schedule, given(at(3))), at(4))
    assert after.slots[0].state is State.GIVEN
    assert after.next is not None
    assert after.next.day == FIRST + timedelta(days=next_day)


def test_a_late_dose_the_order_leaves_out_is_missed_at_once(book: Knowledge) -> None:
    found = standing(book, a_course(every(10, if_late=IfLate.LEAVE_OUT)), at(1))
    assert states(found) == [State.MISSED, State.TO_COME]
    assert found.slots[0].act is Act.NOTHING
    assert found.slots[0].says == WORDS_IF_LATE[IfLate.LEAVE_OUT]


@pytest.mark.parametrize(
    ("says", "act", "left"),
    [
        (IfMissed.LEAVE_OUT, Act.NOTHING, 2),
        (IfMissed.ASK_VET, Act.ASK_VET, 2),
        (IfMissed.ADD_AT_END, Act.NOTHING, 3),
        (IfMissed.BEGIN_AGAIN, Act.NOTHING, 4),
    ],
)
def test_a_missed_dose_is_dealt_with_as_the_order_says(
    book: Knowledge, says: IfMissed, act: Act, left: int
) -> None:
    """Four doses: the first given, the second missed, two planned still to come."""
    schedule = every(10, if_missed=says)
    found = standing(book, a_course(schedule, given(at(0))), at(16))
    missed = found.slots[1]
    assert states(found) == [State.GIVEN, State.MISSED, State.TO_COME]
    assert (missed.act, missed.says) == (act, WORDS_IF_MISSED[says])
    assert found.left == left


def test_a_missed_dose_to_be_given_all_the_same_waits_and_holds_the_next(book: Knowledge) -> None:
    schedule = every(10, if_missed=IfMissed.GIVE_MOVE_PLAN)
    waiting = standing(book, a_course(schedule, given(at(0))), at(40))
    assert states(waiting) == [State.GIVEN, State.MISSED]
    assert waiting.next is waiting.slots[1]
    assert (waiting.slots[1].act, waiting.left) == (Act.GIVE, 3)
    after = standing(book, a_course(schedule, given(at(0), at(40))), at(41))
    assert states(after) == [State.GIVEN, State.GIVEN, State.TO_COME]
    assert after.next is not None
    assert after.next.day == FIRST + timedelta(days=50)


def test_doses_added_at_the_end_are_given_on_the_same_interval(book: Knowledge) -> None:
    schedule = every(10, 2, if_missed=IfMissed.ADD_AT_END)
    found = standing(book, a_course(schedule, given(at(0))), at(20))
    assert [slot.day for slot in found.slots] == [
        FIRST + timedelta(days=day) for day in (0, 10, 20)
    ]
    assert found.slots[-1].state is State.DUE


def test_a_dose_may_be_added_after_the_last_day(book: Knowledge) -> None:
    last = Ending(last_day=FIRST + timedelta(days=10))
    schedule = every(10, ends=last, if_missed=IfMissed.ADD_AT_END)
    found = standing(book, a_course(schedule, given(at(0))), at(20))
    assert states(found) == [State.GIVEN, State.MISSED, State.DUE]
    done = standing(book, a_course(schedule, given(at(0), at(20))), at(21))
    assert (done.next, done.left) == (None, 0)


def test_the_vet_is_asked_about_a_missed_dose_until_a_later_one_was_given(book: Knowledge) -> None:
    schedule = every(10)
    before = standing(book, a_course(schedule, given(at(0))), at(20))
    after = standing(book, a_course(schedule, given(at(0), at(20))), at(21))
    assert before.slots[1].act is Act.ASK_VET
    assert after.slots[1].act is Act.NOTHING
    assert after.slots[1].state is State.MISSED


@pytest.mark.parametrize("outcome", [Outcome.PARTLY, Outcome.SPAT_OUT])
@pytest.mark.parametrize(
    ("says", "act"),
    [
        (IfPartly.COUNTS, Act.NOTHING),
        (IfPartly.GIVE_REST, Act.GIVE_REST),
        (IfPartly.GIVE_AGAIN, Act.GIVE_AGAIN),
        (IfPartly.ASK_VET, Act.ASK_VET),
    ],
)
def test_a_dose_partly_taken_is_dealt_with_as_the_order_says(
    book: Knowledge, outcome: Outcome, says: IfPartly, act: Act
) -> None:
    course = a_course(twice_daily(if_partly=says), [a_dose(at(0, 8), outcome)])
    slot = standing(book, course, at(0, 9)).slots[0]
    assert (slot.state, slot.act, slot.says) == (State.PARTLY, act, WORDS_IF_PARTLY[says])
    later = standing(book, course, at(0, 15)).slots[0]
    assert later.state is State.PARTLY
    assert later.act not in GIVES


def test_the_rest_of_a_dose_makes_it_a_whole_one(book: Knowledge) -> None:
    doses = [a_dose(at(0, 8), Outcome.PARTLY), a_dose(at(0, 8, 20))]
    found = standing(book, a_course(twice_daily(), doses), at(0, 9))
    assert states(found) == [State.GIVEN, State.TO_COME]
    assert found.slots[0].doubts == ()


def test_a_dose_given_too_early_answers_the_one_to_come_and_is_for_the_vet(
    book: Knowledge,
) -> None:
    found = standing(book, a_course(every(10), given(at(0), at(6))), at(10))
    assert states(found) == [State.GIVEN, State.GIVEN, State.TO_COME]
    assert found.slots[1].doubts == (GIVEN_EARLY,)


def test_a_dose_given_twice_is_said_and_the_next_keeps_its_distance(book: Knowledge) -> None:
    doses = given(at(0, 8), at(0, 13))
    found = standing(book, a_course(twice_daily(), doses), at(0, 18, 59))
    assert found.slots[0].doubts == (GIVEN_TWICE,)
    assert states(found) == [State.GIVEN, State.TO_COME]
    assert found.slots[1].opens_at == at(0, 19)


def test_a_late_dose_pushes_the_next_so_far_that_they_are_never_too_near(book: Knowledge) -> None:
    schedule = twice_daily(missed_after=hours(10), if_late=IfLate.GIVE_KEEP_PLAN)
    found = standing(book, a_course(schedule, given(at(0, 17))), at(0, 21))
    assert states(found) == [State.GIVEN, State.TO_COME]
    # six hours, half of twelve, lie between
    assert found.slots[1].opens_at == at(0, 23)


def test_a_dose_that_could_only_come_too_soon_is_left_out_and_said(book: Knowledge) -> None:
    """The first was given after all on day 14; five days later the second is long missed."""
    first = a_dose(at(14), number=1)
    found = standing(book, a_course(every(10), [first]), at(14, 10))
    assert states(found) == [State.GIVEN, State.MISSED, State.TO_COME]
    assert found.slots[1].says == TOO_SOON
    assert found.slots[1].act is Act.ASK_VET


def test_days_apart_are_civil_days(book: Knowledge) -> None:
    schedule = every(10, least_apart=days(7), missed_after=days(8))
    found = standing(book, a_course(schedule, given(at(5, 18))), at(10))
    assert found.slots[1].opens_at == at(12, 0)


def test_an_entry_that_names_its_dose_answers_that_one(book: Knowledge) -> None:
    named = a_dose(at(7), number=1)
    found = standing(book, a_course(every(10), [named]), at(8))
    assert found.slots[0].tries == (named,)
    assert states(found)[0] is State.GIVEN


def test_a_dose_after_the_end_belongs_to_none_and_is_for_the_vet(book: Knowledge) -> None:
    found = standing(book, a_course(every(10, 2), given(at(0), at(10), at(20))), at(21))
    [extra] = found.outside
    assert extra.at == at(20)
    assert found.doubts


def test_a_stopped_course_asks_for_nothing_more_and_keeps_what_was(book: Knowledge) -> None:
    course = a_course(
        every(10), given(at(0)), stopped_at=at(12), stopped_why="loose droppings: the vet said stop"
    )
    before = standing(book, course, at(11))
    assert states(before) == [State.GIVEN, State.LATE]
    after = standing(book, course, at(12))
    assert states(after) == [State.GIVEN, State.STOPPED]
    assert (after.left, after.next) == (0, None)


def test_a_course_until_the_vet_says_has_no_number_left(book: Knowledge) -> None:
    found = standing(book, a_course(every(1, ends=UNTIL_VET_SAYS)), at(0))
    assert found.left is None
    assert found.next is not None


def test_a_course_to_a_last_day_counts_to_it(book: Knowledge) -> None:
    week = Ending(last_day=FIRST + timedelta(days=6))
    assert standing(book, a_course(twice_daily(ends=week)), at(0, 8)).left == 14
    evening = twice_daily(ends=week, first_time=time(20))
    assert standing(book, a_course(evening), at(0, 20)).left == 13


def test_days_of_pause_lie_between_blocks(book: Knowledge) -> None:
    schedule = every(1, 6, rest=Rest(after_days=3, days=5))
    doses = given(*[at(day) for day in (0, 1, 2, 8, 9, 10)])
    found = standing(book, a_course(schedule, doses), at(11))
    assert [(slot.day - FIRST).days for slot in found.slots] == [0, 1, 2, 8, 9, 10]
    assert states(found) == [State.GIVEN] * 6


def test_every_state_has_words() -> None:
    assert set(STATE_WORDS) == set(State)
