"""A course's page, the medicines of the day, newcomers' standing orders, and who decides what."""

from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.medicines.running import courses_running
from cavyround.advice.medicines.working import work_out_for
from cavyround.facts.schedules import DayOff, Ending, Schedule, days
from cavyround.record.doses import DoseSaid, keep_dose
from cavyround.record.models import (
    Animal,
    Course,
    Person,
    Product,
    ReasonSetAside,
    StandingDeclined,
)
from cavyround.record.models import DayOff as DayOffRow
from cavyround.record.models.entries import new_id
from tests.builders import an_animal
from tests.builders_medicines import a_course, an_order, care_order


def begun(person: Person, animal: Animal, **said: Any) -> Course:
    """A course that begins today."""
    now = timezone.now()
    schedule = Schedule(every=days(10), ends=Ending(doses=4), first_on=timezone.localdate())
    known = {"schedule": schedule, "ordered_at": now - timedelta(days=1), "now": now, **said}
    return a_course(person, animal, an_order(person, **known), now=now)


def page(client: Client, name: str, *args: object) -> str:
    answer = client.get(reverse(name, args=args))
    assert answer.status_code == 200
    return answer.content.decode()


def test_a_course_shows_the_dose_at_todays_weight_and_what_comes(
    client: Client, carer: Person, light_sow: Animal, bottle: Product
) -> None:
    course = begun(carer, light_sow, against=("trixacarus",), withdrawal_days=28)
    words = page(client, "course", course.pk)
    assert "Draw up to 0.03 mL" in words
    assert "Dose 1 of 4: due" in words
    assert "dose 4 of 4" in words.lower()
    assert "Against the parasite" in words
    assert "not adopted until 28 days after its last dose" in words
    assert "ask the vet before giving it" in words  # what the order says of a late dose


def test_a_thinned_dose_says_so_before_the_mark(
    client: Client, carer: Person, light_sow: Animal, bottle: Product
) -> None:
    course = begun(carer, light_sow, dose="0.2 mg/kg", diluent="propylene glycol")
    words = page(client, "course", course.pk)
    assert "10 times too strong to draw up" in words
    assert words.index("Thin it first") < words.index("of the thinned liquid (1 mg/mL) draw up")


def test_every_reason_is_shown_and_a_vet_sets_one_aside_by_name_and_reason(
    client: Client, carer: Person, light_sow: Animal, bottle: Product
) -> None:
    course = begun(carer, light_sow, dose="0.7 mg/kg")
    words = page(client, "course", course.pk)
    assert "No dose is worked out" in words
    stop = "above the highest published dose for guinea pigs"
    assert stop in words
    start = words.index("?reason=") + len("?reason=")
    key = words[start : words.index('"', start)]
    address = f"{reverse('reason-aside', args=[course.pk])}?reason={key}"
    today = timezone.localdate()
    said = {
        "once": str(new_id()),
        "role": "vet",
        "by_name": "Dr Fern",
        "why": "",
        "word": "telephone",
        "said_on": today.isoformat(),
    }
    wordless = said | {"why": "the mites did not yield to 0.5", "word": "", "said_on": ""}
    assert client.post(address, wordless).status_code == 422
    assert client.post(address, wordless | {"word": "self"}).status_code == 422
    assert client.post(address, said).status_code == 422
    assert client.post(address, said | {"role": "carer"}).status_code == 422
    kept = client.post(address, said | {"why": "the mites did not yield to 0.5"})
    assert kept.status_code == 302
    assert ReasonSetAside.objects.get().by_name == "Dr Fern"
    order = page(client, "order", course.order_id)
    assert "the mites did not yield" in order
    on = f"{today.day} {today:%B %Y}"
    assert f"on the word of Dr Fern by telephone on {on}, entered by {carer}" in order


