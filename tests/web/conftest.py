"""People of every role, and a browser's stand-in for each."""

from collections.abc import Callable

import pytest
from django.test import Client

from cavyround.record.models import Person
from cavyround.record.people import add_person

PASSWORD = "three hay racks and a tub"
SignedIn = Callable[[Person], Client]


@pytest.fixture
def lead(db: None) -> Person:
    return add_person("lead", PASSWORD, "lead", "Marjorie Oakes")


@pytest.fixture
def carer(db: None) -> Person:
    return add_person("carer", PASSWORD, "carer", "Tam Birch")


@pytest.fixture
def vet(db: None) -> Person:
    return add_person("vet", PASSWORD, "vet", "Isla Fern")


@pytest.fixture
def viewer(db: None) -> Person:
    return add_person("viewer", PASSWORD, "viewer", "Ned Quill")


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
