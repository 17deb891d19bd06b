"""The day of the tests: every view reckons with it, so that nothing depends on today's date."""

import pytest
from django.test import Client
from django.utils import timezone

from cavyround.record.models import Animal, Pen, Person
from tests.builders import NOW, a_pen, an_animal
from tests.web.conftest import SignedIn


@pytest.fixture(autouse=True)
def on_the_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOW)


@pytest.fixture
def pen(db: None) -> Pen:
    return a_pen("residents", name="Clover")


@pytest.fixture
def bramble(lead: Person, pen: Pen) -> Animal:
    return an_animal(lead, "Bramble", pen=pen)


@pytest.fixture
def phone(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)