def test_a_reason_nobody_may_set_aside_has_no_form(
    client: Client, carer: Person, light_sow: Animal, bottle: Product
) -> None:
    course = begun(carer, light_sow, drug="amoxicillin", route="by_mouth")
    words = page(client, "course", course.pk)
    assert "nobody may set this aside" in words
    key = next(one.key for one in _reasons(course) if one.may == "nobody")
    address = f"{reverse('reason-aside', args=[course.pk])}?reason={key}"
    said = {"once": str(new_id()), "role": "vet", "by_name": "Dr Fern", "why": "I say so"}
    assert client.post(address, said).status_code == 404
    assert not ReasonSetAside.objects.exists()


def _reasons(course: Course) -> Any:
    now = timezone.now()
    (one,) = courses_running(now, [course.animal_id])
    return work_out_for(one, now).result.reasons  # type: ignore[union-attr]


def test_what_was_given_stands_on_the_page_with_who_and_why(
    client: Client, carer: Person, other_carer: Person, light_sow: Animal
) -> None:
    course = begun(carer, light_sow)
    said = DoseSaid(
        course=course.pk,
        at=timezone.now() - timedelta(minutes=1),
        outcome="spat_out",
        why="turned its head",
        number=1,
        second=other_carer.pk,
        second_said="0.03 mL",
    )
    keep_dose(carer, said, timezone.now())
    words = page(client, "course", course.pk)
    assert "Spat out, perhaps some went in" in words
    assert "by Tam Birch, checked by Wyn Alder" in words
    assert "Turned its head" in words
    assert "vomit" not in words  # guinea pigs cannot


def test_it_ends_with_a_look_and_clear(
    client: Client, carer: Person, light_sow: Animal, bottle: Product
) -> None:
    schedule = Schedule(every=None, ends=Ending(doses=1), first_on=timezone.localdate())
    course = begun(carer, light_sow, schedule=schedule, recheck_days=1)
    at = timezone.now()
    keep_dose(carer, DoseSaid(course=course.pk, at=at, outcome="given", number=1), at)
    assert "all doses done" in page(client, "course", course.pk).lower()
    look = {"once": str(new_id()), "clear": "no", "note": "one mite"}
    assert client.post(reverse("course-look", args=[course.pk]), look).status_code == 302
    assert "not clear" in page(client, "course", course.pk).lower()


def test_a_course_is_stopped_with_a_reason(client: Client, carer: Person, sow: Animal) -> None:
    course = begun(carer, sow)
    address = reverse("course-stop", args=[course.pk])
    assert client.post(address, {"once": str(new_id()), "why": ""}).status_code == 422
    client.post(address, {"once": str(new_id()), "why": "Dr Fern: it is not mites"})
    assert "it is not mites" in page(client, "course", course.pk)


def test_the_day_shows_what_is_due_and_what_runs(
    client: Client, carer: Person, light_sow: Animal, bottle: Product
) -> None:
    begun(carer, light_sow)
    words = page(client, "medicines")
    assert "Bramble" in words
    assert "dose 1" in words.lower()
    assert "This prescribes nothing" in words
    assert "poisons line" in words  # accidental contact with people


def test_the_animals_page_says_what_runs_what_it_does_not_bear_and_what_keeps_it(
    client: Client, carer: Person, light_sow: Animal
) -> None:
    begun(carer, light_sow, withdrawal_days=28)
    form = {"once": str(new_id()), "name": "enrofloxacin", "note": "went off its food"}
    client.post(reverse("allergy-add", args=[light_sow.pk]), form)
    words = page(client, "animal", light_sow.pk)
    assert "Does not bear enrofloxacin" in words
    assert "not adopted until 28 days after its last dose" in words
    assert "Dose 1 of 4" in words
    assert "Not to be adopted yet" in page(client, "animal-depart", light_sow.pk)


