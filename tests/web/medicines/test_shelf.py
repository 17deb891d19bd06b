"""The shelf: read strictly, counted by two where it must be, and never guessed at."""

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.facts.schedules import Ending, Schedule, days
from cavyround.record.models import Animal, Lot, Person, Product, StockMovement
from cavyround.record.models.entries import new_id
from cavyround.record.shelf import Moved, add_lot, left_in, move_stock
from tests.builders import NOW, TODAY
from tests.builders_medicines import a_course, a_lot, a_product, an_order


def product_form(**changes: Any) -> dict[str, Any]:
    return {
        "once": str(new_id()),
        "name": "meloxicam by mouth",
        "kind": "medicine",
        "drug": "meloxicam",
        "strength": "0.5 mg/mL",
        "unit": "mL",
    } | changes


def test_a_product_and_its_lot_come_to_the_shelf(client: Client) -> None:
    assert client.post(reverse("new-product"), product_form()).status_code == 302
    product = Product.objects.get()
    day = timezone.localdate() + timedelta(days=100)
    form = {"once": str(new_id()), "number": "A1", "expires_on": day.isoformat(), "came": "15"}
    client.post(reverse("new-lot", args=[product.pk]), form)
    lot = Lot.objects.get()
    assert left_in([lot.pk]) == {lot.pk: Decimal(15)}
    words = client.get(reverse("shelf")).content.decode()
    assert "Lot A1: 15 mL" in words


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("strength", "0.5", "a strength is so much in so much"),
        ("strength", "5 %", "a percentage must say w/v"),
        ("drug", "", "Say the active substance"),
        ("low_at", "1,5", "a comma is a point to some"),
        ("drop", "small", "so many drops"),
        ("mark_ml", "0.01", "needs both"),
    ],
)
def test_a_label_that_cannot_be_read_is_said_beside_its_field(
    client: Client, field: str, typed: str, words: str
) -> None:
    page = client.post(reverse("new-product"), product_form(**{field: typed}))
    assert page.status_code == 422
    assert words.lower() in page.content.decode().lower()
    assert not Product.objects.exists()


def test_a_controlled_medicine_is_counted_by_two(
    client: Client, carer: Person, lead: Person
) -> None:
    product = a_product(lead, name="buprenorphine", drug="buprenorphine", controlled=True)
    lot = a_lot(lead, product, came="5")
    address = reverse("move-lot", args=[lot.pk])
    form = {"once": str(new_id()), "kind": "counted", "amount": "4.9", "second": ""}
    page = client.post(address, form)
    assert page.status_code == 422
    assert "a second person counts it too" in page.content.decode()
    assert client.post(address, form | {"second": str(carer.pk)}).status_code == 422  # oneself
    assert client.post(address, form | {"second": str(lead.pk)}).status_code == 302
    counted = StockMovement.objects.get(kind="counted")
    assert {counted.made_by, counted.second} == {carer, lead}
    assert left_in([lot.pk])[lot.pk] == Decimal("4.9")


def test_nothing_left_is_an_answer_and_no_answer_is_not_nothing(
    client: Client, lead: Person
) -> None:
    lot = a_lot(lead, a_product(lead), came=None)
    assert left_in([lot.pk])[lot.pk] is None
    assert "nobody knows how much" in client.get(reverse("shelf")).content.decode()
    address = reverse("move-lot", args=[lot.pk])
    form = {"once": str(new_id()), "kind": "counted", "amount": ""}
    assert client.post(address, form).status_code == 422
    client.post(address, form | {"amount": "0"})
    assert left_in([lot.pk])[lot.pk] == 0


def test_what_is_thrown_away_says_why(client: Client, lead: Person) -> None:
    lot = a_lot(lead, a_product(lead))
    address = reverse("move-lot", args=[lot.pk])
    form = {"once": str(new_id()), "kind": "thrown_away", "amount": "20", "why": ""}
    assert client.post(address, form).status_code == 422
    assert client.post(address, form | {"why": "expired; back to the pharmacy"}).status_code == 302
    assert left_in([lot.pk])[lot.pk] == 0


def test_what_expired_or_runs_out_before_the_courses_end_is_said(
    client: Client, carer: Person, lead: Person, light_sow: Animal, bottle: Product
) -> None:
    now, today = timezone.now(), timezone.localdate()
    a_lot(lead, bottle, number="OLD", expires_on=today - timedelta(days=3))
    full = bottle.lots.get(number="L1")
    move_stock(lead, full, Moved(kind="counted", amount=Decimal("0.07"), at=now), now)
    schedule = Schedule(every=days(10), ends=Ending(doses=4), first_on=today)
    order = an_order(
        carer, schedule=schedule, product=bottle.pk, ordered_at=now - timedelta(days=1), now=now
    )
    a_course(carer, light_sow, order, now=now)
    words = client.get(reverse("shelf")).content.decode()
    assert "Lot OLD expired" in words
    assert "runs out" in words  # 4 doses of 0.03 mL, and 0.07 mL there
    assert "The first dose without is number 3" in words


