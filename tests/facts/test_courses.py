"""A course and its entries refuse what would leave open who, when, why or from which weight."""

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest

from cavyround.facts.courses import OUTCOME_WORDS, WENT_IN, Course, GivenDose, Outcome
from cavyround.facts.schedules import Ending, Schedule, days

AT = datetime(2026, 3, 2, 9, tzinfo=UTC)
ONCE = Schedule(every=days(10), first_on=date(2026, 3, 2), ends=Ending(doses=4))


def a_dose(**said: Any) -> GivenDose:
    known: dict[str, Any] = {"id": "d", "at": AT, "outcome": Outcome.GIVEN, "by": "Ada", **said}
    return GivenDose(**known)


def a_course(**said: Any) -> Course:
    known: dict[str, Any] = {
        "id": "c",
        "order": "o",
        "animal": "a",
        "what": "drops",
        "schedule": ONCE,
        **said,
    }
    return Course(**known)


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"at": datetime(2026, 3, 2, 9)}, "time zone"),  # noqa: DTZ001
        ({"by": ""}, "who gave it"),
        ({"outcome": Outcome.NOT_GIVEN}, "why it was not given"),
        ({"outcome": Outcome.NOT_GIVEN, "why": "  "}, "why it was not given"),
        ({"number": 0}, "first is dose 1"),
        ({"weight_g": Decimal(900)}, "moment it was weighed"),
        ({"weighed_at": AT}, "moment it was weighed"),
        ({"weight_g": Decimal(0), "weighed_at": AT}, "no weight"),
    ],
)
def test_an_entry_that_leaves_something_open_is_refused(said: dict[str, Any], why: str) -> None:
    with pytest.raises(ValueError, match=why):
        a_dose(**said)


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"what": " "}, "what the course is of"),
        ({"stopped_at": datetime(2026, 3, 2, 9), "stopped_why": "x"}, "time zone"),  # noqa: DTZ001
        ({"stopped_at": AT}, "why the course was stopped"),
    ],
)
def test_a_course_of_nothing_or_stopped_without_a_reason_is_refused(
    said: dict[str, Any], why: str
) -> None:
    with pytest.raises(ValueError, match=why):
        a_course(**said)


def test_what_may_have_gone_in_counts_as_gone_in() -> None:
    assert {Outcome.GIVEN, Outcome.PARTLY, Outcome.SPAT_OUT} == WENT_IN
    assert a_dose(outcome=Outcome.SPAT_OUT).went_in
    assert not a_dose(outcome=Outcome.REFUSED).went_in


def test_vomiting_is_not_offered_for_guinea_pigs_cannot() -> None:
    assert set(OUTCOME_WORDS) == set(Outcome)
    assert not any("vomit" in words for words in OUTCOME_WORDS.values())


def test_an_entry_sent_twice_is_one_and_tries_come_in_the_order_of_time() -> None:
    early = a_dose(id="b", at=AT.replace(hour=8))
    one = a_dose(id="a")
    assert a_course(doses=(one, early, one)).tries == (early, one)


def test_care_is_no_medicine() -> None:
    assert a_course().is_medicine
    assert not a_course(care="vitamin_c").is_medicine
