"""A form that was sent and comes again: the same is one, and something else is never dropped."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from cavyround.record.models import Animal, Person, Room, VetQuestion
from cavyround.record.models.entries import new_id
from cavyround.web.animals.once import REMEMBERED
from tests.web.animals_made import an_animal, arrival_form
from tests.web.conftest import SignedIn


@pytest.fixture
def client(lead: Person, signed_in: SignedIn) -> Client:
    return signed_in(lead)


def once_in(answer: Any) -> str:
    return str(answer.context["form"]["once"].value())


def test_a_form_sent_again_with_something_else_in_it_is_shown_with_what_was_typed(
    client: Client,
) -> None:
    form = arrival_form()
    first = client.post(reverse("new-animal"), form)
    changed = form | {"name": "Clover", "colour": "three colours"}
    again = client.post(reverse("new-animal"), changed)
    page = again.content.decode()
    assert again.status_code == 422
    assert "This form was sent before" in page
    assert f"<a href='{first['Location']}'>look at it</a>".replace("&", "&amp;") in page
    assert 'value="Clover"' in page
    assert 'value="three colours"' in page
    assert [one.name for one in Animal.objects.all()] == ["Bracken"]
    # Sent as the page now stands it is kept as well, and once.
    for _ in range(2):
        sent = client.post(reverse("new-animal"), changed | {"once": once_in(again)})
        assert sent.status_code == 302
    assert sorted(one.name for one in Animal.objects.all()) == ["Bracken", "Clover"]


def test_the_same_form_sent_again_leads_to_the_same_place(client: Client) -> None:
    form = arrival_form()
    first = client.post(reverse("new-animal"), form)
    token = client.post(reverse("new-animal"), form | {"csrfmiddlewaretoken": "another"})
    assert token["Location"] == first["Location"]
    assert Animal.objects.count() == 1


def test_a_second_question_typed_over_the_first_is_not_lost(client: Client, lead: Person) -> None:
    address = reverse("ask-vet", args=[an_animal(lead).pk])
    form = {"once": str(new_id()), "text": "Is this a cyst?"}
    client.post(address, form)
    again = client.post(address, form | {"text": "And may she be moved?"})
    assert again.status_code == 422
    assert "And may she be moved?" in again.content.decode()
    client.post(address, {"once": once_in(again), "text": "And may she be moved?"})
    assert sorted(one.text for one in VetQuestion.objects.all()) == [
        "And may she be moved?",
        "Is this a cyst?",
    ]


def test_another_room_typed_over_the_first_is_not_lost(client: Client) -> None:
    form = {"once": str(new_id()), "what": "room", "name": "Front room"}
    assert client.post(reverse("pens"), form).status_code == 302
    assert client.post(reverse("pens"), form).status_code == 302
    again = client.post(reverse("pens"), form | {"name": "Barn"})
    assert again.status_code == 422
    assert "This form was sent before" in again.content.decode()
    assert 'value="Barn"' in again.content.decode()
    assert [one.name for one in Room.objects.all()] == ["Front room"]


def test_a_sign_in_of_yesterday_remembers_its_forms(client: Client, lead: Person) -> None:
    form = arrival_form()
    session = client.session
    session[REMEMBERED] = {form["once"]: "/animals/"}
    session.save()
    answer = client.post(reverse("new-animal"), form)
    assert answer["Location"] == "/animals/"
    assert not Animal.objects.exists()
