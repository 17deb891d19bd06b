"""Quarantine, outbreaks and mended stays as a carer uses them."""

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.giving import advise
from cavyround.record.animals import Coming, Leaving, add_animal, arrive, depart, move
from cavyround.record.contagion import CaseSaid, open_outbreak
from cavyround.record.models import (
    Animal,
    Move,
    MoveCorrected,
    Outbreak,
    OutbreakCase,
    OutbreakClosed,
    OutbreakSaid,
    PenCleaned,
    Person,
    QuarantineEnd,
    QuarantineSet,
    SharedUse,
)
from cavyround.record.models.entries import new_id
from tests.builders import a_check, a_pen, found
from tests.web.conftest import SignedIn

DAY = timedelta(days=1)


@pytest.fixture
def client(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


def comes(person: Person, name: str, pen: Any, days_ago: int = 60) -> Animal:
    at = timezone.now() - days_ago * DAY
    coming = Coming(on=at.date(), how="surrendered", came_from="a family", source="home")
    return add_animal(person, {"name": name}, coming, at, pen=pen)


def page(client: Client, name: str, *args: Any) -> str:
    answer = client.get(reverse(name, args=args))
    assert answer.status_code == 200
    return answer.content.decode()


def post(client: Client, view: str, *args: Any, code: Any = 302, **form: Any) -> str:
    answer = client.post(reverse(view, args=args), {"once": str(new_id())} | form)
    assert answer.status_code == code, answer.content.decode()[:3000]
    return answer.content.decode()


@pytest.fixture
def ringworm(lead: Person) -> Outbreak:
    clover, yarrow = a_pen(name="Clover"), a_pen(name="Yarrow")
    case = comes(lead, "Juniper", clover)
    comes(lead, "Cob", clover)
    comes(lead, "Teasel", yarrow)
    sold = comes(lead, "Pippin", clover)
    now = timezone.now()
    leaving = Leaving(on=(now - 5 * DAY).date(), how="adopted", went_to="the Pells")
    depart(lead, sold, leaving, now - 5 * DAY)
    said = CaseSaid(signs_at=now - 2 * DAY, sure="suspected", why="bald nose")
    return open_outbreak(lead, "ringworm", "Ringworm in Clover", "bald", case, said, now - 2 * DAY)


def test_the_outbreak_says_what_to_do_with_names(client: Client, ringworm: Outbreak) -> None:
    text = page(client, "outbreak", ringworm.pk)
    for words in (
        "Isolate",
        "Treat together",
        "Tell fosters and adopters",
        "the Pells",
        "Shared a pen or run with a case",
        "Cob",
        "Teasel",
        "nothing without an order",
        "New cases by day",
        "Contacts in time",
        "Reed and Frost",
    ):
        assert words in text, words


def test_the_exposed_are_on_todays_list(client: Client, ringworm: Outbreak) -> None:
    text = page(client, "today")
    assert "Exposed to ringworm" in text
    assert reverse("outbreak", args=[ringworm.pk]) in text


def test_an_outbreak_is_opened_from_the_advice_that_says_keep_apart(
    client: Client, carer: Person, lead: Person
) -> None:
    animal = comes(lead, "Juniper", a_pen(name="Clover"))
    check = a_check(
        carer,
        animal,
        found("bald_patch", "nose", "nose", kinds=["scaly"]),
        {"kind": "finish"},
        at=timezone.now() - DAY / 24,
    )
    given = advise(carer, check, timezone.now())
    assert given.isolate
    address = reverse("outbreak-new") + f"?advice={given.pk}"
    assert address.split("?")[0] in page(client, "advice", given.pk)
    text = client.get(address).content.decode()
    assert f'value="{animal.pk}" selected' in text
    post(
        client,
        "outbreak-new",
        animal=str(animal.pk),
        kind="ringworm",
        signs_on=timezone.localdate().isoformat(),
        sure="suspected",
        why="bald nose",
    )
    row = Outbreak.objects.get()
    assert row.name == "Ringworm"
    assert row.cases.get().animal == animal


def test_a_case_is_said_and_shows(client: Client, ringworm: Outbreak) -> None:
    cob = Animal.objects.get(name="Cob")
    day = timezone.localdate().isoformat()
    form = {"animal": str(cob.pk), "signs_on": day, "sure": "suspected", "why": "scaly ear"}
    post(client, "outbreak-case", ringworm.pk, **form)
    assert OutbreakCase.objects.filter(animal=cob).count() == 1
    assert "scaly ear" in page(client, "outbreak", ringworm.pk)
    assert "new case" in page(client, "outbreak", ringworm.pk)


def test_a_case_without_a_reason_comes_back_with_what_was_typed(
    client: Client, ringworm: Outbreak
) -> None:
    cob = Animal.objects.get(name="Cob")
    form = {"animal": str(cob.pk), "signs_on": "2026-01-05", "sure": "confirmed", "why": ""}
    text = post(client, "outbreak-case", ringworm.pk, code=422, **form)
    assert "Say which sign, test or vet&#x27;s word." in text
    assert "2026-01-05" in text
    assert not OutbreakCase.objects.filter(animal=cob).exists()


def test_it_closes_only_for_a_reason_while_something_is_missing(
    client: Client, ringworm: Outbreak
) -> None:
    answer = client.post(
        reverse("outbreak-said", args=[ringworm.pk]),
        {"once": str(new_id()), "code": "told", "words": "all told"},
    )
    assert answer.status_code == 302
    assert OutbreakSaid.objects.get().code == "told"
    text = post(client, "outbreak-close", ringworm.pk, code=422, why="")
    assert "Not every condition is met" in text
    post(client, "outbreak-close", ringworm.pk, why="the vet says it was none")
    closed = OutbreakClosed.objects.get()
    assert "cases_over" in closed.unmet
    assert "told" not in closed.unmet
    assert "Not met then" in page(client, "outbreak", ringworm.pk)
    assert "Ringworm in Clover" in page(client, "outbreaks")


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


def opening(animal: Animal, **said: str) -> dict[str, str]:
    day = timezone.localdate().isoformat()
    form = {"animal": str(animal.pk), "kind": "ringworm", "signs_on": day, "sure": "suspected"}
    return form | {"why": "bald nose", **said}


def test_one_that_was_adopted_and_is_back_the_same_day_is_here(
    client: Client, lead: Person, ringworm: Outbreak
) -> None:
    cob, now = Animal.objects.get(name="Cob"), timezone.now()
    leaving = Leaving(on=timezone.localdate(now), how="adopted", went_to="the Hills")
    depart(lead, cob, leaving, now - DAY / 24)
    assert "the Hills" in page(client, "outbreak", ringworm.pk)
    arrive(lead, cob, Coming(on=timezone.localdate(now), how="returned"), now - DAY / 48)
    text = page(client, "outbreak", ringworm.pk)
    assert "the Hills" not in text


def test_an_outbreak_is_opened_on_one_that_left(client: Client, ringworm: Outbreak) -> None:
    pippin = Animal.objects.get(name="Pippin")
    assert f"{pippin} (left " in page(client, "outbreak-new")
    post(client, "outbreak-new", **opening(pippin, kind="lice"))
    assert Outbreak.objects.filter(kind="lice", cases__animal=pippin).exists()


def test_the_same_kind_is_not_opened_twice_without_saying_that_it_is_another(
    client: Client, ringworm: Outbreak
) -> None:
    cob = Animal.objects.get(name="Cob")
    text = post(client, "outbreak-new", code=422, **opening(cob))
    assert "add the case there" in text
    assert reverse("outbreak-case", args=[ringworm.pk]) in text
    assert Outbreak.objects.count() == 1
    post(client, "outbreak-new", **opening(cob, another="on"))
    assert Outbreak.objects.count() == 2


def test_what_it_may_be_is_chosen_and_never_preset(client: Client, lead: Person) -> None:
    animal = comes(lead, "Wisp", a_pen(name="Clover"))
    text = post(client, "outbreak-new", code=422, **opening(animal, kind=""))
    assert "Choose what it may be." in text
    assert '<option value="mange" selected' not in page(client, "outbreak-new")


def test_a_day_still_to_come_begins_and_ends_no_case(client: Client, ringworm: Outbreak) -> None:
    cob = Animal.objects.get(name="Cob")
    tomorrow = (timezone.localdate() + DAY).isoformat()
    text = post(client, "outbreak-new", code=422, **opening(cob, kind="lice", signs_on=tomorrow))
    assert "This day is still to come." in text
    case = opening(cob, over_on=tomorrow)
    text = post(client, "outbreak-case", ringworm.pk, code=422, **case)
    assert "This day is still to come." in text
    assert OutbreakCase.objects.count() == 1


def test_on_its_first_day_nothing_is_called_changed_since_yesterday(
    client: Client, lead: Person
) -> None:
    animal = comes(lead, "Wisp", a_pen(name="Clover"))
    said = CaseSaid(signs_at=timezone.now() - DAY / 24, sure="suspected", why="bald nose")
    row = open_outbreak(lead, "lice", "Lice", "lice", animal, said, timezone.now() - DAY / 24)
    assert "Since yesterday" not in page(client, "outbreak", row.pk)


def test_what_an_outbreak_asks_for_is_printed_by_task_and_by_pen_with_boxes(
    client: Client, ringworm: Outbreak
) -> None:
    text = page(client, "outbreak-paper", ringworm.pk)
    by_task, by_pen = text.split("<h2>By pen</h2>")
    isolate = by_task.split('data-task="isolate"')[1].split("</section>")[0]
    assert 'class="tick"' in isolate
    assert "Juniper" in isolate
    assert "People: your own risk" in by_task
    assert "Clover, Long room" in by_pen
    cob = by_pen.split("<strong>Cob</strong>")[1].split("</ul>")[0]
    assert "Look at on these days, on " in cob
    assert cob.count('class="tick"') >= 2
    assert "in no pen, or not here" in by_pen
    assert "A tick on this paper is not in the record." in text
    assert reverse("outbreak-paper", args=[ringworm.pk]) in page(client, "outbreak", ringworm.pk)


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


def test_a_closed_outbreak_takes_no_case_and_says_to_open_another(
    client: Client, ringworm: Outbreak
) -> None:
    post(client, "outbreak-close", ringworm.pk, why="the vet says it was none")
    cob = Animal.objects.get(name="Cob")
    form = opening(cob)
    text = post(client, "outbreak-case", ringworm.pk, code=422, **form)
    assert "open a new outbreak for this" in text
    assert OutbreakCase.objects.count() == 1


def test_a_case_that_died_leaves_the_words_on_people_and_cleaning_until_done(
    client: Client, lead: Person, ringworm: Outbreak
) -> None:
    case, now = Animal.objects.get(name="Juniper"), timezone.now()
    depart(lead, case, Leaving(on=timezone.localdate(now), how="died"), now)
    text = page(client, "outbreak", ringworm.pk)
    assert 'data-task="people"' in text
    assert 'data-task="clean"' in text
    assert "1 animal not over" not in text


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
