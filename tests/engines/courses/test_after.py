"""Reactions are asked for after a dose, and the answers are findings that triage knows."""

from datetime import datetime
from itertools import pairwise
from typing import Any

import pytest

from cavyround.engines.courses import Answered, Asking, QuestionAfter, questions_after
from cavyround.engines.triage import assess
from cavyround.facts.animal import Event
from cavyround.facts.courses import Course, Outcome
from cavyround.facts.observation import Observation
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.urgency import Urgency
from tests.builders import a_sow
from tests.engines.courses.made import FIRST, a_course, a_dose, at, every, given


def asked(book: Knowledge, course: Course, now: datetime, *ids: str) -> list[QuestionAfter]:
    found = questions_after(course, (), now=now, book=book)
    return [one for one in found if not ids or one.question.id in ids]


def medicine(*kinds: str, doses: tuple[Any, ...] = (), **said: Any) -> Course:
    return a_course(every(10), doses, kinds=frozenset(kinds), **said)


def ids(questions: list[QuestionAfter]) -> list[str]:
    return [one.question.id for one in questions]


def test_nothing_is_asked_before_anything_went_in(book: Knowledge) -> None:
    refused = (a_dose(at(0), Outcome.REFUSED),)
    assert asked(book, medicine("macrocyclic"), at(1)) == []
    assert asked(book, medicine("macrocyclic", doses=refused), at(1)) == []


@pytest.mark.parametrize("outcome", [Outcome.PARTLY, Outcome.SPAT_OUT])
def test_what_may_have_gone_in_is_asked_after(book: Knowledge, outcome: Outcome) -> None:
    course = medicine("macrocyclic", doses=(a_dose(at(0), outcome),))
    assert "AD.macrocyclic" in ids(asked(book, course, at(0, 12)))


@pytest.mark.parametrize(
    ("now", "asking"),
    [
        (at(0, 10, 59), Asking.TO_COME),
        (at(0, 11), Asking.TO_ASK),
        (at(2, 8, 59), Asking.TO_ASK),
        (at(2, 9), Asking.NOT_ASKED),
    ],
)
def test_a_question_is_asked_from_two_hours_to_two_days_after(
    book: Knowledge, now: datetime, asking: Asking
) -> None:
    course = medicine("macrocyclic", doses=given(at(0, 9)))
    [one] = asked(book, course, now, "AD.macrocyclic")
    assert one.asking is asking


def test_an_answer_in_its_time_is_an_answer_and_another_is_none(book: Knowledge) -> None:
    course = medicine("macrocyclic", doses=given(at(0, 9)))

    def with_answer(when: datetime, animal: str = "sow") -> Asking:
        answer = Answered(question="AD.macrocyclic", animal=animal, at=when)
        found = questions_after(course, [answer], now=at(0, 20), book=book)
        return next(one.asking for one in found if one.question.id == "AD.macrocyclic")

    assert with_answer(at(0, 12)) is Asking.ASKED
    assert with_answer(at(0, 9, 30)) is Asking.TO_ASK
    assert with_answer(at(0, 12), "another") is Asking.TO_ASK


def test_each_dose_is_asked_after_once(book: Knowledge) -> None:
    course = medicine("macrocyclic", doses=given(at(0), at(10)))
    found = asked(book, course, at(20), "AD.macrocyclic")
    assert [one.from_at for one in found] == [at(0, 11), at(10, 11)]
    assert len({one.dose for one in found}) == 2


def test_an_antibiotic_is_asked_after_daily_and_two_weeks_beyond_the_last_dose(
    book: Knowledge,
) -> None:
    doses = given(*[at(day, hour) for day in range(5) for hour in (8, 20)])
    found = asked(book, medicine("antimicrobial", doses=doses), at(40), "AD.antibiotic")
    assert found[0].from_at == at(0, 14)
    assert found[-1].until_at == at(18, 20)  # 336 hours after the last, on day 4 at 20:00
    assert len(found) == 18
    assert all(one.until_at == two.from_at for one, two in pairwise(found))


def test_the_more_particular_question_takes_the_place_of_the_plain_one(book: Knowledge) -> None:
    plain = asked(book, medicine(doses=given(at(0))), at(0, 18))
    antibiotic = asked(book, medicine("antimicrobial", doses=given(at(0))), at(0, 18))
    assert set(ids(plain)) == {"AD.eating_droppings"}
    assert set(ids(antibiotic)) == {"AD.antibiotic"}


def test_a_stopped_course_goes_on_asking(book: Knowledge) -> None:
    course = medicine(
        "antimicrobial", doses=given(at(0)), stopped_at=at(1), stopped_why="loose droppings"
    )
    assert any(one.asking is Asking.TO_ASK for one in asked(book, course, at(3)))


def test_care_asks_nothing(book: Knowledge) -> None:
    assert asked(book, medicine(doses=given(at(0)), care="foot_bath"), at(1)) == []


def test_every_kind_of_medicine_has_its_words_and_every_question_an_all_well(
    book: Knowledge,
) -> None:
    for question in book.after_dose:
        assert question.answers[0].adds.observation is None, question.id
        assert all(answer.adds.observation for answer in question.answers[1:]), question.id
        assert set(question.kinds) <= set(book.dose_kinds), question.id


@pytest.mark.parametrize(
    ("name", "route", "kinds"),
    [
        ("ivermectin", "under_skin", {"macrocyclic", "injection"}),
        ("selamectin", "on_skin", {"macrocyclic", "spot_on"}),
        ("enrofloxacin", "by_mouth", {"antimicrobial"}),
        ("meloxicam", "by_mouth", {"nsaid"}),
        ("buprenorphine", "under_skin", {"opioid", "injection"}),
        ("vitamin C", "by_mouth", set()),
    ],
)
def test_a_medicines_kinds_come_from_its_class_and_the_way_it_is_given(
    book: Knowledge, name: str, route: str, kinds: set[str]
) -> None:
    medicine = book.medicines.named(name)
    assert medicine is not None
    assert book.dose_kinds_of(medicine.classes, route) == kinds


def test_the_rules_named_are_fired_by_some_answer(book: Knowledge) -> None:
    """An answer becomes a finding, the antibiotic an event; triage then says what is to be done."""
    [question] = [one for one in book.after_dose if one.id == "AD.antibiotic"]
    fired: set[str] = set()
    for answer in question.answers:
        said = answer.adds.observation
        if said is None:
            continue
        seen = Observation(
            region=said.region, finding=said.finding, kinds=frozenset(said.kind), seen_at=at(1)
        )
        event = Event(what=question.adds_event or "", on=FIRST)
        facts = a_sow(observations=(seen,), events=(event,))
        result = assess(facts, now=at(1), book=book)
        assert result.urgency >= Urgency.VET_24H, answer.words
        fired |= {one.rule for one in result.because}
    assert set(question.rules) <= fired
