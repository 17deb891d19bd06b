"""People of every role, the knowledge, and folders that are gone after the test."""

import os
from pathlib import Path

import pytest
from hypothesis import settings as drawing
from pytest_django import Settings

from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge
from cavyround.record.models import Animal, Person
from cavyround.record.people import add_person
from tests.builders import an_animal

# How long a busy machine takes over an example says nothing of the product. The examples are the
# same each time, so that who changes one thing is not told of another; CAVYROUND_SEEK=yes draws
# new ones.
drawing.register_profile("same", deadline=None, derandomize=True)
drawing.register_profile("seek", deadline=None, print_blob=True)
drawing.load_profile("seek" if os.environ.get("CAVYROUND_SEEK") else "same")

PASSWORD = "three hay racks and a tub"


@pytest.fixture(autouse=True)
def own_folders(settings: Settings, tmp_path: Path) -> None:
    """Photos go where nobody keeps any; a password takes no half second to hash."""
    settings.PHOTO_FOLDER = tmp_path / "photos"
    settings.STATIC_ROOT = None
    settings.OVERRIDE_FILE = ""
    settings.DEMO = False
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(scope="session")
def book() -> Knowledge:
    return load_knowledge()


@pytest.fixture
def lead(db: None) -> Person:
    return add_person("lead", PASSWORD, "lead", "Marjorie Oakes")


@pytest.fixture
def carer(db: None) -> Person:
    return add_person("carer", PASSWORD, "carer", "Tam Birch")


@pytest.fixture
def other_carer(db: None) -> Person:
    return add_person("other", PASSWORD, "carer", "Wyn Alder")


@pytest.fixture
def vet(db: None) -> Person:
    return add_person("vet", PASSWORD, "vet", "Isla Fern")


@pytest.fixture
def viewer(db: None) -> Person:
    return add_person("viewer", PASSWORD, "viewer", "Ned Quill")


@pytest.fixture
def sow(lead: Person) -> Animal:
    """A resident sow of the record."""
    return an_animal(lead)
