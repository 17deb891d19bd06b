"""The day's doses by pen in the order of the round, in as few sittings as can be."""

from datetime import datetime, time
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cavyround.engines.courses import DoseRound, PenOfRound, Sitting, dose_round, due
from cavyround.facts.courses import Course, GivenDose
from cavyround.facts.schedules import IfLate, IfMissed, Schedule
from cavyround.knowledge.book import Knowledge
from tests.engines.courses.made import FIRST, LONDON, a_course, a_dose, at, every
from tests.engines.courses.made import given as were_given

PENS = (
    PenOfRound(pen="hay loft", animals=("ada", "bea")),
    PenOfRound(pen="sick bay", animals=("cleo",)),
)
MORNING, EVENING = time(8), time(20)


def treated(animal: str, schedule: Schedule, *doses: datetime, **said: Any) -> Course:
    known = {"id": f"{animal}-{said.get('order', 'order')}", "animal": animal, **said}
    return a_course(schedule, were_given(*doses), **known)


def on_round(book: Knowledge, *courses: Course, now: datetime | None = None) -> DoseRound:
    return dose_round(courses, PENS, now=now or at(0, 7), zone=LONDON, book=book)


def animals(sitting: Sitting) -> list[str]:
    return [dose.animal for dose in sitting.doses]


def test_a_treatment_of_the_whole_round_is_one_sitting_in_the_order_of_the_pens(
    book: Knowledge,
) -> None:
    found = on_round(book, *[treated(one, every(10)) for one in ("cleo", "bea", "ada")])
    [sitting] = found.sittings
    assert [stop.pen for stop in sitting.stops] == ["hay loft", "sick bay"]
    assert animals(sitting) == ["ada", "bea", "cleo"]
    [treatment] = sitting.treatments
    assert [dose.course.id for dose in treatment.doses] == ["ada-order", "bea-order", "cleo-order"]


def test_morning_and_evening_are_two_sittings_and_any_time_goes_with_the_first(
    book: Knowledge,
) -> None:
    twice = treated("ada", every(1, at=(MORNING, EVENING)))
    any_time = treated("cleo", every(1), order="vitamin")
    first, second = on_round(book, twice, any_time).sittings
    assert (animals(first), animals(second)) == (["ada", "cleo"], ["ada"])
    assert (first.from_at, first.until_at) == (at(0, 7), at(0, 9))
    assert (second.from_at, second.until_at) == (at(0, 19), at(0, 21))


def test_two_treatments_of_one_animal_stand_together(book: Knowledge) -> None:
    one = treated("bea", every(10))
    other = treated("bea", every(1), order="vitamin", what="vitamin C")
    [sitting] = on_round(book, one, other, treated("ada", every(10))).sittings
    assert animals(sitting) == ["ada", "bea", "bea"]
    assert [len(one.doses) for one in sitting.treatments] == [2, 1]


def test_an_animal_in_no_pen_is_not_lost_and_comes_last(book: Knowledge) -> None:
    [sitting] = on_round(book, treated("stray", every(10)), treated("ada", every(10))).sittings
    assert animals(sitting) == ["ada", "stray"]
    assert sitting.stops[-1].pen == ""


def test_a_late_dose_the_order_wants_given_is_on_the_list(book: Knowledge) -> None:
    late = treated("ada", every(10, if_late=IfLate.GIVE_KEEP_PLAN))
    [sitting] = on_round(book, late, now=at(2)).sittings
    assert animals(sitting) == ["ada"]


def test_what_the_vet_must_be_asked_first_stands_apart(book: Knowledge) -> None:
    found = on_round(book, treated("ada", every(10)), now=at(2))
    assert found.sittings == ()
    assert [one.course.animal for one in found.ask_vet] == ["ada"]


def test_a_missed_dose_to_be_given_all_the_same_is_on_the_list(book: Knowledge) -> None:
    missed = treated("ada", every(10, if_missed=IfMissed.GIVE_MOVE_PLAN))
    [sitting] = on_round(book, missed, now=at(12)).sittings
    assert animals(sitting) == ["ada"]


def test_a_dose_given_twice_is_for_the_vet(book: Knowledge) -> None:
    twice = treated("ada", every(10), at(0, 8), at(0, 9))
    assert len(on_round(book, twice, now=at(0, 10)).ask_vet) == 1


