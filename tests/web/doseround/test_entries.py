"""What the phones send is kept once, whoever sends it and however often it comes."""

from datetime import timedelta
from typing import Any
from uuid import UUID

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.giving import advise
from cavyround.record.models import (
    AdviceGiven,
    Animal,
    Check,
    DoseAnswer,
    DoseEntry,
    Observed,
    Person,
)
from tests.builders import NOW, a_check, found
from tests.web.conftest import SignedIn
from tests.web.doseround.made import (
    Round,
    a_shelf,
    answered,
    loaded,
    ordered,
    send,
    taken_back,
    the_dose,
    tried,
    weigh,
)


def a_dose(phone: Client, lead: Person, animal: Animal, **said: Any) -> Round:
    a_shelf(lead)
    weigh(lead, animal, 900)
    ordered(lead, animal, **said)
    return the_dose(loaded(phone), animal)


def test_a_dose_given_is_an_entry_with_its_own_weight_and_amount(
    phone: Client, lead: Person, carer: Person, bramble: Animal
) -> None:
    one = a_dose(phone, lead, bramble)
    sent = tried(one)
    assert send(phone, sent)["kept"] == [sent["id"]]
    (row,) = DoseEntry.objects.all()
    assert (row.outcome, row.made_by, str(row.course_id)) == ("given", carer, one["course"])
    assert (row.weight_g, str(row.amount), row.unit) == (900, "0.240000", "mL")
    assert row.worked["by_hand"] == one["by_hand"]


