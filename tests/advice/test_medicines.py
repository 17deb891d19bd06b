"""Doses from the record: worked out for today's weight, from the bottle on the shelf."""

from datetime import timedelta
from decimal import Decimal

import pytest

from cavyround.advice.due import due_today
from cavyround.advice.medicines.asking import asked_after
from cavyround.advice.medicines.running import courses_running
from cavyround.advice.medicines.today import doses_today
from cavyround.advice.medicines.working import work_out_all, work_out_for
from cavyround.engines.courses import Asking, Phase
from cavyround.engines.dosing import Dose, Refusal, Verdict
from cavyround.facts.quantities import Volume
from cavyround.facts.schedules import Ending, Schedule
from cavyround.record.allergies import AsideSaid, note_allergy, set_aside
from cavyround.record.courses import look_after, stop_course
from cavyround.record.doses import DoseSaid, keep_dose
from cavyround.record.models import Animal, Course, Person
from cavyround.record.shelf import left_in
from tests.builders import NOW, TODAY, a_check, weighed
from tests.builders_medicines import a_course, a_lot, a_product, a_syringe, an_order, care_order


@pytest.fixture
def shelf(lead: Person) -> None:
    a_lot(lead, a_product(lead))
    a_syringe(lead)


@pytest.fixture
def course(carer: Person, sow: Animal, shelf: None) -> Course:
    a_check(carer, sow, weighed(800))
    return a_course(carer, sow)


def refused(now: object = NOW) -> tuple[str, ...]:
    (one,) = courses_running(NOW)
    worked = work_out_for(one, NOW)
    assert isinstance(worked.result, Refusal)
    return worked.result.codes


def test_800_g_at_0_4_mg_per_kg_of_1_percent_is_0_03_ml_with_its_error(course: Course) -> None:
    # Worked example 28 of our reference: 0.32 mg, 0.032 mL, on marks of 0.01 mL 0.03 (-6.3 %).
    (one,) = courses_running(NOW)
    worked = work_out_for(one, NOW)
    assert isinstance(worked.result, Dose)
    assert worked.result.product == Volume(Decimal("0.032"))
    assert worked.result.measure.to == Volume(Decimal("0.03"))
    assert worked.result.published.verdict is Verdict.INSIDE
    assert "less than 0.1 mL of the liquid" in worked.second


def test_an_animal_never_weighed_gets_no_dose(carer: Person, sow: Animal, shelf: None) -> None:
    a_course(carer, sow)
    assert "no_weight" in refused()


def test_a_weight_left_in_doubt_gives_no_dose(course: Course, carer: Person, sow: Animal) -> None:
    a_check(carer, sow, weighed(1800, doubted=True))
    assert "weight_doubtful" in refused()


def test_without_a_bottle_and_a_syringe_nothing_is_drawn_up(carer: Person, sow: Animal) -> None:
    a_check(carer, sow, weighed(800))
    a_course(carer, sow)
    assert "no_product" in refused()


def test_an_allergy_speaks_against_it(course: Course, carer: Person, sow: Animal) -> None:
    note_allergy(carer, sow, "ivermectin", NOW, note="trembled for a day")
    assert "allergy" in refused()


def test_the_same_medicine_twice_is_refused_and_a_vet_may_set_aside(
    course: Course, carer: Person, sow: Animal
) -> None:
    other = a_course(carer, sow, an_order(carer, why="lice"))
    both = {one.row.pk: one for one in courses_running(NOW)}
    worked = work_out_for(both[other.pk], NOW)
    assert isinstance(worked.result, Refusal)
    (reason,) = worked.result.reasons
    assert reason.code == "same_drug_running"
    said = AsideSaid(
        key=reason.key,
        by_name="Dr Fern",
        role="vet",
        why="the first one ends today",
        word="telephone",
        said_on=TODAY,
    )
    set_aside(carer, other.order, said, NOW)
    assert isinstance(work_out_for(both[other.pk], NOW).result, Dose)


