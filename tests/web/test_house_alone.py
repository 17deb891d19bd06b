"""Why an animal lives alone: who said it, whether company is still needed, and who ends it."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.housing import house_now
from cavyround.engines.housing import Proposal, as_it_is, propose
from cavyround.record.animals import Leaving, depart, move
from cavyround.record.living import Between, keep_tie
from cavyround.record.models import Animal, LivesAlone, LivesAloneEnd, Person
from cavyround.record.places import Floor, keep_pen, keep_room
from tests.builders import an_animal
from tests.web.conftest import SignedIn

DAY = timedelta(days=1)
TOMORROW = "tomorrow"
KNOWN = {"sex": "sow", "sex_sure": "sure", "neutered": "no", "pregnant": "no"}


@pytest.fixture
def client(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


@pytest.fixture
def sows(lead: Person) -> dict[str, Animal]:
    """Fern and Sage in the Hayloft, Rue alone in Clover."""
    room = keep_room("Long Room")
    hayloft = keep_pen(room, "Hayloft", "residents", floor=Floor(area_cm2=15000))
    clover = keep_pen(room, "Clover", "residents", floor=Floor(area_cm2=15000))
    found, now = {}, timezone.now()
    for name, pen in {"Fern": hayloft, "Sage": hayloft, "Rue": clover}.items():
        found[name] = an_animal(lead, name, on=timezone.localdate(now) - 300 * DAY, **KNOWN)
        move(lead, found[name], pen, now - 200 * DAY, why="lives there")
    return found


def say(client: Client, animal: Animal, **said: str) -> str:
    address = reverse("animal-alone", args=[animal.pk])
    answer = client.post(address, {"on": timezone.localdate().isoformat()} | said, follow=True)
    return answer.content.decode()


def page_of(client: Client, animal: Animal) -> str:
    return client.get(reverse("animal", args=[animal.pk])).content.decode()


def rules() -> list[str]:
    return [why.rule for why in as_it_is(house_now(timezone.now()))]


def test_one_alone_of_whom_nobody_said_why_needs_company(
    client: Client, sows: dict[str, Animal]
) -> None:
    page = page_of(client, sows["Rue"])
    assert "nobody has written down why. It needs company." in page
    assert "nobody has written down why" not in page_of(client, sows["Fern"])


def test_the_last_of_a_pair_is_said_and_still_needs_company(
    client: Client, sows: dict[str, Animal]
) -> None:
    since = timezone.localdate() - 12 * DAY
    said = say(client, sows["Rue"], because="last_of_pair", on=since.isoformat())
    assert "last of a pair or a group" in said
    row = LivesAlone.objects.get()
    assert (row.on, row.made_by.username) == (since, client.get("/").wsgi_request.user.username)
    assert "needs company" in page_of(client, sows["Rue"])
    whys = [w for w in as_it_is(house_now(timezone.now())) if w.rule == "alone"]
    assert [w.detail for w in whys] == [
        f"Rue: last of a pair or a group, since {since.day} {since:%B %Y}"
    ]
    house = client.get(reverse("house")).content.decode()
    assert "last of a pair or a group, since" in house


def test_a_vets_word_spares_it_company_and_the_planner_puts_nobody_with_it(
    client: Client, lead: Person, sows: dict[str, Animal]
) -> None:
    assert "alone" in rules()
    say(client, sows["Rue"], because="medical", said_by="Dr Orrin Vale")
    assert "alone" not in rules()
    assert (
        "Lives alone: the vet wants it alone (Dr Orrin Vale)"
        in client.get(reverse("house")).content.decode()
    )
    planned = propose(house_now(timezone.now()))
    assert isinstance(planned, Proposal)
    pen = str(sows["Rue"].pen_id)
    assert [one.animal for one in planned.placements if one.pen == pen] == [str(sows["Rue"].pk)]
    asked = client.get(
        reverse("animal-move", args=[sows["Fern"].pk]), {"pen": pen}
    ).content.decode()
    assert "written down as living alone" in asked
    move(lead, sows["Fern"], sows["Rue"].pen, timezone.now(), why="tried")
    assert "▲ But it shares" in page_of(client, sows["Rue"])


def test_quarantine_holds_only_while_it_is_kept_apart(
    client: Client, sows: dict[str, Animal]
) -> None:
    say(client, sows["Rue"], because="quarantine")
    assert "alone" in rules()
    assert "needs company as soon as that is over" in page_of(client, sows["Rue"])


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"because": ""}, "Choose why it lives alone"),
        ({"because": "bored"}, "This is not one of the choices"),
        ({"because": "medical"}, "Say which vet wants it alone"),
        ({"because": "other", "words": " "}, "Say in your own words"),
        ({"because": "fights", "on": ""}, "The day is missing"),
        ({"because": "fights", "on": TOMORROW}, "lies in the future"),
    ],
)
def test_what_does_not_fit_is_said_beside_the_field_and_nothing_typed_is_lost(
    client: Client, sows: dict[str, Animal], said: dict[str, str], words: str
) -> None:
    tomorrow = (timezone.localdate() + DAY).isoformat()
    given = {key: tomorrow if value == TOMORROW else value for key, value in said.items()}
    page = say(client, sows["Rue"], **({"words": "tried with Fern in May"} | given))
    assert words in page
    if "words" not in said:
        assert "tried with Fern in May" in page
    assert not LivesAlone.objects.exists()


def test_it_is_ended_with_a_reason_and_not_before_it_began(
    client: Client, sows: dict[str, Animal]
) -> None:
    say(client, sows["Rue"], because="fights")
    row = LivesAlone.objects.get()
    address = reverse("alone-end", args=[row.pk])
    early = (timezone.localdate() - 3 * DAY).isoformat()
    before = client.post(address, {"on": early, "why": "lives with Sage"})
    assert before.status_code == 422
    assert "before it began" in before.content.decode()
    assert "lives with Sage" in before.content.decode()
    assert client.post(address, {"on": timezone.localdate(), "why": ""}).status_code == 422
    done = client.post(address, {"on": timezone.localdate(), "why": "lives with Sage"})
    assert done.status_code == 302
    assert LivesAloneEnd.objects.get().why == "lives with Sage"
    story = page_of(client, sows["Rue"])
    assert "lives with Sage" in story
    assert "alone" in rules()


def test_said_anew_the_old_reason_ends_and_stays_readable(
    client: Client, sows: dict[str, Animal]
) -> None:
    say(client, sows["Rue"], because="fights")
    say(client, sows["Rue"], because="last_of_pair")
    assert LivesAlone.objects.filter(ends=None).get().because == "last_of_pair"
    assert "fights with all it was tried with" in page_of(client, sows["Rue"]).lower()


def test_the_form_asks_first_whether_it_is_the_last_of_a_bonded_pair(
    client: Client, lead: Person, sows: dict[str, Animal]
) -> None:
    now = timezone.now()
    bonded = Between(kind="bonded", on=timezone.localdate() - 90 * DAY)
    keep_tie(lead, sows["Fern"], sows["Sage"], bonded, now)
    depart(lead, sows["Sage"], Leaving(on=timezone.localdate(), how="adopted"), now)
    page = client.get(reverse("animal-alone", args=[sows["Fern"].pk])).content.decode()
    chosen = page.index('value="last_of_pair"')
    assert "checked" in page[chosen : chosen + 120]
