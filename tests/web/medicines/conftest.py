"""A carer at a browser, a weighed sow, and a shelf with a bottle and a syringe."""

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from cavyround.record.models import Animal, Person, Product
from cavyround.record.models.entries import new_id
from tests.builders import a_check, weighed
from tests.builders_medicines import a_lot, a_product, a_syringe
from tests.web.conftest import SignedIn


@pytest.fixture
def client(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


@pytest.fixture
def light_sow(carer: Person, sow: Animal) -> Animal:
    """800 g, weighed just now."""
    a_check(carer, sow, weighed(800), at=timezone.now() - timedelta(minutes=5))
    return sow


@pytest.fixture
def bottle(lead: Person) -> Product:
    """Ivermectin at 1 %, one lot of it, and a 1 mL syringe with marks of 0.01 mL."""
    product = a_product(lead)
    a_lot(lead, product, expires_on=timezone.localdate() + timedelta(days=200))
    a_syringe(lead)
    return product


def order_form(animal: Animal | None = None, **changes: Any) -> dict[str, Any]:
    """An order as a carer types it."""
    today = timezone.localdate().isoformat()
    said: dict[str, Any] = {
        "once": str(new_id()),
        "kind": "medicine",
        "drug": "ivermectin",
        "dose": "0.4 mg/kg",
        "route": "under_skin",
        "strength": "10 mg/mL",
        "vet": "Dr Isla Fern",
        "word": "telephone",
        "ordered_on": today,
        "why": "mites seen in a scraping",
        "often": "every 10 days",
        "first_on": today,
        "doses": "4",
        "if_late": "ask_vet",
        "if_missed": "ask_vet",
        "if_partly": "ask_vet",
        "act": "keep",
    }
    if animal is not None:
        said["animals"] = [str(animal.pk)]
    return said | changes