def test_what_was_drawn_is_gone_from_the_bottle(course: Course, carer: Person) -> None:
    (one,) = courses_running(NOW)
    lot = work_out_for(one, NOW).lot
    assert lot is not None
    said = DoseSaid(
        course=course.pk,
        at=NOW,
        outcome="given",
        number=1,
        amount=Decimal("0.03"),
        unit="mL",
        lot=lot.pk,
        weight_g=Decimal(800),
        weighed_at=NOW,
    )
    keep_dose(carer, said, NOW)
    assert left_in([lot.pk]) == {lot.pk: Decimal("19.97")}


def test_the_round_of_the_day_holds_each_due_dose_once(course: Course, carer: Person) -> None:
    care = a_course(carer, course.animal, care_order(carer))
    today = doses_today(NOW)
    (sitting,) = today.round.sittings
    assert {one.course.id for one in sitting.doses} == {str(course.pk), str(care.pk)}
    assert [one.pen for one in sitting.doses] == ["", ""]  # in no pen: still not forgotten
    keep_dose(carer, DoseSaid(course=care.pk, at=NOW, outcome="given", number=1), NOW)
    later = doses_today(NOW + timedelta(minutes=1))
    (sitting,) = later.round.sittings
    assert [one.course.id for one in sitting.doses] == [str(course.pk)]
    assert [one.course.id for one in later.round.done] == [str(care.pk)]


def test_care_without_a_dose_has_none_to_work_out(course: Course, carer: Person) -> None:
    a_course(carer, course.animal, care_order(carer))
    assert set(work_out_all(courses_running(NOW), NOW)) == {course.pk}


def test_a_stopped_course_is_not_on_the_round(course: Course, carer: Person) -> None:
    stop_course(carer, course, "the vet says it is something else", NOW)
    assert courses_running(NOW + timedelta(minutes=1)) == []


def test_a_course_ends_when_it_is_looked_at_again_and_clear(course: Course, carer: Person) -> None:
    for number in range(4):
        at = NOW + timedelta(days=10 * number)
        keep_dose(carer, DoseSaid(course=course.pk, at=at, outcome="given", number=number + 1), at)
    after = NOW + timedelta(days=60)
    (one,) = courses_running(after)
    assert one.due.phase is Phase.TO_LOOK_AGAIN
    look_after(carer, course, after, clear=True)
    assert courses_running(after) == []


def test_after_a_dose_reactions_are_asked_for(course: Course, carer: Person) -> None:
    keep_dose(carer, DoseSaid(course=course.pk, at=NOW, outcome="given", number=1), NOW)
    later = NOW + timedelta(hours=8)
    asked = asked_after(courses_running(later), later)[course.pk]
    to_ask = {one.question.id for one in asked if one.asking is Asking.TO_ASK}
    assert "AD.macrocyclic" in to_ask


def test_who_is_due_for_a_check_is_told_of_its_doses_too(course: Course) -> None:
    (one,) = due_today(NOW + timedelta(days=30))
    assert any(words.startswith("ivermectin, dose") for words in one.reasons)


@pytest.mark.parametrize(("days_later", "stands"), [(2, True), (13, True), (15, False)])
def test_what_was_given_once_counts_as_long_as_its_doses_lie_apart(
    days_later: int, stands: bool, carer: Person, shelf: None, sow: Animal
) -> None:
    """Ivermectin is published up to every 14 days (VP-ECT)."""
    once = Schedule(every=None, ends=Ending(doses=1), first_on=TODAY)
    first = a_course(carer, sow, an_order(carer, schedule=once))
    keep_dose(carer, DoseSaid(course=first.pk, at=NOW, outcome="given", number=1), NOW)
    later = NOW + timedelta(days=days_later)
    again = Schedule(every=None, ends=Ending(doses=1), first_on=later.date())
    second = a_course(carer, sow, an_order(carer, now=later, schedule=again), now=later)
    both = {one.row.pk: one for one in courses_running(later)}
    result = work_out_for(both[second.pk], later).result
    assert ("same_drug_running" in getattr(result, "codes", ())) is stands
