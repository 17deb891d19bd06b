"""Follow-ups, standing marks and questions to the vet."""

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.record.models import FollowUp, Person, StandingMark, VetAnswer, VetQuestion
from cavyround.record.models.entries import new_id
from cavyround.record.promises import LookAgainAt, ask_vet, promise
from tests.web.animals_made import an_animal
from tests.web.conftest import SignedIn


@pytest.fixture
def client(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


def mark_form(**changes: Any) -> dict[str, Any]:
    return {
        "once": str(new_id()),
        "region": "flank",
        "side": "R",
        "finding": "lump",
        "words": "soft fatty lump",
        "said_by": "Isla Fern",
        "said_on": timezone.localdate(),
        "view": "above",
        "x": "690",
        "y": "620",
        "size_mm": "14",
    } | changes


def test_a_promise_to_look_again_is_made_and_settled(client: Client, carer: Person) -> None:
    animal = an_animal(carer)
    form = {
        "words": "left eye",
        "when": "24",
        "region": "eye",
        "finding": "discharge",
        "until_gone": "on",
    }
    assert client.post(reverse("follow-up-add", args=[animal.pk]), form).status_code == 302
    made = FollowUp.objects.get()
    assert made.until_gone
    assert timedelta(hours=23) < made.due_at - timezone.now() <= timedelta(hours=24)
    address = reverse("follow-up-settle", args=[made.pk])
    assert client.post(address, {"outcome": "gone"}).status_code == 302
    assert made.outcomes.get().outcome == "gone"
    page = client.get(reverse("animal", args=[animal.pk])).content.decode()
    assert "Looked again: gone" in page
    assert "How is it now?" not in page


def test_a_promise_is_settled_once(client: Client, carer: Person) -> None:
    made = promise(
        carer, an_animal(carer), LookAgainAt(due_at=timezone.now(), words="ear"), timezone.now()
    )
    for outcome in ("gone", "worse"):
        client.post(reverse("follow-up-settle", args=[made.pk]), {"outcome": outcome})
    assert made.outcomes.get().outcome == "gone"


@pytest.mark.parametrize(
    ("form", "field"),
    [
        ({"when": "24"}, "words"),
        ({"words": "eye"}, "when"),
        ({"words": "eye", "when": "day"}, "day"),
        ({"words": "eye", "when": "day", "day": "2001-01-01"}, "day"),
        ({"words": "eye", "when": "day", "day": "9999-12-31"}, "day"),
        ({"words": "eye", "when": "day", "day": "0001-01-01"}, "day"),
        ({"words": "eye", "when": "24", "region": "eye"}, "finding"),
        ({"words": "eye", "when": "24", "finding": "discharge"}, "region"),
        ({"words": "eye", "when": "24", "region": "wing", "finding": "discharge"}, "region"),
    ],
)
def test_a_promise_that_says_too_little_is_refused(
    client: Client, carer: Person, form: dict[str, str], field: str
) -> None:
    answer = client.post(reverse("follow-up-add", args=[an_animal(carer).pk]), form)
    assert answer.status_code == 422
    assert field in answer.context["form"].errors
    assert not FollowUp.objects.exists()


def test_dropping_a_promise_needs_its_reason(client: Client, carer: Person) -> None:
    made = promise(
        carer, an_animal(carer), LookAgainAt(due_at=timezone.now(), words="ear"), timezone.now()
    )
    answer = client.post(reverse("follow-up-settle", args=[made.pk]), {"outcome": "dropped"})
    assert answer.status_code == 422
    assert "reason" in answer.context["form"].errors


def test_a_standing_mark_is_placed_and_ended_and_stays_readable(
    client: Client, carer: Person
) -> None:
    animal = an_animal(carer)
    assert client.post(reverse("standing-mark", args=[animal.pk]), mark_form()).status_code == 302
    mark = StandingMark.objects.get()
    assert (mark.view, mark.x, mark.y) == ("above", 690, 620)
    assert mark.size_mm == 14
    address = reverse("standing-mark-end", args=[mark.pk])
    assert client.post(address, {"reason": ""}).status_code == 422
    client.post(address, {"reason": "it has doubled"})
    page = client.get(reverse("animal", args=[animal.pk])).content.decode()
    assert "Standing mark ended" in page
    assert "it has doubled" in page
    assert "No longer holds" not in page


def test_a_mark_without_a_place_has_none(client: Client, carer: Person) -> None:
    client.post(reverse("standing-mark", args=[an_animal(carer).pk]), mark_form(view=""))
    mark = StandingMark.objects.get()
    assert (mark.x, mark.y) == (None, None)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"region": ""}, "region"),
        ({"finding": "wings"}, "finding"),
        ({"words": " "}, "words"),
        ({"said_by": ""}, "said_by"),
        ({"said_on": "3000-01-01"}, "said_on"),
        ({"size_mm": "nine"}, "size_mm"),
        ({"size_mm": "0"}, "size_mm"),
        ({"size_mm": "-5"}, "size_mm"),
        ({"size_mm": "912"}, "size_mm"),
        ({"x": "", "y": ""}, "view"),
        ({"x": "1001"}, "x"),
    ],
)
def test_a_mark_that_cannot_be_is_refused(
    client: Client, carer: Person, changes: dict[str, str], field: str
) -> None:
    address = reverse("standing-mark", args=[an_animal(carer).pk])
    answer = client.post(address, mark_form(**changes))
    assert answer.status_code == 422
    assert field in answer.context["form"].errors
    assert not StandingMark.objects.exists()


@pytest.mark.parametrize(
    ("name", "form", "model"),
    [
        ("standing-mark", mark_form, StandingMark),
        ("follow-up-add", lambda: {"words": "eye", "when": "24", "once": str(new_id())}, FollowUp),
        ("ask-vet", lambda: {"text": "Bathe it?", "once": str(new_id())}, VetQuestion),
    ],
)
def test_a_form_sent_twice_makes_one_row(
    client: Client, carer: Person, name: str, form: Any, model: Any
) -> None:
    animal, sent = an_animal(carer), form()
    for _ in range(2):
        assert client.post(reverse(name, args=[animal.pk]), sent).status_code == 302
    assert model.objects.count() == 1


def test_a_question_waits_on_the_page_until_the_vet_answers(
    client: Client, carer: Person, vet: Person, signed_in: SignedIn
) -> None:
    animal = an_animal(carer)
    client.post(reverse("ask-vet", args=[animal.pk]), {"text": "Bathe the eye?"})
    question = VetQuestion.objects.get()
    vets = signed_in(vet)
    address = reverse("answer-vet", args=[question.pk])
    assert address in vets.get(reverse("animal", args=[animal.pk])).content.decode()
    assert vets.post(address, {"text": ""}).status_code == 422
    assert vets.post(address, {"text": "Yes, boiled water."}).status_code == 302
    page = client.get(reverse("animal", args=[animal.pk])).content.decode()
    assert "Waiting for the vet" not in page
    assert "The vet answers" in page
    assert "Yes, boiled water." in page


def test_an_empty_question_is_refused(client: Client, carer: Person) -> None:
    answer = client.post(reverse("ask-vet", args=[an_animal(carer).pk]), {"text": "  "})
    assert answer.status_code == 422


def test_only_a_vet_answers(
    carer: Person, lead: Person, viewer: Person, signed_in: SignedIn
) -> None:
    question = ask_vet(carer, an_animal(carer), "Bathe it?", timezone.now())
    for person in (carer, lead, viewer):
        answer = signed_in(person).post(reverse("answer-vet", args=[question.pk]), {"text": "Yes"})
        assert answer.status_code == 403
    assert not VetAnswer.objects.exists()