def test_a_label_read_anew_says_why_and_the_old_stays_readable(
    client: Client, lead: Person
) -> None:
    product = a_product(lead)
    address = reverse("change-product", args=[product.pk])
    form = product_form(name=product.name, drug="ivermectin", strength="2 % w/v")
    assert client.post(address, form | {"why": ""}).status_code == 422
    client.post(address, form | {"why": "read wrong the first time"})
    product.refresh_from_db()
    assert product.strength == "2 % w/v"
    words = client.get(reverse("product", args=[product.pk])).content.decode()
    assert "read wrong the first time" in words
    assert "strength: 1 % w/v" in words


def test_a_label_doses_are_drawn_by_is_changed_by_two(
    client: Client, lead: Person, light_sow: Animal, bottle: Product
) -> None:
    a_course(lead, light_sow, an_order(lead))
    address = reverse("change-product", args=[bottle.pk])
    form = product_form(name=bottle.name, drug="ivermectin", strength="0.1 % w/v", why="read again")
    alone = client.post(address, form)
    assert alone.status_code == 422
    assert "a second person reads it too" in alone.content.decode()
    bottle.refresh_from_db()
    assert bottle.strength == "1 % w/v"
    both = form | {"once": str(new_id()), "second": str(lead.pk)}
    assert client.post(address, both).status_code == 302
    bottle.refresh_from_db()
    assert bottle.strength == "0.1 % w/v"
    assert f"with: {lead}" in client.get(reverse("product", args=[bottle.pk])).content.decode()


def an_opioid(lead: Person, carer: Person) -> Lot:
    """Buprenorphine, which somebody forgot to tick as controlled."""
    product = a_product(lead, name="bup", drug="buprenorphine", strength="0.3 mg/mL")
    return add_lot(lead, product, {"number": "B1"}, NOW, came=Decimal(10), second=carer)


@pytest.mark.parametrize("kind", ["came", "used", "counted", "thrown_away"])
def test_what_the_formulary_calls_controlled_comes_and_goes_by_two(
    client: Client, lead: Person, carer: Person, kind: str
) -> None:
    lot = an_opioid(lead, carer)
    form = {"once": str(new_id()), "kind": kind, "amount": "2", "why": "spilt"}
    address = reverse("move-lot", args=[lot.pk])
    assert client.post(address, form).status_code == 422
    assert left_in([lot.pk]) == {lot.pk: Decimal(10)}
    assert client.post(address, form | {"second": str(lead.pk)}).status_code == 302


def test_one_alone_neither_unticks_a_controlled_medicine_nor_says_that_it_is_gone(
    client: Client, lead: Person, carer: Person
) -> None:
    lot = an_opioid(lead, carer)
    form = product_form(name="bup", drug="buprenorphine", strength="0.3 mg/mL", why="a mistake")
    assert client.post(reverse("change-product", args=[lot.product_id]), form).status_code == 422
    both = form | {"once": str(new_id()), "second": str(lead.pk)}
    assert client.post(reverse("change-product", args=[lot.product_id]), both).status_code == 302
    lot.product.refresh_from_db()
    assert lot.product.controlled  # although nobody ticked it
    gone = {"once": str(new_id()), "number": "B1", "gone_on": TODAY.isoformat(), "why": "empty"}
    assert client.post(reverse("change-lot", args=[lot.pk]), gone).status_code == 422
    lot.refresh_from_db()
    assert lot.gone_on is None


def test_a_lot_is_opened_on_a_day_that_was(client: Client, lead: Person) -> None:
    lot = a_lot(lead, a_product(lead))
    address = reverse("change-lot", args=[lot.pk])
    form = {
        "once": str(new_id()),
        "number": "L1",
        "expires_on": lot.expires_on.isoformat(),  # type: ignore[union-attr]
        "opened_on": (timezone.localdate() + timedelta(days=1)).isoformat(),
        "why": "opened",
    }
    assert client.post(address, form).status_code == 422
    client.post(address, form | {"opened_on": timezone.localdate().isoformat()})
    lot.refresh_from_db()
    assert lot.opened_on == timezone.localdate()
