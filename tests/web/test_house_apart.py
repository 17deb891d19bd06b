"""What the pages of the house say of animals that are kept apart."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.record.animals import move
from cavyround.record.contagion import Apart, CaseSaid, open_outbreak, set_quarantine
from cavyround.record.models import Animal, Move, Outbreak, Person
from cavyround.record.places import Floor, keep_pen, keep_room
from tests.builders import an_animal
from tests.web.conftest import SignedIn

DAY = timedelta(days=1)
KNOWN = {"sex": "sow", "sex_sure": "sure", "neutered": "no", "pregnant": "no"}


@pytest.fixture
def client(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


@pytest.fixture
def sows(lead: Person) -> dict[str, Animal]:
    """Two sows in the Hayloft, one in Clover, and a shed for quarantine that is empty."""
    room, shed = keep_room("Long Room"), keep_room("Shed")
    hayloft = keep_pen(room, "Hayloft", "residents", floor=Floor(area_cm2=15000))
    clover = keep_pen(room, "Clover", "residents", floor=Floor(area_cm2=15000))
    keep_pen(shed, "Shed 1", "quarantine", floor=Floor(area_cm2=15000))
    places = {"Fern": hayloft, "Sage": hayloft, "Rue": clover}
    found, now = {}, timezone.now()
    for name, pen in places.items():
        found[name] = an_animal(lead, name, on=timezone.localdate(now) - 300 * DAY, **KNOWN)
        move(lead, found[name], pen, now - 200 * DAY, why="lives there")
    return found


def put_apart(person: Person, animal: Animal) -> str:
    """Its quarantine began three days ago; the day it ends, as it is written."""
    now = timezone.now()
    began = timezone.localdate(now) - 3 * DAY
    apart = Apart(
        began_on=began, days=21, second_look_days=14, last_check_days=7, why="met a stray"
    )
    set_quarantine(person, animal, apart, now - DAY)
    ends = began + 21 * DAY
    return f"until {ends.day} {ends:%B %Y}"


def test_a_move_to_one_in_quarantine_says_why_and_until_when_before_it_is_made(
    client: Client, lead: Person, sows: dict[str, Animal]
) -> None:
    until, rue = put_apart(lead, sows["Rue"]), sows["Rue"]
    fern = sows["Fern"]
    address = reverse("animal-move", args=[fern.pk])
    asked = client.get(address, {"pen": str(rue.pen_id)}).content.decode()
    assert "Rue in quarantine" in asked
    assert until in asked
    refused = client.post(address, {"pen": rue.pen_id, "why": "more room"})
    assert refused.status_code == 422
    assert until in refused.content.decode()
    assert Move.objects.filter(animal=fern).count() == 1


def test_the_proposal_takes_it_to_quarantine_and_says_why(
    client: Client, lead: Person, sows: dict[str, Animal]
) -> None:
    until = put_apart(lead, sows["Fern"])
    page = client.get(reverse("house-proposal")).content.decode()
    assert "Fern: Hayloft → Shed 1" in page
    assert until in page
    assert "met a stray" in page
    together = client.get(reverse("house-together"), {"animal": str(sows["Sage"].pk)})
    assert "shared a pen or air with Fern, in quarantine" in together.content.decode()


@pytest.fixture
def ringworm(lead: Person, sows: dict[str, Animal]) -> Outbreak:
    now = timezone.now()
    said = CaseSaid(signs_at=now - 2 * DAY, sure="suspected", why="bald nose")
    return open_outbreak(
        lead, "ringworm", "Ringworm in the Hayloft", "bald", sows["Fern"], said, now - 2 * DAY
    )


def test_the_pens_of_an_outbreak_bear_their_mark_in_words_on_the_plan(
    client: Client, ringworm: Outbreak, sows: dict[str, Animal]
) -> None:
    """A mark by colour alone would be lost on many."""
    page = client.get(reverse("outbreak", args=[ringworm.pk])).content.decode()
    boxes = {str(sows[name].pen_id): name for name in ("Fern", "Rue")}
    marks = {}
    for part in page.split('data-pen="')[1:]:
        key = part.split('"', 1)[0]
        if key in boxes and 'class="pen-mark">' in part:
            marks[boxes[key]] = part.split('class="pen-mark">', 1)[1].split("<", 1)[0]
    assert "case" in marks["Fern"].lower()
    assert "Fern" not in marks.get("Rue", "")
    assert marks["Rue"] != marks["Fern"]
    plain = client.get(reverse("house")).content.decode()
    assert "pen-mark" not in plain


def test_the_mate_of_a_case_is_not_put_to_others_without_a_warning(
    client: Client, ringworm: Outbreak, sows: dict[str, Animal]
) -> None:
    sage, rue = sows["Sage"], sows["Rue"]
    address = reverse("animal-move", args=[sage.pk])
    refused = client.post(address, {"pen": rue.pen_id, "why": "away from the case"})
    assert refused.status_code == 422
    text = refused.content.decode()
    assert "exposed to something catching and watched" in text
    assert "after the contact ends" in text
