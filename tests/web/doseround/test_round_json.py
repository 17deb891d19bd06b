"""The day's doses as the phone loads them: all it needs to give them without a connection."""

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from cavyround.advice.giving import advise
from cavyround.facts.deviations import IfPartly
from cavyround.facts.schedules import Ending, Schedule, days
from cavyround.record.models import Animal, Lot, Pen, Person
from cavyround.record.shelf import left_in
from tests.builders import NOW, TODAY, a_check, a_pen, an_animal, found
from tests.builders_medicines import a_course, a_lot, a_product, a_syringe, care_order, every_days
from tests.web.conftest import SignedIn
from tests.web.doseround.made import (
    Round,
    a_shelf,
    loaded,
    ordered,
    send,
    the_dose,
    tried,
    weigh,
)


def test_a_dose_comes_with_everything_that_is_needed_at_the_pen(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    a_shelf(lead)
    weigh(lead, bramble, 900)
    ordered(lead, bramble)
    told = loaded(phone)
    one = the_dose(told, bramble)
    # 0.9 kg x 0.4 mg/kg = 0.36 mg; 0.36 mg / 1.5 mg/mL = 0.24 mL. By hand.
    assert (one["amount_words"], one["mark_words"], one["to"]) == ("0.36 mg", "0.24 mL", 0.24)
    assert one["syringe"] == {"code": "ml_1_by_0_01", "holds": 1.0, "mark": 0.01, "unit": "mL"}
    assert "0.9 kg \N{MULTIPLICATION SIGN} 0.4 mg/kg = 0.36 mg" in one["by_hand"]
    assert (one["what"], one["route_words"]) == ("meloxicam", "by mouth")
    assert one["why"] == "sore after its operation"
    assert "900 g" in one["weight_words"]
    assert one["product_words"] == "meloxicam, 1.5 mg/mL, lot A7"
    assert (one["state"], one["nth_words"]) == ("ready", "dose 1 of 5")
    assert told["animals"][one["animal"]]["pen"].startswith("Clover")


def test_an_animal_not_weighed_is_weighed_first_and_no_amount_is_shown(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    a_shelf(lead)
    ordered(lead, bramble)
    one = the_dose(loaded(phone), bramble)
    assert (one["state"], one["mark_words"], one["to"]) == ("weigh", "", None)
    assert one["reasons"]


def test_a_medicine_that_kills_is_not_to_be_given_whatever_else_holds(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    """Penicillins by mouth kill guinea pigs (knowledge/data/medicines/dangers.yaml)."""
    a_shelf(lead, "amoxicillin", "50 mg/mL")
    ordered(lead, bramble, drug="amoxicillin", dose="20 mg/kg", strength="50 mg/mL")
    one = the_dose(loaded(phone), bramble)
    # Not weighed either, but weighing would mend nothing.
    assert one["state"] == "stop"
    assert one["mark_words"] == ""


def test_what_cannot_be_worked_out_is_never_a_dose(
    phone: Client, lead: Person, bramble: Animal, monkeypatch: pytest.MonkeyPatch
) -> None:
    a_shelf(lead)
    weigh(lead, bramble, 900)
    ordered(lead, bramble)

    def broken(*_given: object, **_said: object) -> None:
        msg = "broken"
        raise RuntimeError(msg)

    monkeypatch.setattr("cavyround.web.doseround.round_of.work_out_all", broken)
    one = the_dose(loaded(phone), bramble)
    assert one["state"] == "stop"
    assert "Something broke" in one["reasons"][0]["words"]


def test_pens_come_from_healthy_to_contagious(phone: Client, lead: Person, bramble: Animal) -> None:
    a_shelf(lead)
    ill = an_animal(lead, "Ash", pen=a_pen("isolation", name="Far room"))
    for one in (ill, bramble):
        weigh(lead, one, 900)
        ordered(lead, one)
    assert [pen["name"].split(",")[0] for pen in loaded(phone)["pens"]] == ["Clover", "Far room"]


def test_care_that_is_no_medicine_needs_no_amount(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    a_course(lead, bramble, care_order(lead, note="half a 50 mg tablet"))
    one = the_dose(loaded(phone), bramble)
    assert (one["medicine"], one["state"], one["draws"]) == (False, "ready", False)
    assert one["note"] == "half a 50 mg tablet"


def test_what_went_in_today_is_done_and_stays_on_the_list(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    a_shelf(lead)
    weigh(lead, bramble, 900)
    ordered(lead, bramble)
    one = the_dose(loaded(phone), bramble)
    assert send(phone, tried(one))["refused"] == []
    again = the_dose(loaded(phone), bramble)
    assert (again["key"], again["sitting"]) == (one["key"], None)
    assert [each["outcome"] for each in again["tries"]] == ["given"]


def test_a_missed_dose_is_for_the_vet_and_not_on_the_list_to_give(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    a_shelf(lead)
    weigh(lead, bramble, 900)
    yesterday = NOW.date() - timedelta(days=1)
    ordered(lead, bramble, schedule=every_days(10, doses=2, first=yesterday))
    told = loaded(phone)
    assert [one for one in told["doses"] if one["sitting"] is not None] == []
    (asked,) = told["ask_vet"]
    assert asked["animal"] == str(bramble.pk)
    assert any("vet" in words for words in asked["words"])


def test_a_newer_weight_makes_another_amount(phone: Client, lead: Person, bramble: Animal) -> None:
    a_shelf(lead)
    weigh(lead, bramble, 900)
    ordered(lead, bramble)
    before = the_dose(loaded(phone), bramble)
    weigh(lead, bramble, 975, ago=timedelta(minutes=5))
    after = the_dose(loaded(phone), bramble)
    # 0.975 kg x 0.4 mg/kg = 0.39 mg; 0.39 mg / 1.5 mg/mL = 0.26 mL. By hand.
    assert (before["mark_words"], after["mark_words"]) == ("0.24 mL", "0.26 mL")
    assert before["mark"] != after["mark"]


def test_grave_advice_given_since_the_order_asks_for_the_vet_before_the_dose(
    phone: Client, lead: Person, carer: Person, bramble: Animal
) -> None:
    a_shelf(lead)
    weigh(lead, bramble, 900)
    ordered(lead, bramble)
    assert the_dose(loaded(phone), bramble)["advised"] == ""
    check = a_check(carer, bramble, found("diarrhoea", "droppings", "droppings"), at=NOW)
    advise(carer, check, NOW)
    assert "vet now" in the_dose(loaded(phone), bramble)["advised"]


def test_a_bottle_that_is_counted_in_millilitres_is_drawn_from_in_millilitres(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    a_shelf(lead)
    weigh(lead, bramble, 900)
    ordered(lead, bramble)
    one = the_dose(loaded(phone), bramble)
    assert (Decimal(one["drawn_amount"]), one["drawn_unit"]) == (Decimal("0.24"), "mL")


def test_contacts_that_are_not_treated_are_named(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    a_shelf(lead)
    an_animal(lead, "Moss", pen=bramble.pen)
    weigh(lead, bramble, 900)
    ordered(lead, bramble, against=("fur_mites",))
    (treatment,) = loaded(phone)["treatments"]
    assert any("Moss" in words for words in treatment["words"])


def test_only_those_who_may_record_get_it(viewer: Person, signed_in: SignedIn) -> None:
    assert signed_in(viewer).get(reverse("dose-round-json")).status_code == 403


def test_the_number_of_queries_does_not_grow_with_the_doses(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    a_shelf(lead)
    weigh(lead, bramble, 900)
    ordered(lead, bramble)
    loaded(phone)
    with CaptureQueriesContext(connection) as one:
        loaded(phone)
    for name in ("Moss", "Ivy", "Fern", "Rue"):
        animal = an_animal(lead, name, pen=bramble.pen)
        weigh(lead, animal, 950)
        ordered(lead, animal)
    loaded(phone)
    with CaptureQueriesContext(connection) as five:
        loaded(phone)
    assert len(five) <= len(one) + 2


def in_part(
    phone: Client, lead: Person, animal: Animal, how: IfPartly, outcome: str = "partly"
) -> Round:
    """A dose of which something went in, and what the list says of it then."""
    a_shelf(lead)
    weigh(lead, animal, 900)
    schedule = Schedule(every=days(1), ends=Ending(doses=5), first_on=TODAY, if_partly=how)
    ordered(lead, animal, schedule=schedule)
    told = send(phone, tried(the_dose(loaded(phone), animal), outcome, why="about half"))
    assert told["refused"] == []
    return the_dose(loaded(phone), animal)


def test_the_rest_of_a_dose_has_no_amount_and_nothing_more_leaves_the_bottle(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    """Nobody measured what is left: it is what the syringe still holds, or the vet is rung."""
    one = in_part(phone, lead, bramble, IfPartly.GIVE_REST)
    assert (one["rest"], one["draws"], one["syringe"], one["to"]) == (True, False, None, None)
    assert "0.24" not in "".join(str(one[key]) for key in one if key.endswith("words"))
    assert "left in the syringe" in one["measure_words"]
    assert "ring the vet" in one["measure_words"]
    lot = Lot.objects.get(number="A7")
    before = left_in([lot.pk])[lot.pk]
    assert send(phone, tried(one))["refused"] == []
    assert left_in([lot.pk])[lot.pk] == before
    assert the_dose(loaded(phone), bramble)["sitting"] is None


def test_of_what_was_spat_out_no_rest_is_given(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    one = in_part(phone, lead, bramble, IfPartly.GIVE_REST, "spat_out")
    assert (one["state"], one["mark_words"]) == ("stop", "")
    assert "ring the vet" in one["reasons"][0]["do"]


def test_where_the_order_says_again_it_is_the_whole_dose_and_is_taken_off_the_shelf(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    one = in_part(phone, lead, bramble, IfPartly.GIVE_AGAIN)
    assert (one["rest"], one["mark_words"], one["drawn_amount"]) == (False, "0.24 mL", "0.24")


def test_a_wash_is_what_is_made_up_and_only_its_concentrate_is_taken_off_the_shelf(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    """100 mL of 2 mg/mL from 100 mg/mL takes 100 x 2 / 100 = 2 mL of concentrate. By hand."""
    product = a_product(lead, name="wash", drug="enilconazole", strength="100 mg/mL")
    lot = a_lot(lead, product, came="100")
    a_syringe(lead)
    a_syringe(lead, "ml_5_by_0_2")
    weigh(lead, bramble, 900)
    wash: dict[str, Any] = {
        "drug": "enilconazole",
        "dose": "100 mL of 0.2 % w/v",
        "route": "sponged_on",
    }
    ordered(lead, bramble, **wash, strength="", schedule=every_days(3, doses=4))
    one = the_dose(loaded(phone), bramble)
    assert (one["mark_words"], one["measure_words"]) == (
        "100 mL of 2 mg/mL",
        "Make up 100 mL of 2 mg/mL",
    )
    # The 2 mL stand in the steps alone, and are never called thinned.
    assert (one["wash"], one["syringe"], one["to"]) == (True, None, None)
    assert "thinned" not in one["device_words"]
    assert "concentrate draw up to 2 mL" in one["dilution"][0]
    assert (one["typed"]["mark"], one["typed"]["of"][:18]) == (2.0, "of the concentrate")
    assert send(phone, tried(one))["refused"] == []
    assert left_in([lot.pk])[lot.pk] == Decimal(98)


def test_of_a_thinned_liquid_the_strong_liquid_that_was_taken_leaves_the_shelf(
    phone: Client, lead: Person, pen: Pen
) -> None:
    """0.5 kg x 0.2 mg/kg / 10 mg/mL = 0.01 mL, thinned 1 in 10: 0.1 mL of the strong liquid."""
    boar = an_animal(lead, "Moss", sex="boar", pen=pen)
    product = a_product(lead, name="ivermectin", drug="ivermectin", strength="10 mg/mL")
    lot = a_lot(lead, product, came="20")
    a_syringe(lead)
    weigh(lead, boar, 500)
    said: dict[str, Any] = {"drug": "ivermectin", "dose": "0.2 mg/kg", "route": "under_skin"}
    ordered(
        lead,
        boar,
        **said,
        strength="10 mg/mL",
        diluent="propylene glycol",
        schedule=every_days(10, doses=2),
    )
    one = the_dose(loaded(phone), boar)
    assert (one["mark_words"], one["to"]) == ("0.1 mL thinned", 0.1)
    assert one["device_words"].endswith("of the thinned liquid")
    # A thinned dose is typed too: 0.1 mg / 1 mg/mL = 0.1 mL of what it was thinned to.
    assert (one["typed"]["unit"], one["typed"]["exact"]) == ("mL", 0.1)
    assert "thinned liquid, 1 mg/mL" in one["typed"]["of"]
    assert send(phone, tried(one))["refused"] == []
    assert left_in([lot.pk])[lot.pk] == Decimal("19.9")


def test_a_second_person_is_held_to_the_amount_before_it_was_rounded(
    phone: Client, lead: Person, bramble: Animal
) -> None:
    """0.913 kg x 0.4 mg/kg = 0.3652 mg; / 1.5 mg/mL = 0.24347 mL, marked 0.24 mL. By hand."""
    a_shelf(lead)
    weigh(lead, bramble, 913)
    ordered(lead, bramble)
    typed = the_dose(loaded(phone), bramble)["typed"]
    assert (typed["unit"], typed["mark"], typed["of"]) == ("mL", 0.24, "")
    assert typed["exact"] == pytest.approx(0.24347, abs=0.00001)
