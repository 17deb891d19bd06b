"""A carer at the pages, and an outbreak of ringworm in Clover."""

import pytest
from django.test import Client
from django.utils import timezone

from cavyround.record.animals import Leaving, depart
from cavyround.record.contagion import CaseSaid, open_outbreak
from cavyround.record.models import (
    Outbreak,
    Person,
)
from tests.builders import a_pen
from tests.web.conftest import SignedIn
from tests.web.contagion.made import DAY, comes


@pytest.fixture
def client(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


@pytest.fixture
def ringworm(lead: Person) -> Outbreak:
    clover, yarrow = a_pen(name="Clover"), a_pen(name="Yarrow")
    case = comes(lead, "Juniper", clover)
    comes(lead, "Cob", clover)
    comes(lead, "Teasel", yarrow)
    sold = comes(lead, "Pippin", clover)
    now = timezone.now()
    leaving = Leaving(on=(now - 5 * DAY).date(), how="adopted", went_to="the Pells")
    depart(lead, sold, leaving, now - 5 * DAY)
    said = CaseSaid(signs_at=now - 2 * DAY, sure="suspected", why="bald nose")
    return open_outbreak(lead, "ringworm", "Ringworm in Clover", "bald", case, said, now - 2 * DAY)
