"""Quarantine, stays and what was shared, as a carer uses them."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.record.animals import Coming, add_animal, move
from cavyround.record.models import (
    Move,
    MoveCorrected,
    Outbreak,
    PenCleaned,
    Person,
    QuarantineEnd,
    QuarantineSet,
    SharedUse,
)
from tests.builders import a_pen
from tests.web.conftest import SignedIn
from tests.web.contagion.made import DAY, comes, page, post


def test_who_is_in_quarantine_until_when_and_what_is_missing(client: Client, lead: Person) -> None:
    comes(lead, "Clary", a_pen("quarantine", name="Q1"), days_ago=6)
    text = page(client, "quarantine")
    assert "Clary" in text
    assert "in 15 days" in text
    assert "No whole check yet" in text


def test_its_time_is_set_and_it_ends_for_a_reason(client: Client, lead: Person) -> None:
    animal = comes(lead, "Clary", a_pen("quarantine", name="Q1"), days_ago=6)
    form = {
        "began_on": (timezone.localdate() - 6 * DAY).isoformat(),
        "suspected": "mange",
        "days": "40",
        "second_look_days": "14",
        "last_check_days": "7",
        "why": "itches",
    }
    post(client, "quarantine-set", animal.pk, **form)
    assert QuarantineSet.objects.get().days == 40
    assert "in 34 days" in page(client, "quarantine")
    text = post(client, "quarantine-set", animal.pk, code=422, **(form | {"days": "0"}))
    assert "A whole number of days from 1 to 365." in text
    text = post(client, "quarantine-end", animal.pk, code=422, why="")
    assert "Not everything is met" in text
    post(client, "quarantine-end", animal.pk, why="the vet says so")
    assert "time" in QuarantineEnd.objects.get().missing
    assert "Nobody is in quarantine" in page(client, "quarantine")


def test_a_stay_in_no_pen_is_shown_and_mended(client: Client, lead: Person) -> None:
    animal = comes(lead, "Wisp", None, days_ago=3)
    clover = a_pen(name="Clover")
    assert "Nobody wrote down which pen it was in." in page(client, "quarantine")
    assert "not known where" in page(client, "animal-stays", animal.pk)
    early = timezone.localtime() - 3 * DAY - DAY / 24
    at = early.strftime("%Y-%m-%dT%H:%M")
    post(client, "move-earlier", animal.pk, pen=str(clover.pk), at=at, why="by the cage card")
    assert "Nobody wrote down" not in page(client, "quarantine")
    animal.refresh_from_db()
    assert animal.pen == clover


def test_a_wrong_move_is_withdrawn_with_a_reason_and_stays_in_the_record(
    client: Client, lead: Person
) -> None:
    clover = a_pen(name="Clover")
    animal = comes(lead, "Wisp", clover)
    wrong = move(lead, animal, a_pen(name="Yarrow"), timezone.now() - DAY)
    text = post(client, "move-correct", wrong.pk, code=422, withdrawn="on", why="")
    assert "Say why: what was wrong" in text
    post(client, "move-correct", wrong.pk, withdrawn="on", why="the wrong animal")
    animal.refresh_from_db()
    assert animal.pen == clover
    assert MoveCorrected.objects.get().withdrawn
    assert Move.objects.filter(pk=wrong.pk).exists()


def test_what_was_shared_and_what_was_cleaned_is_written_down(client: Client, lead: Person) -> None:
    pen = a_pen(name="Clover")
    one, two = comes(lead, "A", pen), comes(lead, "B", pen)
    at = timezone.localtime().strftime("%Y-%m-%dT%H:%M")
    form = {"animals": [str(one.pk), str(two.pk)], "kind": "run", "name": "Lawn", "began_at": at}
    post(client, "shared-new", **form)
    assert SharedUse.objects.filter(name="Lawn").count() == 2
    later = form | {"ended_at": (timezone.localtime() - DAY).strftime("%Y-%m-%dT%H:%M")}
    assert "It ends before it begins" in post(client, "shared-new", code=422, **later)
    post(client, "pen-cleaned", pen.pk, at=at, how="sprayed wet, ten minutes")
    assert PenCleaned.objects.get().pen == pen


def test_a_viewer_reads_and_writes_nothing(
    viewer: Person, signed_in: SignedIn, ringworm: Outbreak
) -> None:
    reader = signed_in(viewer)
    text = page(reader, "outbreak", ringworm.pk)
    assert "It has it" not in text
    assert reader.get(reverse("outbreak-new")).status_code == 403
    assert reader.get(reverse("quarantine")).status_code == 200


def test_the_quarantine_sheet_has_a_box_for_each_thing_that_is_missing(
    client: Client, lead: Person
) -> None:
    comes(lead, "Clary", a_pen("quarantine", name="Q1"), days_ago=6)
    text = page(client, "quarantine-paper")
    clary = text.split("<h3>Clary</h3>")[1].split("</section>")[0]
    assert "No whole check yet: do one." in clary
    assert clary.count('class="tick"') >= 4
    assert reverse("quarantine-paper") in page(client, "quarantine")


BEFORE, TO_COME = "2020-01-01T10:00", "2031-01-01T10:00"


@pytest.mark.parametrize(
    ("at", "words"),
    [
        ("0001-01-01T10:00", "Look at the year again."),
        (BEFORE, "before that it was not here"),
        (TO_COME, "This lies in the future."),
        ("", "Give day and time"),
        ("tuesday", "Give day and time"),
    ],
)
def test_a_forgotten_move_at_no_possible_moment_comes_back_with_what_was_typed(
    client: Client, lead: Person, at: str, words: str
) -> None:
    animal, pen = comes(lead, "Wisp", None), a_pen(name="Clover")
    form = {"pen": str(pen.pk), "at": at, "why": "Tam saw it"}
    text = post(client, "move-earlier", animal.pk, code=422, **form)
    assert words in text
    assert "Tam saw it" in text
    assert not Move.objects.filter(animal=animal, pen=pen).exists()


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"began_at": "0001-01-01T10:00"}, "Look at the year again."),
        ({"ended_at": "2020-01-01T10:00"}, "It ends before it begins."),
        ({"began_at": "2020-10-25T01:30"}, "The clock was changed that night"),
        ({"name": ""}, "Give it a name"),
    ],
)
def test_a_shared_run_that_cannot_have_been_is_not_kept(
    client: Client, lead: Person, settings: Any, said: dict[str, str], words: str
) -> None:
    settings.TIME_ZONE = "Europe/London"
    animal = comes(lead, "Wisp", a_pen(name="Clover"))
    now = timezone.localtime().strftime("%Y-%m-%dT%H:%M")
    form = {"animals": str(animal.pk), "kind": "run", "name": "Lawn run", "began_at": now} | said
    text = post(client, "shared-new", code=422, **form)
    assert words in text
    assert not SharedUse.objects.exists()


def test_a_quarantine_shorter_than_proposed_is_set_on_somebodys_word_only(
    client: Client, lead: Person
) -> None:
    animal = comes(lead, "Rhubarb", a_pen("quarantine", name="Q1"), days_ago=3)
    day = timezone.localdate().isoformat()
    form = {"began_on": day, "days": "1", "second_look_days": "1", "last_check_days": "365"}
    form |= {"suspected": "", "why": "new"}
    said = post(client, "quarantine-set", animal.pk, code=422, **form)
    for words in ("Proposed are 21 days", "after 14 days", "within 7 days", "say on whose"):
        assert words in said, words
    usual = form | {"days": "21", "second_look_days": "14", "last_check_days": "7"}
    said = post(client, "quarantine-set", animal.pk, code=422, **usual | {"suspected": "ringworm"})
    assert "Proposed are" in said, "ringworm needs longer than the 21 days left in the field"
    assert QuarantineSet.objects.count() == 0
    post(client, "quarantine-set", animal.pk, **form | {"on_word": "Dr Ash"})
    assert QuarantineSet.objects.get().why == "new (on the word of Dr Ash)"


def test_a_quarantine_does_not_begin_before_the_animal_came(client: Client, lead: Person) -> None:
    animal = comes(lead, "Rhubarb", a_pen("quarantine", name="Q1"), days_ago=3)
    form = {"began_on": "2007-05-01", "days": "21", "second_look_days": "14"}
    form |= {"last_check_days": "7", "suspected": "", "why": "new"}
    said = post(client, "quarantine-set", animal.pk, code=422, **form)
    assert "cannot begin before" in said


def test_the_days_proposed_for_one_from_nobody_knows_where_are_the_longer_ones(
    client: Client, lead: Person
) -> None:
    at = timezone.now() - 3 * DAY
    coming = Coming(on=at.date(), how="found")
    stray = add_animal(lead, {"name": "Stray"}, coming, at, pen=a_pen(name="Clover"))
    text = page(client, "quarantine-set", stray.pk)
    assert 'value="35"' in text