def test_a_standing_order_proposes_and_a_person_confirms_or_declines(
    client: Client, carer: Person, lead: Person, bottle: Product
) -> None:
    now = timezone.now()
    today = timezone.localdate()
    schedule = Schedule(every=days(10), ends=Ending(doses=3), first_on=today)
    order = an_order(
        carer, standing=True, schedule=schedule, ordered_at=now - timedelta(days=30), now=now
    )
    new = an_animal(lead, "Newcomer", on=today, at=now)
    declined = an_animal(lead, "Stranger", on=today, at=now)
    pup = an_animal(lead, "Pup", on=today, at=now, how="born_here")
    old = an_animal(lead, "Oldtimer")
    words = page(client, "medicines")
    assert "Newcomer" in words
    assert "Stranger" in words
    assert pup.name not in words
    assert old.name not in words
    assert not Course.objects.exists()  # proposed, not begun
    client.post(reverse("follow-standing", args=[order.pk, new.pk]), {"answer": "confirm"})
    assert Course.objects.get().animal == new
    assert Course.objects.get().first_on == today
    address = reverse("follow-standing", args=[order.pk, declined.pk])
    client.post(address, {"answer": "decline", "why": ""})
    assert not StandingDeclined.objects.exists()
    client.post(address, {"answer": "decline", "why": "the vet treats it"})
    assert StandingDeclined.objects.get().why == "the vet treats it"
    assert "Proposed for newcomers" not in page(client, "medicines")


def test_care_shows_its_caution_and_no_dose(client: Client, carer: Person, sow: Animal) -> None:
    now = timezone.now()
    schedule = Schedule(every=days(1), ends=Ending(doses=7), first_on=timezone.localdate())
    order = care_order(carer, schedule=schedule, ordered_at=now - timedelta(days=1), now=now)
    course = a_course(carer, sow, order, now=now)
    words = page(client, "course", course.pk)
    assert "By mouth, not in the water" in words
    assert "The dose at today" not in words


@pytest.mark.parametrize("name", ["medicines", "shelf"])
def test_a_viewer_reads_and_is_offered_no_entry(
    viewer: Person, signed_in: Any, carer: Person, sow: Animal, name: str
) -> None:
    begun(carer, sow)
    words = page(signed_in(viewer), name)
    assert "Enter a vet" not in words
    assert "Something new on the shelf" not in words


def test_a_day_when_nobody_is_there_moves_a_dose_only_where_the_order_allows(
    client: Client, carer: Person, sow: Animal, lead: Person
) -> None:
    now, today = timezone.now(), timezone.localdate()
    tomorrow = today + timedelta(days=1)
    other = an_animal(lead, "Clover", at=now)
    may_move: dict[str, Any] = {"day_off": DayOff.LATER, "move_days": 2}
    for animal, allowed in ((sow, may_move), (other, {})):
        schedule = Schedule(every=days(10), ends=Ending(doses=2), first_on=tomorrow, **allowed)
        begun(carer, animal, schedule=schedule)
    form = {"once": str(new_id()), "day": tomorrow.isoformat(), "why": "closed"}
    assert client.post(reverse("day-off-add"), form).status_code == 302
    moved, kept = (
        one.due.next for one in sorted(courses_running(now), key=lambda c: c.row.animal.name)
    )
    assert moved is not None
    assert kept is not None
    assert moved.day == tomorrow + timedelta(days=1)
    assert kept.day == tomorrow
    row = DayOffRow.objects.get()
    client.post(reverse("day-off-end", args=[row.pk]))
    assert all(one.due.next.day == tomorrow for one in courses_running(now) if one.due.next)


def asked(client: Client, address: str) -> int:
    with CaptureQueriesContext(connection) as queries:
        assert client.get(address).status_code == 200
    return len(queries)


@pytest.mark.parametrize("name", ["medicines", "shelf"])
def test_twelve_courses_ask_the_database_no_more_often_than_two(
    client: Client, carer: Person, lead: Person, bottle: Product, name: str
) -> None:
    now = timezone.now()
    for number in range(2):
        begun(carer, an_animal(lead, f"Sow {number}", at=now))
    address = reverse(name)
    client.get(address)
    few = asked(client, address)
    for number in range(2, 12):
        begun(carer, an_animal(lead, f"Sow {number}", at=now))
    assert asked(client, address) <= few
