"""The page that times a labour: begun, seen, taken back, over; and who else is told of it."""

from datetime import datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.giving import assess_check
from cavyround.advice.labour import labours_now
from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import (
    Animal,
    Labour,
    LabourOver,
    LabourSeen,
    LabourTakenBack,
    Litter,
    Person,
    VetNumber,
)
from cavyround.record.models.entries import new_id
from tests.builders import an_animal
from tests.web.animals_made import NAILS_CUT, a_check
from tests.web.conftest import SignedIn

MINUTE = timedelta(minutes=1)


@pytest.fixture
def client(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


@pytest.fixture
def fern(lead: Person) -> Animal:
    VetNumber.objects.create(words="Day and night", number="01632 960 100")
    return an_animal(lead, "Fern", sex="sow", sex_sure="sure", neutered="no", pregnant="yes")


def begin(client: Client, animal: Animal, **said: str) -> Labour:
    answer = client.post(reverse("animal-labour", args=[animal.pk]), said or {"start": "now"})
    assert answer.status_code == 302
    return Labour.objects.get(ends=None)


def tap(client: Client, row: Labour, what: str, **said: Any) -> Any:
    given = {"entry": str(new_id()), "what": what} | said
    return client.post(reverse("labour-seen", args=[row.pk]), given, HTTP_ACCEPT="application/json")


def page(client: Client, row: Labour) -> str:
    return client.get(reverse("labour", args=[row.pk])).content.decode()


def over(client: Client, row: Labour, **said: Any) -> Any:
    given = {"how": "born", "at": f"{timezone.localtime():%Y-%m-%dT%H:%M}", "alive": "", "dead": ""}
    return client.post(reverse("labour-over", args=[row.pk]), given | said)


def begun(person: Person, animal: Animal, ago: timedelta) -> Labour:
    at = timezone.now() - ago
    row = Labour(animal=animal, since=at, noticed_at=at, made_at=at, made_by=person)
    row.save()
    return row


def test_straining_is_timed_and_everybody_sees_it(
    client: Client, other_carer: Person, signed_in: SignedIn, fern: Animal
) -> None:
    row = begin(client, fern)
    shown = page(client, row)
    assert 'data-ring="later"' in shown
    assert "Ring the vet at" in shown
    assert "at the latest" in shown
    assert "tel:01632960100" in shown
    other = signed_in(other_carer)
    for address in (reverse("today"), reverse("house-expectant")):
        told = other.get(address).content.decode()
        assert "In labour now" in told
        assert reverse("labour", args=[row.pk]) in told
    assert (
        "In labour: ring the vet" in other.get(reverse("animal", args=[fern.pk])).content.decode()
    )


def test_after_ten_minutes_every_page_says_ring_the_vet_now(
    client: Client, carer: Person, fern: Animal
) -> None:
    row = begun(carer, fern, 11 * MINUTE)
    assert 'data-ring="now"' in page(client, row)
    for address in (
        reverse("today"),
        reverse("house-expectant"),
        reverse("animal", args=[fern.pk]),
    ):
        assert "ring the vet now" in client.get(address).content.decode()


def test_a_start_nobody_knows_is_said_and_rings_at_once(client: Client, fern: Animal) -> None:
    row = begin(client, fern, start="unknown")
    assert row.since is None
    shown = page(client, row)
    assert 'data-ring="now"' in shown
    assert "not known" in shown
    at = f"{timezone.localtime() - 2 * MINUTE:%Y-%m-%dT%H:%M}"
    assert client.post(reverse("labour-since", args=[row.pk]), {"at": at}).status_code == 302
    assert 'data-ring="later"' in page(client, row)


def test_a_second_carer_comes_to_the_same_page(
    client: Client, other_carer: Person, signed_in: SignedIn, fern: Animal
) -> None:
    row = begin(client, fern)
    other = signed_in(other_carer)
    answer = other.get(reverse("animal-labour", args=[fern.pk]))
    assert answer.headers["Location"] == reverse("labour", args=[row.pk])
    begin(other, fern, start="ago20")
    assert Labour.objects.count() == 1


def test_a_tap_sent_twice_is_one_and_is_kept_for_the_moment_it_was_made(
    client: Client, carer: Person, fern: Animal
) -> None:
    row = begun(carer, fern, 9 * MINUTE)
    made = timezone.now() - 4 * MINUTE
    sent: dict[str, Any] = {
        "entry": str(new_id()),
        "at": made.isoformat(),
        "sent_at": timezone.now().isoformat(),
    }
    for _ in range(2):
        assert tap(client, row, "pup_alive", **sent).json() == {"kept": True}
    seen = LabourSeen.objects.get()
    assert (seen.at, seen.made_by) == (made, carer)
    [state] = labours_now(timezone.now())
    assert state.call.ring_at == timezone.localtime(made) + 10 * MINUTE


def test_a_phone_an_hour_ahead_is_set_right(client: Client, carer: Person, fern: Animal) -> None:
    row = begun(carer, fern, 9 * MINUTE)
    ahead = timedelta(hours=1)
    now = timezone.now()
    tap(client, row, "pup_alive", at=(now + ahead).isoformat(), sent_at=(now + ahead).isoformat())
    at = LabourSeen.objects.get().at
    assert at is not None
    assert abs(at - now) < MINUTE


@pytest.mark.parametrize(
    "said", [{"what": "sings"}, {"what": ""}, {"sign": "moon"}, {"entry": "no id"}]
)
def test_a_tap_that_means_nothing_is_refused_with_words(
    client: Client, carer: Person, fern: Animal, said: dict[str, str]
) -> None:
    row = begun(carer, fern, MINUTE)
    answer = tap(client, row, said.pop("what", "pup_alive"), **said)
    assert answer.status_code == 422
    assert "tap once more" in answer.json()["why"]
    assert not LabourSeen.objects.exists()


def test_a_sign_is_an_emergency_at_once_and_a_slip_is_taken_back(
    client: Client, carer: Person, fern: Animal
) -> None:
    row = begun(carer, fern, MINUTE)
    tap(client, row, "", sign="discharge")
    assert 'data-ring="now"' in page(client, row)
    seen = LabourSeen.objects.get()
    client.post(reverse("labour-take-back", args=[seen.pk]))
    client.post(reverse("labour-take-back", args=[seen.pk]))
    assert LabourTakenBack.objects.count() == 1
    assert 'data-ring="later"' in page(client, row)
    story = client.get(reverse("animal", args=[fern.pk])).content.decode()
    assert "(taken back)" in story


def test_it_is_over_and_the_litter_is_written_down_with_it(
    client: Client, carer: Person, fern: Animal
) -> None:
    row = begun(carer, fern, 9 * MINUTE)
    for what in ("pup_alive", "pup_alive", "pup_dead"):
        tap(client, row, what)
    asked = client.get(reverse("labour-over", args=[row.pk])).content.decode()
    assert 'name="alive" value="2"' in asked
    assert over(client, row, alive="3", dead="1").status_code == 302
    litter = Litter.objects.get()
    assert (litter.dam, litter.born_alive, litter.born_dead) == (fern, 3, 1)
    fern.refresh_from_db()
    assert fern.pregnant == "unknown"
    assert labours_now(timezone.now()) == []
    assert "Born alive: 3" in page(client, row)


def test_a_litter_somebody_wrote_down_meanwhile_is_not_written_twice(
    client: Client, carer: Person, fern: Animal
) -> None:
    row = begun(carer, fern, 9 * MINUTE)
    day = timezone.localdate().isoformat()
    client.post(
        reverse("litter-new"), {"dam": str(fern.pk), "born_on": day, "alive": "2", "dead": "0"}
    )
    over(client, row, alive="2", dead="0")
    assert LabourOver.objects.get().litter == Litter.objects.get()


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"alive": "0", "dead": "0"}, "not over"),
        ({"alive": "", "dead": ""}, "Say how many were born"),
        ({"alive": "1", "dead": "0", "at": "2026-01-01T01:00"}, "after that"),
        ({"alive": "1", "dead": "0", "at": "2199-01-01T01:00"}, "future"),
        ({"alive": "1", "dead": "0", "at": ""}, "Give day and time"),
        ({"alive": "40"}, "At most 13"),
        ({"how": "none"}, "what the vet said"),
        ({"how": "vet"}, "Say which vet"),
        ({"how": "mistaken"}, "what it was instead"),
        ({"how": ""}, "Say how it ended"),
    ],
)
def test_an_end_that_cannot_be_is_said_and_closes_nothing(
    client: Client, carer: Person, fern: Animal, said: dict[str, str], words: str
) -> None:
    row = begun(carer, fern, 9 * MINUTE)
    answer = over(client, row, **said)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not LabourOver.objects.exists()
    assert not Litter.objects.exists()


