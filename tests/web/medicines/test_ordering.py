"""A vet's order is entered as it was said; what is unclear is asked beside its field."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from cavyround.facts.lengths import hours
from cavyround.record.models import Animal, Course, Order, Person, Product
from cavyround.record.models.entries import new_id
from cavyround.record.orders import schedule_of
from tests.web.conftest import SignedIn
from tests.web.medicines.conftest import order_form


def entered(client: Client, **form: Any) -> Any:
    return client.post(reverse("enter-order"), form)


def test_an_order_is_worked_out_before_it_is_kept(
    client: Client, light_sow: Animal, bottle: Product
) -> None:
    page = entered(client, **order_form(light_sow, act="look"))
    words = page.content.decode()
    assert page.status_code == 200
    assert "Draw up to 0.03 mL in the 1 mL syringe with marks of 0.01 mL" in words
    assert "3 marks of 0.01 mL from nought" in words
    assert "rounded down, 6.3 % too little" in words  # example 28 of our reference
    assert "Inside the published range" in words
    assert "0.4 mg/kg = 0.32 mg" in words  # the sum by hand
    assert 'class="syringe"' in words
    assert "This prescribes nothing" in words
    assert not Order.objects.exists()


def test_an_order_is_kept_with_a_course_for_each_animal(client: Client, light_sow: Animal) -> None:
    answer = entered(client, **order_form(light_sow))
    order = Order.objects.get()
    assert answer.status_code == 302
    assert answer["Location"] == reverse("order", args=[order.pk])
    assert Course.objects.get().animal == light_sow
    assert (order.dose, order.vet, order.word) == ("0.4 mg/kg", "Dr Isla Fern", "telephone")


def test_sent_twice_it_is_one_order(client: Client, light_sow: Animal) -> None:
    form = order_form(light_sow)
    entered(client, **form)
    entered(client, **form)
    assert Order.objects.count() == Course.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("dose", "0.4", "not a number with a unit"),
        ("dose", "0.4 mg", "per kg or per animal"),
        ("dose", "0,4 mg/kg", "a comma is a point to some"),
        ("dose", "0.4 MG/kg", "MG is no milligram"),
        ("dose", "5 U/kg", "U is taken for 0 or 4"),
        ("dose", "", "Say the dose"),
        ("strength", "1 %", "a percentage must say w/v"),
        ("strength", "10 mg", "a strength is so much in so much"),
        ("often", "BID", "misread too easily"),
        ("often", "twice a day", "every 12 hours"),
        ("drug", "", "without it there is no order"),
        ("vet", "", "without a vet there is no order"),
        ("why", "", "Say what it is for"),
        ("route", "", "Choose how it is given"),
        ("doses", "", "Say how it ends"),
        ("doses", "four", "no whole number"),
        ("times", "25:00", "there is no 25:00"),
        ("late", "soon", "length of time"),
        ("not_over_g", "-3", "at least 1"),
    ],
)
def test_what_is_unclear_is_said_beside_its_field_and_nothing_typed_is_lost(
    client: Client, light_sow: Animal, field: str, typed: str, words: str
) -> None:
    page = entered(client, **order_form(light_sow, **{field: typed}, note="typed with care"))
    html = page.content.decode()
    assert page.status_code == 422
    fault = html[html.index(f'id="id_{field}_error"') :][:400]
    assert words.lower() in fault.lower()
    assert "typed with care" in html
    assert not Order.objects.exists()


def test_it_is_for_somebody(client: Client) -> None:
    page = entered(client, **order_form())
    assert page.status_code == 422
    assert "Choose at least one animal" in page.content.decode()


def test_doses_counted_in_hours_need_the_time_of_the_first(
    client: Client, light_sow: Animal
) -> None:
    assert entered(client, **order_form(light_sow, often="every 12 hours")).status_code == 422
    entered(client, **order_form(light_sow, often="every 12 hours", times="08:00"))
    schedule = schedule_of(Order.objects.get())
    assert schedule.every == hours(12)
    assert schedule.first_at is not None
    assert schedule.first_at.hour == 8


def test_care_that_is_no_medicine_needs_no_vet_and_no_dose(
    client: Client, light_sow: Animal
) -> None:
    form = order_form(
        light_sow,
        kind="care",
        care="vitamin_c_by_mouth",
        drug="",
        dose="",
        route="",
        strength="",
        vet="",
        often="daily",
        doses="7",
    )
    assert entered(client, **form).status_code == 302
    assert Order.objects.get().care == "vitamin_c_by_mouth"


@pytest.mark.parametrize("dose", ["0.4 mg/kg", "25 mcg per animal", "0.04 mL/kg"])
def test_an_order_of_a_medicine_names_the_strength_of_the_product(
    client: Client, light_sow: Animal, dose: str
) -> None:
    page = entered(client, **order_form(light_sow, dose=dose, strength=""))
    assert page.status_code == 422
    assert "Say the strength of the product" in page.content.decode()
    assert not Order.objects.exists()


@pytest.mark.parametrize("drug", ["amoxicillin", "Amoxycilin", "clindamycin"])
def test_what_kills_by_mouth_is_not_kept_as_an_order(
    client: Client, light_sow: Animal, drug: str
) -> None:
    said = order_form(light_sow, drug=drug, route="by_mouth", strength="50 mg/mL")
    page = entered(client, **said)
    assert page.status_code == 422
    assert "Do not give it. Ring the vet." in page.content.decode()
    assert not Order.objects.exists()


def test_a_dangerous_medicine_is_looked_at_but_never_worked_out(
    client: Client, light_sow: Animal, bottle: Product
) -> None:
    page = entered(
        client, **order_form(light_sow, drug="amoxicillin", route="by_mouth", act="look")
    )
    words = page.content.decode()
    assert "No dose is worked out" in words
    assert "nobody may set this aside" in words


def test_a_changed_order_takes_the_place_of_the_old_one_and_says_why(
    client: Client, light_sow: Animal
) -> None:
    entered(client, **order_form(light_sow))
    old = Order.objects.get()
    address = reverse("change-order", args=[old.pk])
    page = client.get(address).content.decode()
    assert 'value="0.4 mg/kg"' in page
    assert 'value="every 10 days"' in page
    form = order_form(light_sow, dose="0.3 mg/kg", once=str(new_id()))
    assert client.post(address, form).status_code == 422  # no word why
    assert client.post(address, form | {"change_why": "the vet lowered it"}).status_code == 302
    new = Order.objects.get(replaces=old)
    assert new.dose == "0.3 mg/kg"
    assert old.stops.get().why == "replaced: the vet lowered it"
    assert Course.objects.filter(order=new).count() == 1


@pytest.mark.parametrize(("role", "status"), [("viewer", 403), ("vet", 200), ("lead", 200)])
def test_who_may_enter_orders(
    personas: dict[str, Person], signed_in: SignedIn, role: str, status: int
) -> None:
    assert signed_in(personas[role]).get(reverse("enter-order")).status_code == status


def test_only_a_vet_who_is_signed_in_enters_an_order_as_their_own(
    client: Client, light_sow: Animal, vet: Person, signed_in: SignedIn
) -> None:
    assert entered(client, **order_form(light_sow, word="self")).status_code == 422
    assert not Order.objects.exists()
    assert entered(signed_in(vet), **order_form(light_sow, word="self")).status_code == 302