def test_sent_twice_it_is_kept_once_and_says_so(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    sent = tried(a_dose(phone, lead, bramble))
    first = send(phone, sent)
    # The clock of the phone is read a second time: that makes no other entry of it.
    late = (NOW - timedelta(minutes=7)).isoformat()
    again = send(phone, sent, sent_at=late)
    assert first["kept"] == again["kept"] == [sent["id"]]
    assert DoseEntry.objects.count() == 1


def test_two_phones_that_give_the_same_dose_are_told_and_both_stand(
    phone: Client, lead: Person, bramble: Animal, other_carer: Person, signed_in: SignedIn
) -> None:
    one = a_dose(phone, lead, bramble)
    alone = send(phone, tried(one))
    both = send(signed_in(other_carer), tried(one))
    assert alone["checks"][one["key"]]["others"] == []
    (words,) = both["checks"][one["key"]]["others"]
    assert "Tam Birch" in words
    assert "ring the vet" in words
    assert DoseEntry.objects.count() == 2
    assert loaded(phone)["ask_vet"], "a dose given twice is for the vet"


def test_after_a_dose_given_twice_the_next_waits_until_the_vet_was_asked(
    phone: Client,
    lead: Person,
    carer: Person,
    other_carer: Person,
    bramble: Animal,
    signed_in: SignedIn,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    one = a_dose(phone, lead, bramble)
    twice = tried(one)
    send(phone, tried(one))
    send(signed_in(other_carer), twice)
    (card,) = loaded(phone)["ask_vet"]
    assert "given more than once" in " ".join(card["words"])
    tomorrow = NOW + timedelta(days=1)
    monkeypatch.setattr(timezone, "now", lambda: tomorrow)
    phone = signed_in(carer)
    (card,) = loaded(phone)["ask_vet"]
    assert "given more than once" in " ".join(card["words"])
    following = the_dose(loaded(phone), bramble)
    assert following["number"] == 2
    # The phone shows a dose with these words in state `ask`, and keeps when the vet was asked.
    assert "given more than once" in following["advised"]
    # An entry that was a mistake, taken back, holds nothing up.
    send(signed_in(other_carer), taken_back(twice))
    assert the_dose(loaded(signed_in(carer)), bramble)["advised"] == ""


def test_a_dose_refused_and_then_given_is_no_double(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    one = a_dose(phone, lead, bramble)
    send(phone, tried(one, "refused", why="clenched its teeth"))
    assert send(phone, tried(one))["checks"][one["key"]]["others"] == []


def test_undo_takes_a_dose_back_and_it_is_to_be_given_again(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    sent = tried(a_dose(phone, lead, bramble))
    back = taken_back(sent)
    assert send(phone, sent, back)["refused"] == []
    assert send(phone, back)["refused"] == []
    again = the_dose(loaded(phone), bramble)
    assert (again["sitting"], again["tries"]) == (0, [])
    # It stays readable.
    assert DoseEntry.objects.count() == 1


def test_not_given_needs_a_reason(phone: Client, lead: Person, bramble: Animal) -> None:
    one = a_dose(phone, lead, bramble)
    (refused,) = send(phone, tried(one, "not_given"))["refused"]
    assert "why" in refused["why"]
    assert send(phone, tried(one, "not_given", why="at the vet"))["refused"] == []


def test_no_guinea_pig_vomits(phone: Client, lead: Person, bramble: Animal) -> None:
    (refused,) = send(phone, tried(a_dose(phone, lead, bramble), "vomited"))["refused"]
    assert refused["why"]
    assert DoseEntry.objects.count() == 0


def test_one_bad_entry_stops_no_other(phone: Client, lead: Person, bramble: Animal) -> None:
    sent = tried(a_dose(phone, lead, bramble))
    nobody = {**tried(the_dose(loaded(phone), bramble))}
    nobody["check"] = {**nobody["check"], "animal": "018f0000-0000-7000-8000-000000000000"}
    told = send(phone, "nonsense", {"id": 3}, nobody, sent)
    assert told["kept"] == [sent["id"]]
    assert len(told["refused"]) == 3


def test_the_second_person_is_kept_and_is_somebody_else(
    phone: Client, lead: Person, carer: Person, bramble: Animal
) -> None:
    one = a_dose(phone, lead, bramble, second_check=True)
    assert one["second"] == ["the order asks for it"]
    (refused,) = send(phone, tried(one, second=carer.pk))["refused"]
    assert "second" in refused["why"]
    send(phone, tried(one, second=lead.pk))
    assert DoseEntry.objects.get().second == lead


def test_a_phone_sends_what_another_made_on_it(
    phone: Client, lead: Person, bramble: Animal, other_carer: Person
) -> None:
    one = a_dose(phone, lead, bramble)
    sent = {**tried(one), "by": other_carer.pk}
    send(phone, sent, {**taken_back(sent)})
    row = DoseEntry.objects.get()
    assert row.made_by == other_carer
    assert row.corrections.exists()


def test_an_answer_after_an_antibiotic_reaches_triage(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    """K46: an antibiotic within two weeks and watery droppings is an emergency."""
    question = asked_after_an_antibiotic(phone, lead, bramble)
    number = words_of(question).index("watery droppings")
    assert question["answers"][number]["alarm"]["words"] == "vet now"
    told = send(phone, answered(question, number))
    advice = told["checks"][question["key"]]["advice"]
    assert (advice["words"], advice["level"]) == ("vet now", 4)
    given = AdviceGiven.objects.get()
    assert "K46" in {because["rule"] for because in given.result["because"]}
    assert Observed.objects.get().finding == "diarrhoea"
    assert open_questions(phone) == []


def test_nothing_to_see_adds_no_finding_and_counts_as_asked(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    question = asked_after_an_antibiotic(phone, lead, bramble)
    told = send(phone, answered(question, 0))
    assert told["checks"] == {}
    assert (DoseAnswer.objects.count(), Observed.objects.count()) == (1, 0)
    assert open_questions(phone) == []


def test_an_answer_taken_back_takes_its_finding_with_it(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    question = asked_after_an_antibiotic(phone, lead, bramble)
    sent = answered(question, words_of(question).index("watery droppings"))
    send(phone, sent)
    assert send(phone, taken_back(sent))["refused"] == []
    assert Observed.objects.count() == 0
    (again,) = open_questions(phone)
    assert again["question"] == question["question"]
    assert Check.objects.filter(pk=UUID(sent["id"])).exists(), "it stays readable"


def test_soft_droppings_at_a_check_after_an_antibiotic_are_an_emergency_without_any_answer(
    phone: Client, lead: Person, carer: Person, bramble: Animal
) -> None:
    asked_after_an_antibiotic(phone, lead, bramble)
    soft = found("soft", "droppings", "droppings", kinds=["mushy"])
    given = advise(carer, a_check(carer, bramble, soft, at=NOW), NOW)
    assert "K46" in {because["rule"] for because in given.result["because"]}


def asked_after_an_antibiotic(phone: Client, lead: Person, animal: Animal) -> Round:
    a_shelf(lead, "enrofloxacin", "25 mg/mL")
    weigh(lead, animal, 900)
    yesterday = NOW.date() - timedelta(days=1)
    ordered(
        lead,
        animal,
        drug="enrofloxacin",
        dose="5 mg/kg",
        strength="25 mg/mL",
        first=yesterday,
    )
    one = the_dose(loaded(phone), animal)
    at = (NOW - timedelta(hours=20)).isoformat()
    sent = {**tried(one), "made_at": at}
    sent["touch"] = {**sent["touch"], "number": 1}
    assert send(phone, sent)["refused"] == []
    (question,) = open_questions(phone)
    assert question["question"] == "AD.antibiotic"
    return question


def words_of(question: Round) -> list[str]:
    return [one["words"] for one in question["answers"]]


def open_questions(phone: Client) -> list[Round]:
    """Those to be asked now; the one of tomorrow stands in the list already."""
    return [one for one in loaded(phone)["questions"] if one["asking"] == "to_ask"]


def test_a_dose_for_two_that_names_one_is_kept_and_told_on_the_phone_and_on_its_course(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    one = a_dose(phone, lead, bramble, second_check=True)
    alone = send(phone, tried(one))
    (words,) = alone["checks"][one["key"]]["others"]
    assert "one name only" in words
    assert "the order asks for it" in words
    assert DoseEntry.objects.count() == 1
    page = phone.get(reverse("course", args=[one["course"]])).content.decode()
    assert "One name only: two people were to work it out (the order asks for it" in page


@pytest.mark.parametrize(("outcome", "said"), [("refused", {"why": "bit"}), ("given", {})])
def test_a_dose_for_two_with_both_names_or_with_nothing_gone_in_lacks_none(
    phone: Client,
    lead: Person,
    bramble: Animal,
    other_carer: Person,
    outcome: str,
    said: dict[str, str],
) -> None:
    one = a_dose(phone, lead, bramble, second_check=True)
    second = other_carer.pk if outcome == "given" else None
    answer = send(phone, tried(one, outcome, second=second, **said))
    assert answer["checks"][one["key"]]["others"] == []