def test_fewer_pups_than_were_tapped_are_asked_about(
    client: Client, carer: Person, fern: Animal
) -> None:
    row = begun(carer, fern, 9 * MINUTE)
    tap(client, row, "pup_alive")
    tap(client, row, "pup_alive")
    answer = over(client, row, alive="1", dead="0")
    assert answer.status_code == 422
    assert "2 were written down as born" in answer.content.decode()


def test_one_that_strained_and_brought_no_pup_stays_an_emergency_on_its_page(
    client: Client, carer: Person, fern: Animal
) -> None:
    row = begun(carer, fern, 30 * MINUTE)
    assert over(client, row, how="none", words="Dr Vale: come at once").status_code == 302
    assert "an emergency until the vet has seen her" in page(client, row)
    assert not Litter.objects.exists()


@pytest.mark.parametrize(
    ("at", "words"),
    [
        (timedelta(hours=1), "future"),
        (timedelta(days=-3), "more than two days ago"),
        (None, "Give the time"),
    ],
)
def test_a_start_that_cannot_be_is_said_beside_the_field(
    client: Client, fern: Animal, at: timedelta | None, words: str
) -> None:
    when = "" if at is None else f"{timezone.localtime() + at:%Y-%m-%dT%H:%M}"
    answer = client.post(reverse("animal-labour", args=[fern.pk]), {"at": when})
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not Labour.objects.exists()


