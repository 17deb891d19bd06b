"""A dose written down after it was given, and an entry put right."""

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.facts.schedules import Ending, Schedule, days
from cavyround.record.doses import DoseSaid, keep_dose
from cavyround.record.models import Animal, Course, DoseEntry, Person, Product
from cavyround.record.models.entries import new_id
from cavyround.record.shelf import left_in
from tests.builders import a_check, weighed
from tests.builders_medicines import a_course, an_order
from tests.web.conftest import SignedIn


@pytest.fixture
def course(carer: Person, sow: Animal, bottle: Product) -> Course:
    """Begun yesterday."""
    now = timezone.now()
    schedule = Schedule(
        every=days(10),
        ends=Ending(doses=4),
        first_on=timezone.localdate() - timedelta(days=1),
    )
    order = an_order(
        carer,
        schedule=schedule,
        product=bottle.pk,
        ordered_at=now - timedelta(days=2),
        now=now,
    )
    return a_course(carer, sow, order, now=now)


def form(**changes: Any) -> dict[str, Any]:
    yesterday = timezone.localdate() - timedelta(days=1)
    return {
        "once": str(new_id()),
        "on": yesterday.isoformat(),
        "at": "12:10",
        "number": "1",
        "outcome": "given",
    } | changes


def test_a_dose_from_paper_is_written_down_with_its_moment_and_bottle(
    client: Client, course: Course, bottle: Product
) -> None:
    lot = bottle.lots.get()
    address = reverse("dose-earlier", args=[course.pk])
    kept = client.post(address, form(lot=str(lot.pk), amount="0.03"))
    assert kept.status_code == 302
    entry = DoseEntry.objects.get()
    assert timezone.localtime(entry.at).strftime("%H:%M") == "12:10"
    assert str(left_in([lot.pk])[lot.pk]).startswith("19.97")


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"outcome": "refused"}, "Say what happened"),
        ({"amount": "0.03"}, "from which bottle"),
        ({"at": "soon"}, "no time of day"),
        ({"on": ""}, "The day is missing"),
        ({"outcome": ""}, "Choose one"),
    ],
)
def test_what_is_missing_is_said_beside_its_field(
    client: Client, course: Course, changes: dict[str, Any], words: str
) -> None:
    page = client.post(reverse("dose-earlier", args=[course.pk]), form(**changes))
    assert page.status_code == 422
    assert words in page.content.decode()
    assert not DoseEntry.objects.exists()


def given(person: Person, course: Course) -> DoseEntry:
    at = timezone.now() - timedelta(hours=3)
    return keep_dose(person, DoseSaid(course=course.pk, at=at, outcome="given", number=1), at)


def test_an_entry_is_put_right_with_a_reason_and_stays_readable(
    client: Client, carer: Person, course: Course
) -> None:
    entry = given(carer, course)
    address = reverse("dose-correct", args=[entry.pk])
    assert client.post(address, form(outcome="partly", why="half")).status_code == 422
    right = form(outcome="partly", why="half ran out", correct_why="seen on the towel later")
    assert client.post(address, right).status_code == 302
    assert [one.outcome for one in DoseEntry.objects.filter(corrections=None)] == ["partly"]
    words = client.get(reverse("course", args=[course.pk])).content.decode()
    assert "seen on the towel later" in words
    assert "<s>Given" in words
    assert client.get(address).status_code == 404  # what was corrected is corrected once


def test_what_never_happened_is_struck_out(client: Client, carer: Person, course: Course) -> None:
    entry = given(carer, course)
    struck = form(strike="on", correct_why="wrong animal")
    client.post(reverse("dose-correct", args=[entry.pk]), struck)
    assert not DoseEntry.objects.filter(corrections=None).exists()


def test_only_who_entered_it_or_a_lead_corrects_it(
    carer: Person, other_carer: Person, lead: Person, signed_in: SignedIn, course: Course
) -> None:
    entry = given(carer, course)
    address = reverse("dose-correct", args=[entry.pk])
    struck = form(strike="on", correct_why="wrong animal")
    page = signed_in(other_carer).post(address, struck)
    assert page.status_code == 422
    assert "Only a lead corrects" in page.content.decode()
    assert signed_in(lead).post(address, struck).status_code == 302


def test_the_animals_story_tells_of_its_course_and_its_doses(
    client: Client, carer: Person, course: Course
) -> None:
    given(carer, course)
    words = client.get(reverse("animal", args=[course.animal_id])).content.decode()
    story = words[words.index('id="story"') :]
    assert "A course begins" in story
    assert "on the word of Dr Isla Fern" in story
    assert "Ivermectin 0.4 mg/kg, number 1: given" in story


def test_an_amount_far_from_what_the_order_comes_to_says_why(
    client: Client, course: Course, bottle: Product, carer: Person, sow: Animal
) -> None:
    a_check(carer, sow, weighed(800), at=timezone.now() - timedelta(minutes=5))
    lot = str(bottle.lots.get().pk)
    address = reverse("dose-earlier", args=[course.pk])
    page = client.post(address, form(lot=lot, amount="0.3"))
    assert page.status_code == 422
    assert "The order comes to 0.03 mL" in page.content.decode()
    kept = client.post(address, form(lot=lot, amount="0.3", why="drawn up wrong: ring the vet"))
    assert kept.status_code == 302


def test_a_controlled_medicine_given_earlier_has_two_names(
    client: Client, carer: Person, lead: Person, sow: Animal
) -> None:
    order = an_order(lead, drug="buprenorphine", dose="0.05 mg/kg", strength="0.3 mg/mL")
    course = a_course(carer, sow, order)
    address = reverse("dose-earlier", args=[course.pk])
    assert client.post(address, form()).status_code == 422
    assert not DoseEntry.objects.exists()
    assert client.post(address, form(second=str(lead.pk))).status_code == 302


def test_a_bottle_is_open_from_the_day_something_was_drawn_from_it(
    client: Client, course: Course, bottle: Product
) -> None:
    lot = bottle.lots.get()
    assert lot.opened_on is None
    client.post(reverse("dose-earlier", args=[course.pk]), form(lot=str(lot.pk), amount="0.03"))
    lot.refresh_from_db()
    assert lot.opened_on == timezone.localdate() - timedelta(days=1)
    assert lot.statements.latest("made_at").why == "a dose was drawn from it"
