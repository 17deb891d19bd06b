"""Who may open and send what of the animals' pages; rooms and pens."""

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.record.models import Animal, Check, Pen, Person, Room
from cavyround.record.models.entries import new_id
from cavyround.record.promises import Judged, LookAgainAt, ask_vet, mark_standing, promise
from tests.web.animals_made import a_check, a_pen, an_animal, entry_of, weight
from tests.web.conftest import SignedIn

ALL = {"lead", "carer", "vet", "viewer"}
RECORD = {"lead", "carer"}


@pytest.fixture
def animal(lead: Person) -> Animal:
    return an_animal(lead)


@pytest.fixture
def check(lead: Person, animal: Animal) -> Check:
    return a_check(lead, animal, weight(900))


Address = Callable[[Animal, Check], str]


def _of_animal(name: str) -> Address:
    return lambda animal, _: reverse(name, args=[animal.pk])


def _plain(name: str) -> Address:
    return lambda *_: reverse(name)


def _follow_up(animal: Animal, check: Check) -> str:
    person, now = check.started_by, timezone.now()
    made = promise(person, animal, LookAgainAt(due_at=now, words="eye"), now)
    return reverse("follow-up-settle", args=[made.pk])


def _mark(animal: Animal, check: Check) -> str:
    today = timezone.localdate()
    judged = Judged(region="flank", finding="lump", words="lump", said_by="vet", said_on=today)
    made = mark_standing(check.started_by, animal, judged, timezone.now())
    return reverse("standing-mark-end", args=[made.pk])


def _question(animal: Animal, check: Check) -> str:
    made = ask_vet(check.started_by, animal, "Why?", timezone.now())
    return reverse("answer-vet", args=[made.pk])


def _correct(animal: Animal, check: Check) -> str:
    return reverse("correct-entry", args=[check.pk, entry_of(check, "weight").pk])


PAGES: dict[str, tuple[Address, set[str]]] = {
    "animals": (_plain("animals"), ALL),
    "animal": (_of_animal("animal"), ALL),
    "animal-weights": (_of_animal("animal-weights"), ALL),
    "animal-state": (_of_animal("animal-state"), ALL),
    "check-history": (lambda _, check: reverse("check-history", args=[check.pk]), ALL),
    "pens": (_plain("pens"), ALL),
    "new-animal": (_plain("new-animal"), RECORD),
    "animal-depart": (_of_animal("animal-depart"), RECORD),
    "animal-return": (_of_animal("animal-return"), RECORD),
    "animal-move": (_of_animal("animal-move"), RECORD),
    "animal-photo": (_of_animal("animal-photo"), RECORD),
    "standing-mark": (_of_animal("standing-mark"), RECORD),
    "standing-mark-end": (_mark, RECORD),
    "follow-up-add": (_of_animal("follow-up-add"), RECORD),
    "follow-up-settle": (_follow_up, RECORD),
    "ask-vet": (_of_animal("ask-vet"), RECORD),
    "answer-vet": (_question, {"vet"}),
    "correct-entry": (_correct, {"lead"}),  # it is the lead's entry
}
SENDING = {
    "animal-state": {"lead"},  # the lead stated it
    "animal-face": RECORD,
    "pens": {"lead"},
}


@pytest.mark.parametrize("name", PAGES)
def test_each_page_opens_for_its_roles_and_for_no_other(
    name: str, personas: dict[str, Person], animal: Animal, check: Check, signed_in: SignedIn
) -> None:
    make, allowed = PAGES[name]
    address = make(animal, check)
    for role, person in personas.items():
        status = signed_in(person).get(address).status_code
        assert status == (200 if role in allowed else 403), role
    stranger = Client().get(address)
    assert stranger.status_code == 302
    assert stranger["Location"].startswith(reverse("sign-in"))