def test_what_was_given_today_is_done_and_no_longer_to_give(book: Knowledge) -> None:
    found = on_round(
        book, treated("cleo", every(10), at(0, 8)), treated("ada", every(10)), now=at(0, 10)
    )
    assert [dose.animal for dose in found.done] == ["cleo"]
    assert [animals(one) for one in found.sittings] == [["ada"]]


def test_what_is_due_on_another_day_is_not_on_the_list(book: Knowledge) -> None:
    assert on_round(book, treated("ada", every(10), at(0)), now=at(5)).sittings == ()


def test_the_day_is_the_rescues_own(book: Knowledge) -> None:
    assert on_round(book, now=at(0, 23)).day == FIRST


SCHEDULES = st.sampled_from(
    [
        every(1),
        every(1, at=(MORNING,)),
        every(1, at=(MORNING, EVENING)),
        every(1, at=(time(10), time(16), time(22))),
        every(10, if_late=IfLate.GIVE_KEEP_PLAN),
    ]
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(
    schedules=st.lists(SCHEDULES, max_size=6),
    hour=st.integers(0, 23),
)
def test_every_dose_of_the_day_is_in_one_sitting_within_its_window(
    book: Knowledge, schedules: list[Schedule], hour: int
) -> None:
    names = ["ada", "bea", "cleo", "stray", "other", "last"]
    courses = [treated(names[place], one) for place, one in enumerate(schedules)]
    found = on_round(book, *courses, now=at(0, hour))
    doses = [dose for sitting in found.sittings for dose in sitting.doses]
    assert len(doses) == len({(dose.course.id, dose.slot.number) for dose in doses})
    for sitting in found.sittings:
        assert sitting.from_at <= sitting.until_at
        for dose in sitting.doses:
            assert dose.from_at <= sitting.until_at <= dose.until_at


def move_plan(*doses: GivenDose) -> Course:
    """Twice a day, a missed dose given all the same and the plan moved."""
    order = every(1, doses=5, at=(MORNING, EVENING), if_missed=IfMissed.GIVE_MOVE_PLAN)
    return a_course(order, doses, id="ada-order", animal="ada")


def offered(found: DoseRound, now: datetime) -> list[int]:
    doses = [dose for sitting in found.sittings for dose in sitting.doses]
    return [dose.slot.number for dose in doses if dose.from_at <= now < dose.until_at]


def test_a_missed_dose_has_time_to_be_given_and_the_next_is_not_offered_beside_it(
    book: Knowledge,
) -> None:
    now = at(0, 20, 10)
    assert offered(on_round(book, move_plan(), now=now), now) == [1]


def test_an_entry_answers_the_dose_it_names_while_an_earlier_one_is_open(book: Knowledge) -> None:
    given_as_second = a_dose(at(0, 20, 10), number=2)
    for now in (at(0, 20, 20), at(1, 0, 10)):
        assert offered(on_round(book, move_plan(given_as_second), now=now), now) == []
    standing = due(move_plan(given_as_second), now=at(1, 0, 10), zone=LONDON, book=book)
    assert [slot.number for slot in standing.slots if slot.was_given] == [2]
    assert standing.left == 4


def test_a_dose_given_ahead_is_never_asked_for_again(book: Knowledge) -> None:
    """A phone answers dose 2 in the morning, while dose 1 is still late."""
    ahead = a_dose(at(0, 10), number=2)
    asked = {
        number
        for hour in range(10, 24)
        for number in offered(on_round(book, move_plan(ahead), now=at(0, hour)), at(0, hour))
    }
    assert 2 not in asked


def test_a_course_with_missed_doses_gives_as_many_as_were_ordered(book: Knowledge) -> None:
    """Nobody comes in the mornings, and each evening gives whatever the list offers first."""
    doses: list[GivenDose] = []
    for day in range(30):
        for hour in (20, 21, 22, 23):
            now = at(day, hour)
            last = offered(on_round(book, move_plan(*doses), now=now), now)[-1:]
            doses += [a_dose(now, number=number) for number in last]
    assert len(doses) == 5
    assert len({one.number for one in doses}) == 5
