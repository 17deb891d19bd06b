"""The pages of the house: the plan, moves with reasons, the proposal, sows and litters."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.facts.stays import Stay
from cavyround.record.animals import move
from cavyround.record.models import (
    Animal,
    Castration,
    Introduction,
    Litter,
    Move,
    Person,
    PupsFelt,
    Sexing,
    Tie,
)
from cavyround.record.places import Floor, keep_pen, keep_room
from cavyround.web.house import plan
from tests.builders import an_animal

PAGES = (
    "house",
    "house-together",
    "house-proposal",
    "house-expectant",
    "house-introductions",
    "house-round",
)
KNOWN = {"sex_sure": "sure", "neutered": "no"}


@pytest.fixture
def house(lead: Person) -> dict[str, Animal]:
    """Two sows in the Hayloft, a boar in Clover, a newcomer in no pen; a shed for quarantine."""
    room, shed = keep_room("Long Room"), keep_room("Shed")
    hayloft = keep_pen(room, "Hayloft", "residents", floor=Floor(area_cm2=9800))
    clover = keep_pen(room, "Clover", "residents", floor=Floor(area_cm2=7200))
    keep_pen(shed, "Quarantine", "quarantine", floor=Floor(area_cm2=7200))
    now = timezone.now()
    fern, sage = (an_animal(lead, name=n, pregnant="no", **KNOWN) for n in ("Fern", "Sage"))
    moss = an_animal(lead, name="Moss", **(KNOWN | {"sex": "boar"}))
    for animal, pen in ((fern, hayloft), (sage, hayloft), (moss, clover)):
        move(lead, animal, pen, now - timedelta(days=90), why="lives there")
    new = an_animal(lead, name="Rue", on=timezone.localdate(now), **KNOWN)
    return {"fern": fern, "sage": sage, "moss": moss, "rue": new}


def signed_in(person: Person) -> Client:
    client = Client()
    client.force_login(person)
    return client


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("who", ["carer", "viewer"])
def test_every_page_is_shown_to_carers_and_viewers(
    name: str, who: str, house: dict[str, Animal], request: pytest.FixtureRequest
) -> None:
    answer = signed_in(request.getfixturevalue(who)).get(reverse(name))
    assert answer.status_code == 200


@pytest.mark.parametrize("name", PAGES)
def test_every_page_stands_in_an_empty_house(name: str, carer: Person) -> None:
    assert signed_in(carer).get(reverse(name)).status_code == 200


def test_the_plan_shows_who_lives_where_and_who_is_in_no_pen(
    house: dict[str, Animal], carer: Person
) -> None:
    page = signed_in(carer).get(reverse("house")).content.decode()
    assert "2 of 3 by floor" in page
    assert "In no pen" in page
    assert page.index("In no pen") < page.rindex("Rue")


def test_a_move_that_something_speaks_against_says_it_before_and_is_not_blocked(
    house: dict[str, Animal], carer: Person
) -> None:
    client, moss = signed_in(carer), house["moss"]
    pen = house["fern"].pen
    assert pen is not None
    address = reverse("animal-move", args=[moss.pk])
    asked = client.get(address, {"pen": pen.pk}).content.decode()
    assert "Boar and sow" in asked
    said = {"pen": pen.pk, "why": "the other pen leaks"}
    refused = client.post(address, said)
    assert refused.status_code == 422
    assert "Something speaks against this pen" in refused.content.decode()
    assert "the other pen leaks" in refused.content.decode()
    assert Move.objects.filter(animal=moss).count() == 1
    assert client.post(address, said | {"all_the_same": "on"}).status_code == 302
    moved = Move.objects.filter(animal=moss).latest("made_at")
    assert (moved.pen, moved.why, moved.made_by) == (pen, "the other pen leaks", carer)
    page = client.get(reverse("house")).content.decode()
    assert "a rule is broken" in page
    assert f'<a href="#pen-{pen.pk}">{pen.name}</a>' in page
    assert f'id="pen-{pen.pk}"' in page
    assert page.count("A sow that may give birth") == 1, "said once for both sows"
    assert "Part now from Moss" in client.get(reverse("today")).content.decode()


def test_a_move_without_a_reason_is_asked_for_one(house: dict[str, Animal], carer: Person) -> None:
    address = reverse("animal-move", args=[house["rue"].pk])
    answer = signed_in(carer).post(address, {"pen": house["moss"].pen_id, "why": ""})
    assert answer.status_code == 422
    assert "Say why" in answer.content.decode()


def test_the_proposal_moves_nobody_until_somebody_takes_it_up(
    house: dict[str, Animal], carer: Person
) -> None:
    client, rue = signed_in(carer), house["rue"]
    page = client.get(reverse("house-proposal")).content.decode()
    assert "Rue: no pen → Quarantine" in page
    assert "Proven" in page
    rue.refresh_from_db()
    assert rue.pen is None


def test_pairs_are_told_apart_with_the_reason(house: dict[str, Animal], carer: Person) -> None:
    page = signed_in(carer).get(reverse("house-together"), {"animal": str(house["fern"].pk)})
    text = page.content.decode()
    assert text.count("Boar and sow") == 2, "once of her, once among the rules"
    assert "may share" in text
    for animal in house.values():
        assert animal.name in text


def test_what_is_entered_of_an_animal_is_kept_once(house: dict[str, Animal], carer: Person) -> None:
    client, today = signed_in(carer), timezone.localdate().isoformat()
    fern, sage, moss = house["fern"], house["sage"], house["moss"]
    once = "01890a5d-ac96-774b-bcce-b302099a8057"
    for _ in range(2):
        client.post(
            reverse("animal-sexing", args=[fern.pk]),
            {"sex": "sow", "sure": "sure", "once": once},
        )
    assert Sexing.objects.count() == 1
    client.post(reverse("animal-neutered", args=[moss.pk]), {"on": today})
    assert Castration.objects.get().animal == moss
    client.post(reverse("animal-pups-felt", args=[fern.pk]), {"on": today, "pups": "3"})
    assert PupsFelt.objects.get().pups == 3
    client.post(reverse("litter-new"), {"dam": fern.pk, "born_on": today, "alive": "3"})
    assert Litter.objects.get().born_alive == 3
    client.post(
        reverse("tie-new"), {"one": fern.pk, "other": sage.pk, "kind": "bonded", "on": today}
    )
    assert Tie.objects.get().kind == "bonded"
    client.post(reverse("introduction-new"), {"animals": [fern.pk, sage.pk]})
    begun = Introduction.objects.get()
    client.post(reverse("introduction-end", args=[begun.pk]), {"outcome": "bonded"})
    assert begun.outcomes.count() == 1
    for name in PAGES:
        assert client.get(reverse(name)).status_code == 200


def test_two_that_disagree_on_the_sex_are_an_alarm_on_the_page(
    house: dict[str, Animal], carer: Person, lead: Person
) -> None:
    address = reverse("animal-sexing", args=[house["fern"].pk])
    signed_in(carer).post(address, {"sex": "sow", "sure": "sure"})
    signed_in(lead).post(address, {"sex": "boar", "sure": "sure"})
    page = signed_in(carer).get(reverse("house-expectant")).content.decode()
    assert "do not agree" in page
    house["fern"].refresh_from_db()
    assert house["fern"].sex == "unknown"


@pytest.mark.parametrize(
    "name", ["tie-new", "litter-new", "introduction-new", "animal-sexing", "animal-neutered"]
)
def test_a_viewer_enters_nothing(name: str, house: dict[str, Animal], viewer: Person) -> None:
    arguments = [house["fern"].pk] if name.startswith("animal") else []
    assert signed_in(viewer).post(reverse(name, args=arguments), {}).status_code == 403


@pytest.mark.parametrize(
    ("area", "words"), [("0", "some floor"), ("-4", "some floor"), ("two", "no whole number")]
)
def test_a_floor_that_cannot_be_is_refused_beside_its_field(
    area: str, words: str, house: dict[str, Animal], lead: Person
) -> None:
    pen = house["fern"].pen
    assert pen is not None
    said = {
        "what": "pen",
        "number": pen.pk,
        "room": pen.room_id,
        "name": pen.name,
        "kind": pen.kind,
        "area_cm2": area,
    }
    answer = signed_in(lead).post(reverse("pens"), said)
    assert answer.status_code == 422
    assert words in answer.content.decode()


def test_a_stay_that_cannot_be_right_is_shown_and_leads_to_where_it_is_mended(
    house: dict[str, Animal], carer: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    fern, now = house["fern"], timezone.now()
    row = Move.objects.filter(animal=fern).latest("made_at")
    backwards = Stay(
        animal=str(fern.pk),
        began_at=now,
        ended_at=now - timedelta(days=1),
        pen=str(fern.pen_id),
        id=str(row.pk),
    )
    monkeypatch.setattr(plan, "stays_of", lambda _animals: [backwards])
    page = signed_in(carer).get(reverse("house")).content.decode()
    assert "The stay ends before it begins" in page
    assert reverse("move-correct", args=[row.pk]) in page


def test_the_second_of_two_who_move_one_animal_is_told_what_the_first_did(
    house: dict[str, Animal], carer: Person, lead: Person
) -> None:
    client, fern = signed_in(carer), house["fern"]
    bay = keep_pen(keep_room("Bay"), "Sick bay", "sick_bay", floor=Floor(area_cm2=9800))
    apart = keep_pen(keep_room("Far"), "Isolation", "isolation", floor=Floor(area_cm2=9800))
    address = reverse("animal-move", args=[fern.pk])
    was = client.get(address).context["form"]["was"].value()
    move(lead, fern, apart, timezone.now(), why="a bald nose")
    said = {"pen": bay.pk, "why": "limps", "all_the_same": "on", "was": was}
    refused = client.post(address, said)
    assert refused.status_code == 422
    [words] = refused.context["form"].errors["pen"]
    assert str(lead) in words
    assert "Isolation" in words
    assert "a bald nose" in words
    fern.refresh_from_db()
    assert fern.pen == apart
    again = refused.context["form"]["was"].value()
    assert client.post(address, said | {"was": again}).status_code == 302
    fern.refresh_from_db()
    assert fern.pen == bay


def test_one_that_left_is_moved_nowhere(house: dict[str, Animal], carer: Person) -> None:
    client, moss = signed_in(carer), house["moss"]
    pen = house["fern"].pen
    assert pen is not None
    died = {"how": "died", "on": timezone.localdate().isoformat()}
    client.post(reverse("animal-depart", args=[moss.pk]), died)
    moves = Move.objects.filter(animal=moss).count()
    said = {"pen": pen.pk, "why": "an open page", "all_the_same": "on"}
    answer = client.post(reverse("animal-move", args=[moss.pk]), said)
    assert answer.status_code == 422
    assert "not here any more" in answer.content.decode()
    apart = {
        "began_on": timezone.localdate().isoformat(),
        "days": "21",
        "second_look_days": "14",
        "last_check_days": "7",
        "why": "an open page",
    }
    client.post(reverse("quarantine-set", args=[moss.pk]), apart)
    assert not moss.quarantines.exists()
    assert Move.objects.filter(animal=moss).count() == moves