@pytest.mark.parametrize("name", [*(set(PAGES) - {"animals", "animal"}), "animal-face"])
def test_each_form_is_taken_from_its_roles_and_from_no_other(
    name: str, personas: dict[str, Person], animal: Animal, check: Check, signed_in: SignedIn
) -> None:
    make, allowed = PAGES.get(name, (_of_animal(name), RECORD))
    allowed = SENDING.get(name, allowed)
    address = make(animal, check)
    for role, person in personas.items():
        status = signed_in(person).post(address, {}).status_code
        assert (status == 403) == (role not in allowed), role


@pytest.mark.parametrize("name", ["animal", "animal-state", "animal-move", "animal-weights"])
def test_an_animal_nobody_knows_is_not_found(name: str, lead: Person, signed_in: SignedIn) -> None:
    assert signed_in(lead).get(reverse(name, args=[new_id()])).status_code == 404


def test_a_reader_is_offered_nothing_to_enter(
    viewer: Person, animal: Animal, check: Check, signed_in: SignedIn
) -> None:
    page = signed_in(viewer).get(reverse("animal", args=[animal.pk])).content.decode()
    for name in ("animal-move", "animal-depart", "standing-mark", "ask-vet", "animal-photo"):
        assert reverse(name, args=[animal.pk]) not in page
    assert f"{reverse('check')}?" not in page


def test_a_lead_adds_and_renames_rooms_and_pens(lead: Person, signed_in: SignedIn) -> None:
    client, address = signed_in(lead), reverse("pens")
    assert client.post(address, {"what": "room", "name": "Hay room"}).status_code == 302
    room = Room.objects.get()
    form = {"what": "pen", "room": room.pk, "name": "Pen 1", "kind": "quarantine"}
    assert client.post(address, form).status_code == 302
    pen = Pen.objects.get()
    changed = form | {"number": pen.pk, "name": "Apart 1"}
    assert client.post(address, changed).status_code == 302
    assert (
        client.post(address, {"what": "room", "number": room.pk, "name": "Far room"}).status_code
        == 302
    )
    assert str(Pen.objects.get()) == "Apart 1, Far room"


@pytest.mark.parametrize(
    ("form", "words"),
    [
        ({"what": "room", "name": " "}, "A name is missing"),
        ({"what": "room", "name": "Front room"}, "a room of this name already"),
        ({"what": "pen", "name": "Pen 9", "kind": "residents"}, "Choose the room"),
        ({"what": "pen", "name": "Pen 9", "kind": "attic"}, "not one of the choices"),
        ({"what": "pen", "name": "Pen 9", "number": "9" * 40}, "Choose the room"),
    ],
)
def test_a_room_or_pen_that_cannot_be_is_refused(
    lead: Person, signed_in: SignedIn, form: dict[str, str], words: str
) -> None:
    a_pen()
    answer = signed_in(lead).post(reverse("pens"), form)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert Pen.objects.count() == 1


def test_a_pen_has_one_name_in_its_room(lead: Person, signed_in: SignedIn) -> None:
    pen = a_pen("Pen 1")
    form = {"what": "pen", "room": pen.room_id, "name": "Pen 1", "kind": "residents"}
    answer = signed_in(lead).post(reverse("pens"), form)
    assert answer.status_code == 422
    assert "a pen of this name in this room" in answer.content.decode()


def test_a_pen_sent_twice_is_one(lead: Person, signed_in: SignedIn) -> None:
    client = signed_in(lead)
    form = {"what": "room", "name": "Hay room", "once": str(new_id())}
    for _ in range(2):
        assert client.post(reverse("pens"), form).status_code == 302
    assert Room.objects.count() == 1


def test_the_pens_say_who_lives_in_them(viewer: Person, lead: Person, signed_in: SignedIn) -> None:
    pen = a_pen()
    animal = an_animal(lead, "Clover")
    Animal.objects.filter(pk=animal.pk).update(pen=pen)
    page = signed_in(viewer).get(reverse("pens")).content.decode()
    assert "Clover" in page
    assert "Rename" not in page
