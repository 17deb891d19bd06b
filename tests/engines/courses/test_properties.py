"""What holds for every course whatever was given when."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, time, timedelta
from typing import Any

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from cavyround.engines.courses import CourseDue, State, due_until
from cavyround.facts.courses import Course, GivenDose, Outcome
from cavyround.facts.schedules import (
    Ending,
    IfLate,
    IfMissed,
    IfPartly,
    Schedule,
    days,
    hours,
)
from cavyround.knowledge.book import Knowledge
from tests.engines.courses.made import FIRST, HAVANA, LONDON, a_course, at, standing

MINUTE = timedelta(minutes=1)
ENDS_IN_DAYS = st.one_of(
    st.integers(1, 8).map(lambda doses: Ending(doses=doses)),
    st.integers(0, 40).map(lambda day: Ending(last_day=FIRST + timedelta(days=day))),
    st.just(Ending()),
)
NOT_TOGETHER = (IfLate.LEAVE_OUT, IfMissed.GIVE_MOVE_PLAN)
RULES: st.SearchStrategy[dict[str, Any]] = st.fixed_dictionaries(
    {
        "if_late": st.sampled_from(IfLate),
        "if_missed": st.sampled_from(IfMissed),
        "if_partly": st.sampled_from(IfPartly),
    }
).filter(lambda rules: (rules["if_late"], rules["if_missed"]) != NOT_TOGETHER)
MOMENTS = st.integers(-24 * 60, 45 * 24 * 60).map(lambda minutes: at(0, 0) + minutes * MINUTE)
DAYS = settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)


@st.composite
def in_days(draw: Callable[..., Any]) -> Schedule:
    return Schedule(
        every=days(draw(st.sampled_from([1, 2, 3, 7, 10, 14]))),
        first_on=FIRST,
        at=draw(st.sampled_from([(), (time(8),), (time(8), time(20)), (time(0, 30), time(12))])),
        ends=draw(ENDS_IN_DAYS),
        **draw(RULES),
    )


@st.composite
def in_hours(draw: Callable[..., Any]) -> Schedule:
    return Schedule(
        every=hours(draw(st.sampled_from([6, 8, 12, 24, 72]))),
        first_at=at(0, 8),
        ends=draw(ENDS_IN_DAYS),
        **draw(RULES),
    )


SCHEDULES = st.one_of(in_days(), in_hours())


@st.composite
def doses(draw: Callable[..., Any], outcomes: Any = Outcome) -> list[GivenDose]:
    made = draw(st.lists(st.tuples(MOMENTS, st.sampled_from(list(outcomes))), max_size=8))
    return [
        GivenDose(id=f"d{place}", at=moment, outcome=outcome, by="a carer", why="said")
        for place, (moment, outcome) in enumerate(made)
    ]


def told(found: CourseDue) -> list[object]:
    """Everything the answer says, without the course it is about."""
    return [found.phase, found.slots, found.left, found.look_again, found.outside, found.doubts]


def moves_plan(schedule: Schedule) -> bool:
    """Whether a late or missed dose moves those after it."""
    return (
        schedule.if_late is IfLate.GIVE_MOVE_PLAN or schedule.if_missed is IfMissed.GIVE_MOVE_PLAN
    )


def fallen_due(found: CourseDue) -> int:
    """Doses that have fallen due and were not given: due, late or missed."""
    waiting = (State.DUE, State.LATE, State.MISSED)
    return sum(slot.state in waiting for slot in found.slots)


@DAYS
@given(schedule=SCHEDULES, entries=doses(), now=MOMENTS, data=st.data())
def test_the_order_of_the_entries_does_not_matter(
    book: Knowledge, schedule: Schedule, entries: list[GivenDose], now: datetime, data: Any
) -> None:
    shuffled = data.draw(st.permutations(entries))
    one = standing(book, a_course(schedule, entries), now)
    other = standing(book, a_course(schedule, shuffled), now)
    assert told(one) == told(other)


@DAYS
@given(schedule=SCHEDULES, entries=doses(), now=MOMENTS)
def test_sending_an_entry_twice_changes_nothing(
    book: Knowledge, schedule: Schedule, entries: list[GivenDose], now: datetime
) -> None:
    once = standing(book, a_course(schedule, entries), now)
    twice = standing(book, a_course(schedule, [*entries, *entries]), now)
    assert told(once) == told(twice)


def later(course: Course, span: timedelta) -> Course:
    """The same course with everything so many days later."""
    one = course.schedule
    ends = one.ends if one.ends.last_day is None else Ending(last_day=one.ends.last_day + span)
    moved = replace(
        one,
        first_on=one.first_on + span if one.first_on else None,
        first_at=one.first_at + span if one.first_at else None,
        ends=ends,
    )
    entries = tuple(replace(dose, at=dose.at + span) for dose in course.doses)
    return replace(course, schedule=moved, doses=entries)


@DAYS
@given(schedule=SCHEDULES, entries=doses(), now=MOMENTS, by=st.integers(-400, 400))
def test_the_same_course_later_gives_the_same_answers_later(
    book: Knowledge, schedule: Schedule, entries: list[GivenDose], now: datetime, by: int
) -> None:
    """In a zone without clock changes."""
    span = timedelta(days=by)
    course = a_course(schedule, entries)
    one = standing(book, course, now)
    other = standing(book, later(course, span), now + span)
    assert [(slot.state, slot.act, slot.due_at + span) for slot in one.slots] == [
        (slot.state, slot.act, slot.due_at) for slot in other.slots
    ]
    assert (one.phase, one.left) == (other.phase, other.left)


@settings(DAYS, max_examples=300)
@given(
    schedule=SCHEDULES,
    entries=doses([Outcome.GIVEN, Outcome.REFUSED]),
    more=MOMENTS,
    now=MOMENTS,
)
def test_one_more_given_dose_never_makes_more_fall_due(
    book: Knowledge, schedule: Schedule, entries: list[GivenDose], more: datetime, now: datetime
) -> None:
    """Save where a late dose moves the rest of a plan with a last day, and so ends it sooner."""
    assume(not (schedule.ends.last_day and moves_plan(schedule)))
    given_too = GivenDose(id="more", at=more, outcome=Outcome.GIVEN, by="a carer")
    without = standing(book, a_course(schedule, entries), now)
    with_it = standing(book, a_course(schedule, [*entries, given_too]), now)
    assert fallen_due(with_it) <= fallen_due(without)


@DAYS
@given(
    schedule=SCHEDULES,
    entries=doses(),
    now=MOMENTS,
    zone=st.sampled_from([LONDON, HAVANA]),
)
def test_nothing_falls_due_twice(
    book: Knowledge, schedule: Schedule, entries: list[GivenDose], now: datetime, zone: Any
) -> None:
    course = a_course(schedule, entries)
    found, to_come = due_until(course, now=now, until=at(60), zone=zone, book=book)
    everything = [*found.slots, *to_come[1 if found.next in to_come else 0 :]]
    assert (
        sum(slot.wants_giving or slot.state in (State.DUE, State.LATE) for slot in everything) <= 1
    )
    assert [slot.number for slot in everything] == list(range(1, len(everything) + 1))
    assert all(slot.missed_at is None or slot.missed_at > now for slot in to_come[1:])
    moments = [slot.due_at for slot in everything]
    assert moments == sorted(set(moments))
    answers = [one.id for slot in found.slots for one in slot.tries]
    assert len(answers) == len(set(answers))


@DAYS
@given(schedule=SCHEDULES, entries=doses(), now=MOMENTS)
def test_no_entry_is_lost(
    book: Knowledge, schedule: Schedule, entries: list[GivenDose], now: datetime
) -> None:
    """Each answers a due dose or is named as belonging to none; those of the future wait."""
    past = [dose for dose in entries if dose.at <= now]
    found = standing(book, a_course(schedule, past), now)
    kept = {one.id for slot in found.slots for one in slot.tries}
    assert kept | {one.id for one in found.outside} == {one.id for one in past}


@DAYS
@given(schedule=SCHEDULES, entries=doses(), now=MOMENTS, on=st.integers(0, 40))
def test_a_stopped_course_asks_for_nothing(
    book: Knowledge, schedule: Schedule, entries: list[GivenDose], now: datetime, on: int
) -> None:
    course = a_course(schedule, entries, stopped_at=at(on), stopped_why="the vet said so")
    found = standing(book, course, max(now, at(on)))
    assert [slot for slot in found.slots if slot.is_open] == []
    assert found.next is None


@DAYS
@given(schedule=SCHEDULES, entries=doses(), now=MOMENTS, since=MOMENTS)
def test_looking_only_at_the_latest_doses_says_the_same_of_them(
    book: Knowledge,
    schedule: Schedule,
    entries: list[GivenDose],
    now: datetime,
    since: datetime,
) -> None:
    course = a_course(schedule, entries)
    whole = standing(book, course, now)
    latest = standing(book, course, now, since=min(since, now))
    assert latest.slots == whole.slots[len(whole.slots) - len(latest.slots) :]
    assert latest.slots or not whole.slots
    assert [latest.phase, latest.left, latest.look_again] == [
        whole.phase,
        whole.left,
        whole.look_again,
    ]
