"""Doses in the record: kept once, never written over, corrected by new entries."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest

from cavyround.facts.courses import Outcome
from cavyround.knowledge.book import Knowledge
from cavyround.record.courses import courses_of
from cavyround.record.doses import (
    AnswerSaid,
    DoseRefusedError,
    DoseSaid,
    correct_dose,
    keep_answer,
    keep_dose,
)
from cavyround.record.models import Animal, Course, DoseEntry, Person
from tests.builders import NOW
from tests.builders_medicines import a_course


@pytest.fixture
def course(carer: Person, sow: Animal) -> Course:
    return a_course(carer, sow)


def said(course: Course, **more: Any) -> DoseSaid:
    return DoseSaid(**{"course": course.pk, "at": NOW, "outcome": "given", "number": 1, **more})


def test_a_dose_sent_twice_is_kept_once(carer: Person, course: Course) -> None:
    one = said(course, amount=Decimal("0.03"), unit="mL")
    assert keep_dose(carer, one, NOW) == keep_dose(carer, one, NOW + timedelta(hours=1))
    assert DoseEntry.objects.count() == 1


def test_an_id_used_for_another_dose_writes_nothing_over(carer: Person, course: Course) -> None:
    one = said(course)
    keep_dose(carer, one, NOW)
    with pytest.raises(DoseRefusedError, match="Another entry has this id"):
        keep_dose(carer, replace(one, outcome="refused"), NOW)
    assert DoseEntry.objects.get().outcome == "given"


@pytest.mark.parametrize(
    ("odd", "words"),
    [
        ({"outcome": "vomited"}, "vomited"),  # guinea pigs cannot
        ({"outcome": "not_given"}, "why it was not given"),
        (
            {"outcome": "not_given", "why": "hiding", "amount": Decimal(1), "unit": "mL"},
            "nothing was drawn",
        ),
        ({"amount": Decimal(1)}, "needs its unit"),
        ({"amount": Decimal(0), "unit": "mL"}, "more than nothing"),
        ({"at": NOW + timedelta(hours=1)}, "future"),
        ({"course": uuid4()}, "no such course"),
        ({"lot": uuid4()}, "no such lot"),
        ({"id": uuid4()}, "UUIDv7"),
        ({"weight_g": Decimal(900)}, "moment it was weighed"),
        ({"number": 0}, "the first is dose 1"),
    ],
)
def test_what_cannot_have_been_is_refused_in_words(
    carer: Person, course: Course, odd: dict[str, Any], words: str
) -> None:
    with pytest.raises(DoseRefusedError, match=words):
        keep_dose(carer, replace(said(course), **odd), NOW)
    assert not DoseEntry.objects.exists()


def test_the_second_person_is_somebody_else(
    carer: Person, other_carer: Person, course: Course
) -> None:
    with pytest.raises(DoseRefusedError, match="somebody else"):
        keep_dose(carer, said(course, second=carer.pk), NOW)
    kept = keep_dose(carer, said(course, second=other_carer.pk, second_said="0.03 mL"), NOW)
    assert kept.second == other_carer


def test_who_may_only_read_gives_nothing(viewer: Person, course: Course) -> None:
    with pytest.raises(DoseRefusedError, match="may read but not record"):
        keep_dose(viewer, said(course), NOW)


def test_a_correction_says_why_and_leaves_the_old_readable(
    carer: Person, course: Course, book: Knowledge
) -> None:
    first = keep_dose(carer, said(course), NOW)
    with pytest.raises(DoseRefusedError, match="say why"):
        correct_dose(carer, first, " ", NOW)
    correct_dose(carer, first, "spat it out", NOW, replacement=said(course, outcome="spat_out"))
    (fact,) = courses_of([course], book).values()
    assert [one.outcome for one in fact.tries] == [Outcome.SPAT_OUT]
    assert DoseEntry.objects.filter(course=course).count() == 2
    with pytest.raises(DoseRefusedError, match="corrected already"):
        correct_dose(carer, first, "again", NOW)


def test_only_a_lead_corrects_what_another_entered(
    carer: Person, other_carer: Person, lead: Person, course: Course
) -> None:
    first = keep_dose(carer, said(course), NOW)
    with pytest.raises(DoseRefusedError, match="Only a lead"):
        correct_dose(other_carer, first, "wrong animal", NOW)
    assert correct_dose(lead, first, "wrong animal", NOW).replacement is None


def test_an_answer_sent_twice_is_kept_once(carer: Person, course: Course) -> None:
    one = AnswerSaid(course=course.pk, question="AD.macrocyclic", answer="unsteady", at=NOW)
    assert keep_answer(carer, one, NOW) == keep_answer(carer, one, NOW)
    assert course.answers.count() == 1
