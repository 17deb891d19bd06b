"""Outbreaks as a carer uses them."""

from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.giving import advise
from cavyround.record.animals import Coming, Leaving, arrive, depart
from cavyround.record.contagion import CaseSaid, open_outbreak
from cavyround.record.models import (
    Animal,
    Outbreak,
    OutbreakCase,
    OutbreakClosed,
    OutbreakSaid,
    Person,
)
from cavyround.record.models.entries import new_id
from tests.builders import a_check, a_pen, found
from tests.web.contagion.made import DAY, comes, page, post


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
