"""Orders, courses and bottles of the record for tests, with only what a test says of them."""

from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from cavyround.facts.schedules import Ending, Schedule, days
from cavyround.record.courses import begin_course
from cavyround.record.models import Animal, Course, Lot, Order, Person, Product
from cavyround.record.orders import OrderSaid, place_order
from cavyround.record.shelf import add_lot, add_product
from tests.builders import NOW, TODAY

ORDERED = NOW - timedelta(days=2)


def every_days(amount: int, *, doses: int | None = None, first: date = TODAY) -> Schedule:
    return Schedule(every=days(amount), ends=Ending(doses=doses), first_on=first)


def an_order(person: Person, *, now: datetime = NOW, **said: Any) -> Order:
    """Ivermectin under the skin, four times, ten days apart, on a vet's word."""
    known: dict[str, Any] = {
        "drug": "ivermectin",
        "vet": "Dr Isla Fern",
        "ordered_at": ORDERED,
        "why": "mites seen in a scraping",
        "dose": "0.4 mg/kg",
        "route": "under_skin",
        "strength": "10 mg/mL",
        "schedule": every_days(10, doses=4),
        **said,
    }
    return place_order(person, OrderSaid(**known), now)


def care_order(person: Person, **said: Any) -> Order:
    """Vitamin C by mouth, every day for a week."""
    return an_order(
        person,
        **{
            "drug": "",
            "care": "vitamin_c_by_mouth",
            "dose": "",
            "route": "",
            "strength": "",
            "why": "crusty mouth corners",
            "schedule": every_days(1, doses=7),
            **said,
        },
    )


def a_course(
    person: Person, animal: Animal, order: Order | None = None, *, now: datetime = NOW
) -> Course:
    return begin_course(person, order or an_order(person), animal, now)


def a_product(person: Person, **said: Any) -> Product:
    known: dict[str, Any] = {
        "name": "ivermectin injection",
        "drug": "ivermectin",
        "strength": "1 % w/v",
        **said,
    }
    return add_product(person, known, NOW)


def a_lot(person: Person, product: Product, *, came: str | None = "20", **said: Any) -> Lot:
    known: dict[str, Any] = {
        "number": "L1",
        "expires_on": TODAY + timedelta(days=300),
        **said,
    }
    amount = Decimal(came) if came else None
    second = None
    if product.controlled:
        second, _ = Person.objects.get_or_create(username="witness")
    return add_lot(person, product, known, NOW, came=amount, second=second)


def a_syringe(person: Person, code: str = "ml_1_by_0_01") -> Product:
    """A syringe of the knowledge, of which there are some."""
    product = add_product(
        person,
        {"name": code, "kind": "supply", "unit": "pieces", "syringe": code},
        NOW,
    )
    a_lot(person, product, came="50", expires_on=None)
    return product
