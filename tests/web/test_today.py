"""Today's list: who is due, in what order, and what stands above it."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from cavyround.record.animals import Coming, add_animal
from cavyround.record.contagion import end_quarantine
from cavyround.record.models import AdviceGiven, Animal, Check, Pen, Person, Room, StepState
from cavyround.record.models.entries import new_id
from cavyround.record.promises import LookAgainAt, answer_as_vet, ask_vet, promise
from tests.builders import a_full_check
from tests.builders_medicines import a_course, care_order, every_days
from tests.web.conftest import SignedIn


@pytest.fixture
def pens(db: None) -> dict[str, Pen]:
    """One pen of each kind, in an order that is not that of the round."""
    room = Room.objects.create(name="the front room")
    kinds = ("isolation", "quarantine", "residents", "nursery", "sick_bay")
    return {
        kind: Pen.objects.create(room=room, name=f"Pen {number}", kind=kind, position=number)
        for number, kind in enumerate(kinds, 1)
    }


def animal(person: Person, name: str, pen: Pen | None = None, days_ago: int = 0) -> Animal:
    now = timezone.now()
    coming = Coming(on=timezone.localdate(now) - timedelta(days=days_ago), how="surrendered")
    return add_animal(person, {"name": name}, coming, now, pen=pen)


def checked(one: Animal, person: Person, days_ago: int = 0) -> None:
    at = timezone.now() - timedelta(days=days_ago)
    check = Check.objects.create(
        animal=one, started_at=at, started_by=person, finished_at=at, planned=["manner"]
    )
    StepState.objects.create(
        id=new_id(), animal=one, check_in=check, at=at, by=person, step="manner", state="normal"
    )


def advised(one: Animal, person: Person, urgency: str) -> None:
    AdviceGiven(
        animal=one,
        urgency=urgency,
        result={},
        inputs={},
        software_version="test",
        knowledge_version="test",
        made_at=timezone.now(),
        made_by=person,
    ).save()


def page_of(client: Client) -> str:
    answer = client.get(reverse("today"))
    assert answer.status_code == 200
    return answer.content.decode()


def numbers(page: str) -> dict[str, int]:
    found = {}
    for piece in page.split("<dt>")[1:]:
        name, rest = piece.split("</dt><dd>")
        found[name] = int(rest.split("</dd>")[0])
    return found


def test_a_rescue_without_animals_is_told_how_the_list_fills(
    carer: Person, viewer: Person, signed_in: SignedIn
) -> None:
    assert "Take in the first animal" in page_of(signed_in(carer))
    page = page_of(signed_in(viewer))
    assert "No animals yet" in page
    assert "Take in the first animal" not in page


def test_when_nobody_is_due_the_page_says_so(carer: Person, signed_in: SignedIn) -> None:
    one = animal(carer, "Bramble", days_ago=400)
    checked(one, carer)
    page = page_of(signed_in(carer))
    assert "Nobody is due" in page
    assert numbers(page)["checked today"] == 1


def test_the_round_goes_from_the_nursery_to_isolation(
    carer: Person, pens: dict[str, Pen], signed_in: SignedIn
) -> None:
    for kind, pen in pens.items():
        animal(carer, f"Of {kind}", pen, days_ago=400)
    animal(carer, "Of no pen", days_ago=400)
    page = page_of(signed_in(carer))
    page = page[page.index('id="group-nursery"') :]
    order = ("nursery", "residents", "no pen", "quarantine", "sick_bay", "isolation")
    places = [page.index(f"Of {kind}") for kind in order]
    assert places == sorted(places)
    assert "Catching, or suspected: last of all" in page


def test_overdue_ones_come_first_in_their_room_and_say_how_long(
    carer: Person, pens: dict[str, Pen], signed_in: SignedIn
) -> None:
    animal(carer, "Aster", pens["residents"])
    animal(carer, "Zinnia", pens["residents"], days_ago=3)
    page = page_of(signed_in(carer))
    assert page.index("Zinnia") < page.index("Aster")
    assert "3 days overdue" in page
    assert numbers(page) | {"due": 2, "overdue": 1} == numbers(page)


def test_one_touch_starts_the_check_for_those_who_record(
    carer: Person, viewer: Person, signed_in: SignedIn
) -> None:
    one = animal(carer, "Bramble")
    touch = f'href="{reverse("check")}?animal={one.pk}&amp;kind=arrival"'
    assert touch in page_of(signed_in(carer))
    page = page_of(signed_in(viewer))
    assert touch not in page
    assert f'href="{reverse("animal", args=[one.pk])}"' in page


def test_the_row_says_why_how_urgent_and_who_is_at_it(
    carer: Person, lead: Person, signed_in: SignedIn
) -> None:
    one = animal(carer, "Bramble", days_ago=400)
    checked(one, carer, days_ago=2)
    now = timezone.now()
    promise(carer, one, LookAgainAt(due_at=now, words="crust at the left ear"), now)
    advised(one, carer, "vet_days")
    Check.objects.create(animal=one, started_at=now, started_by=lead)
    page = page_of(signed_in(carer))
    assert "Look again: crust at the left ear" in page
    assert "vet within days" in page
    assert "being checked by Marjorie Oakes" in page
    assert numbers(page)["follow-ups open"] == 1
    assert numbers(page)["to see a vet"] == 1


def test_an_animal_leaves_the_vet_list_once_later_advice_is_milder(
    carer: Person, signed_in: SignedIn
) -> None:
    one = animal(carer, "Bramble")
    advised(one, carer, "emergency")
    assert numbers(page_of(signed_in(carer)))["to see a vet"] == 1
    advised(one, carer, "carer_recheck")
    assert numbers(page_of(signed_in(carer)))["to see a vet"] == 0


def test_an_animal_that_left_is_neither_due_nor_counted(carer: Person, signed_in: SignedIn) -> None:
    one = animal(carer, "Bramble")
    now = timezone.now()
    promise(carer, one, LookAgainAt(due_at=now, words="left ear"), now)
    advised(one, carer, "vet_24h")
    Animal.objects.filter(pk=one.pk).update(left_on=timezone.localdate(now))
    assert "Bramble" not in page_of(signed_in(carer))
    assert numbers(page_of(signed_in(carer)))["follow-ups open"] == 0


def test_the_kit_and_the_standing_cautions_lie_folded_below(
    carer: Person, signed_in: SignedIn
) -> None:
    page = page_of(signed_in(carer))
    assert "Scales that read to 1 g" in page
    assert "Medicines only on a vet" in page
    assert "<details open" not in page


def test_two_hundred_animals_ask_the_database_no_more_often_than_six(
    carer: Person, pens: dict[str, Pen], signed_in: SignedIn
) -> None:
    client = signed_in(carer)
    kinds = list(pens.values())
    asked = {}
    for number in range(200):
        one = animal(carer, f"Pig {number}", kinds[number % len(kinds)], days_ago=number % 50)
        if number % 3 == 0:
            advised(one, carer, "vet_24h")
        if number in (5, 199):
            with CaptureQueriesContext(connection) as queries:
                page = page_of(client)
            asked[number] = len(queries)
    assert numbers(page)["due"] == 200
    assert asked[199] <= asked[5]


def test_questions_to_the_vet_stand_on_today_until_they_are_answered(
    carer: Person, vet: Person, pens: dict[str, Pen], signed_in: SignedIn
) -> None:
    sow = animal(carer, "Bramble", next(iter(pens.values())), days_ago=1)
    asked = ask_vet(carer, sow, "Does the lump want looking at?", timezone.now())
    assert "Does the lump want looking at?" in page_of(signed_in(vet))
    answer_as_vet(vet, asked, "Yes, on Thursday.", timezone.now())
    page = page_of(signed_in(carer))
    assert "Yes, on Thursday." in page
    assert "Does the lump want looking at?" not in page


def test_doses_of_the_day_are_counted_and_led_to(carer: Person, lead: Person, sow: Animal) -> None:
    client = Client()
    client.force_login(carer)
    nothing = client.get("/").content.decode()
    assert "Dose round" not in nothing
    today = timezone.localdate()
    now = timezone.now()
    order = care_order(
        lead,
        ordered_at=now - timedelta(days=1),
        schedule=every_days(1, doses=3, first=today),
        now=now,
    )
    a_course(lead, sow, order, now=now)
    assert "Dose round: 1 to give" in client.get("/").content.decode()


def whole_check(person: Person, one: Animal, days_ago: int) -> None:
    a_full_check(person, one, at=timezone.now() - timedelta(days=days_ago), kind="full")


def test_what_quarantine_asks_for_stands_on_the_list_until_a_check_does_it(
    carer: Person, pens: dict[str, Pen], signed_in: SignedIn
) -> None:
    one = animal(carer, "Bramble", pens["quarantine"], days_ago=30)
    whole_check(carer, one, days_ago=20)
    client = signed_in(carer)
    page = page_of(client)
    assert "Quarantine: second look at coat and skin" in page
    assert "whole check before it is ended" in page
    whole_check(carer, one, days_ago=0)
    page = page_of(client)
    assert "second look at coat and skin" not in page
    assert "whole check before it is ended" not in page


def test_a_quarantine_whose_time_is_over_has_its_own_line_until_somebody_ends_it(
    carer: Person, pens: dict[str, Pen], signed_in: SignedIn
) -> None:
    one = animal(carer, "Bramble", pens["quarantine"], days_ago=60)
    client = signed_in(carer)
    assert "No whole check yet" in page_of(client)
    for days_ago in (59, 0):
        whole_check(carer, one, days_ago)
    advised(one, carer, "normal")
    page = page_of(client)
    assert "may end: all is met." in page
    assert reverse("quarantine-end", args=[one.pk]) in page
    end_quarantine(carer, one, timezone.now())
    assert "Quarantine: the time is over" not in page_of(client)