def test_a_boar_that_strains_is_sent_to_the_vet_and_not_timed(client: Client, lead: Person) -> None:
    boar = an_animal(lead, "Moss", sex="boar", sex_sure="sure")
    answer = client.post(reverse("animal-labour", args=[boar.pk]), {"start": "now"})
    assert answer.status_code == 422
    assert "ring the vet now" in answer.content.decode()


def test_a_viewer_sees_the_page_and_taps_nothing(
    viewer: Person, carer: Person, signed_in: SignedIn, fern: Animal
) -> None:
    row = begun(carer, fern, MINUTE)
    eyes = signed_in(viewer)
    shown = page(eyes, row)
    assert "Ring the vet" in shown
    assert "A pup, alive" not in shown
    assert tap(eyes, row, "pup_alive").status_code == 403


def urgency(animal: Animal, person: Person) -> Urgency:
    check = a_check(person, animal, NAILS_CUT, at=timezone.now() - MINUTE)
    return assess_check(check, timezone.now())[0].urgency


def test_triage_knows_of_a_labour_that_lasts_too_long_whatever_the_check_says(
    carer: Person, fern: Animal
) -> None:
    before = urgency(fern, carer)
    assert before < Urgency.EMERGENCY
    begun(carer, fern, 11 * MINUTE)
    assert urgency(fern, carer) is Urgency.EMERGENCY


def test_triage_knows_of_a_birth_that_was_written_down_as_a_litter(
    carer: Person, fern: Animal, client: Client
) -> None:
    row = begun(carer, fern, 9 * MINUTE)
    over(client, row, alive="2", dead="0")
    check = a_check(carer, fern, NAILS_CUT, at=timezone.now() - MINUTE)
    events = assess_check(check, timezone.now())[1]["facts"]
    assert "gave_birth" in str(events)


def test_the_check_says_do_not_lift_her(client: Client, carer: Person, fern: Animal) -> None:
    begun(carer, fern, MINUTE)
    told = client.get(reverse("round"), {"animal": str(fern.pk)}).content.decode()
    assert "She is giving birth: do not lift her" in told


def test_the_page_of_two_days_says_the_day(client: Client, carer: Person, fern: Animal) -> None:
    row = begun(carer, fern, timedelta(hours=30))
    when = timezone.localtime(row.noticed_at)
    assert isinstance(when, datetime)
    assert f"{when.day} {when:%B %Y}" in page(client, row)
