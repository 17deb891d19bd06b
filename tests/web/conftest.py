"""The four roles together, and a browser's stand-in for each."""

from collections.abc import Callable

import pytest
from django.test import Client

from cavyround.record.models import Person
from cavyround.web.account.braking import BRAKE

SignedIn = Callable[[Person], Client]


@pytest.fixture(autouse=True)
def nobody_waits_to_sign_in() -> None:
    """What one test mistyped holds up no other."""
    BRAKE.clear()


@pytest.fixture
def personas(lead: Person, carer: Person, vet: Person, viewer: Person) -> dict[str, Person]:
    """All four by their role."""
    return {person.role: person for person in (lead, carer, vet, viewer)}


@pytest.fixture
def signed_in() -> SignedIn:
    """Give a person; get a client that is signed in as them."""

    def sign_in(person: Person) -> Client:
        client = Client()
        client.force_login(person)
        return client

    return sign_in
