"""The proposal taken up step by step: in order, ticked, refused where the house has changed."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.record.animals import move
from cavyround.record.models import Animal, Move, Pen, Person
from cavyround.record.places import Floor, keep_pen, keep_room
from tests.builders import an_animal

KNOWN = {"sex_sure": "sure", "neutered": "no", "pregnant": "no"}


@pytest.fixture
def pens(db: None) -> dict[str, Pen]:
    room, shed = keep_room("Long Room"), keep_room("Shed")
    floor = Floor(area_cm2=9800)
    return {
        "Hayloft": keep_pen(room, "Hayloft", "residents", floor=floor),
        "Clover": keep_pen(room, "Clover", "residents", floor=floor),
        "Quarantine": keep_pen(shed, "Quarantine", "quarantine", floor=floor),
    }


def lives(person: Person, name: str, pen: Pen, sex: str = "sow") -> Animal:
    known = KNOWN if sex == "sow" else KNOWN | {"pregnant": "unknown"}
    animal = an_animal(person, name=name, **known, sex=sex)
    move(person, animal, pen, timezone.now() - timedelta(days=150), why="lives there")
    return animal


@pytest.fixture
def client(carer: Person) -> Client:
    client = Client()
    client.force_login(carer)
    return client


def take_up(client: Client, *moves: tuple[Animal, Pen | None, Pen]) -> str:
    sent = " ".join(f"{one.pk}:{was.pk if was else ''}:{pen.pk}" for one, was, pen in moves)
    answer = client.post(reverse("house-proposal-step"), {"moves": sent}, follow=True)
    assert answer.status_code == 200
    return answer.content.decode()


def test_a_step_is_made_by_a_person_and_then_ticked(
    client: Client, lead: Person, pens: dict[str, Pen]
) -> None:
    lives(lead, "Fern", pens["Hayloft"])
    rue = an_animal(lead, name="Rue", on=timezone.localdate(), at=timezone.now(), **KNOWN)
    page = client.get(reverse("house-proposal")).content.decode()
    assert "1. Rue to Quarantine" in page
    assert f"{rue.pk}::{pens['Quarantine'].pk}" in page
    assert Move.objects.filter(animal=rue).count() == 0
    page = take_up(client, (rue, None, pens["Quarantine"]))
    assert "Rue is now in Quarantine" in page
    done = page.split("Done today")[1].split("</section>")[0]
    assert "Rue to Quarantine" in done
    assert "1. Rue" not in page


def test_two_that_changed_places_were_moved_at_one_moment(
    client: Client, lead: Person, pens: dict[str, Pen]
) -> None:
    fern, moss = lives(lead, "Fern", pens["Hayloft"]), lives(lead, "Moss", pens["Clover"], "boar")
    take_up(
        client,
        (moss, pens["Clover"], pens["Hayloft"]),
        (fern, pens["Hayloft"], pens["Clover"]),
    )
    last = [Move.objects.filter(animal=one).latest("made_at") for one in (fern, moss)]
    assert {one.pen for one in last} == {pens["Hayloft"], pens["Clover"]}
    assert last[0].at == last[1].at


def test_nothing_is_moved_where_the_house_is_otherwise_than_the_list_saw_it(
    client: Client, lead: Person, pens: dict[str, Pen]
) -> None:
    fern, moss = lives(lead, "Fern", pens["Hayloft"]), lives(lead, "Moss", pens["Clover"], "boar")
    before = Move.objects.count()
    page = take_up(client, (fern, pens["Quarantine"], pens["Clover"]))
    assert "Fern is no longer where it was" in page
    page = take_up(client, (fern, pens["Hayloft"], pens["Clover"]))
    assert "Nothing was moved" in page
    assert (
        "Nothing was moved"
        in client.post(
            reverse("house-proposal-step"), {"moves": f"x:y:z {moss.pk}"}, follow=True
        ).content.decode()
    )
    assert Move.objects.count() == before


def test_who_only_reads_moves_nobody(viewer: Person, lead: Person, pens: dict[str, Pen]) -> None:
    fern, reader = lives(lead, "Fern", pens["Hayloft"]), Client()
    reader.force_login(viewer)
    sent = {"moves": f"{fern.pk}:{pens['Hayloft'].pk}:{pens['Clover'].pk}"}
    assert reader.post(reverse("house-proposal-step"), sent).status_code == 403
    assert reader.get(reverse("house-proposal-step")).status_code in (403, 405)
