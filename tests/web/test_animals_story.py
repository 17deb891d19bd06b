"""The animal's page and the list of animals: who it is, what matters, and its story."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from cavyround.advice.giving import advise
from cavyround.record.animals import Coming, Leaving, arrive, depart, move
from cavyround.record.models import Animal, Person
from cavyround.record.promises import Judged, LookAgainAt, ask_vet, mark_standing, promise
from tests.web.animals_made import (
    FINISHED,
    NAILS_CUT,
    a_check,
    a_pen,
    an_animal,
    discharge,
    weight,
)
from tests.web.conftest import SignedIn


@pytest.fixture
def client(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


def page_of(client: Client, animal: Animal, **asked: str) -> str:
    answer = client.get(reverse("animal", args=[animal.pk]), asked)
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_page_says_who_the_animal_is(client: Client, carer: Person) -> None:
    details: dict[str, Any] = {
        "sex": "sow",
        "sex_sure": "two_people",
        "neutered": "no",
        "born_earliest": date(2023, 3, 3),
        "born_latest": date(2023, 6, 1),
        "coat": ["rough"],
        "colour": "tan and white",
        "dark_skin": True,
        "microchip": "968000004531234",
    }
    page = page_of(client, an_animal(carer, **details))
    for words in (
        "two people agree",
        "between 3 March 2023 and 1 June 2023",
        "rough or rosetted",
        "tan and white",
        "968 000 004 531 234",
        "surrendered, a family",
        "Sneezed in autumn.",
    ):
        assert words in page


def test_what_is_not_known_is_said_as_not_known(client: Client, carer: Person) -> None:
    page = page_of(client, an_animal(carer))
    assert "age not known" in page
    assert "sex not known" in page
    assert (
        "Not weighed yet"
        in client.get(reverse("animal-weights", args=[Animal.objects.get().pk])).content.decode()
    )


def test_the_check_button_leads_to_the_check(client: Client, carer: Person) -> None:
    animal = an_animal(carer)
    assert f"{reverse('check')}?animal={animal.pk}&amp;kind=full" in page_of(client, animal)


def test_look_again_is_offered_only_when_something_is_due(client: Client, carer: Person) -> None:
    animal, now = an_animal(carer), timezone.now()
    button = f"animal={animal.pk}&amp;kind=recheck"
    promise(carer, animal, LookAgainAt(due_at=now + timedelta(days=3), words="left ear"), now)
    assert button not in page_of(client, animal)
    promise(carer, animal, LookAgainAt(due_at=now - timedelta(hours=1), words="left eye"), now)
    page = page_of(client, animal)
    assert button in page
    assert "overdue" in page


def test_an_animal_that_left_is_not_offered_for_a_check(client: Client, carer: Person) -> None:
    animal = an_animal(carer)
    depart(carer, animal, Leaving(on=timezone.localdate(), how="adopted"), timezone.now())
    page = page_of(client, animal)
    assert f"{reverse('check')}?" not in page
    assert reverse("animal-return", args=[animal.pk]) in page


def test_the_last_advice_stands_on_the_page_with_what_to_do(client: Client, carer: Person) -> None:
    animal = an_animal(carer)
    check = a_check(carer, animal, discharge(), FINISHED)
    given = advise(carer, check, timezone.now())
    page = page_of(client, animal)
    assert "Last advice" in page
    assert 'class="urgency"' in page
    assert reverse("advice", args=[given.pk]) in page


def test_the_story_tells_everything_newest_first(client: Client, carer: Person) -> None:
    animal = an_animal(carer)
    move(carer, animal, a_pen(), timezone.now() - timedelta(days=2), why="more room")
    a_check(carer, animal, discharge(), weight(912), NAILS_CUT, FINISHED)
    ask_vet(carer, animal, "Bathe the eye?", timezone.now())
    page = page_of(client, animal)
    story = page[page.index("Its story") :]
    in_order = (
        "Bathe the eye?",
        "Full check",
        "912 g (2 lb 0.2 oz)",
        "discharge (yellow)",
        "nails cut, front feet",
        "Moved to Pen 1, Front room",
        "First entry",
    )
    places = [story.index(words) for words in in_order]
    assert places == sorted(places)


def test_a_check_that_was_not_finished_says_so(client: Client, carer: Person) -> None:
    animal = an_animal(carer)
    a_check(carer, animal, weight(912), {"kind": "put_down", "why": "gasping"})
    page = page_of(client, animal)
    assert "set down before the end" in page
    assert "gasping" in page


def test_the_story_comes_thirty_at_a_time_without_gap_or_repeat(
    client: Client, carer: Person
) -> None:
    animal = an_animal(carer)
    start = timezone.now() - timedelta(days=20)
    for number in range(70):
        move(carer, animal, None, start + timedelta(hours=number // 7), why=f"move no. {number:02}")
    seen: list[str] = []
    asked: dict[str, str] = {}
    for _ in range(5):
        answer = client.get(
            reverse("animal", args=[animal.pk]), asked, headers={"HX-Request": "true"}
        )
        story = answer.context["story"]
        assert len(story.chapters) <= 30
        seen += [line for chapter in story.chapters for line in chapter.lines]
        if not story.older:
            break
        asked = {"before": story.older}
    moves = [line for line in seen if line.startswith("Move no.")]
    assert sorted(moves) == [f"Move no. {number:02}" for number in range(70)]


@pytest.mark.parametrize("cursor", ["", "yesterday", "2026-03-03~x", "2026-03-03T09:00:00~x"])
def test_an_odd_cursor_gives_the_first_page(client: Client, carer: Person, cursor: str) -> None:
    assert "Its story" in page_of(client, an_animal(carer), before=cursor)


def test_a_long_story_costs_no_more_queries(
    client: Client, carer: Person, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    animal = an_animal(carer)
    for number in range(40):
        at = timezone.now() - timedelta(days=number + 1)
        a_check(carer, animal, discharge(), weight(900 + number), NAILS_CUT, FINISHED, at=at)
    page_of(client, animal)
    with django_assert_max_num_queries(48):
        page_of(client, animal)


def test_marks_stand_on_the_outline_and_in_the_list_beside(client: Client, carer: Person) -> None:
    animal, now = an_animal(carer), timezone.now()
    old = now - timedelta(days=90)
    a_check(
        carer,
        animal,
        {"kind": "mark", "view": "below", "x": 400, "y": 700, "words": "old graze"},
        at=old,
    )
    a_check(
        carer,
        animal,
        discharge(),
        lambda ids: {"kind": "mark", "view": "above", "x": 390, "y": 160, "observation": ids[0]},
    )
    lump = Judged(
        region="flank",
        finding="lump",
        words="fatty lump, vet saw it",
        said_by="Isla Fern",
        said_on=date(2026, 1, 3),
        size_mm=Decimal(14),
        view="above",
        x=690,
        y=620,
    )
    mark_standing(carer, animal, lump, now)
    page = page_of(client, animal)
    assert 'class="spot" transform="translate(390 160)"' in page
    assert 'class="spot spot-faint" transform="translate(400 700)"' in page
    assert 'class="spot spot-held" transform="translate(690 620)"' in page
    listed = page[page.index('class="spots"') :]
    assert "Left eye: discharge (yellow)" in listed
    assert "Old graze" in listed
    assert "Fatty lump, vet saw it" in listed


def test_the_weights_are_drawn_and_the_table_says_the_same(client: Client, carer: Person) -> None:
    animal, now = an_animal(carer), timezone.now()
    for days, grams in ((9, 905), (6, 911), (3, 899)):
        a_check(carer, animal, weight(grams), FINISHED, at=now - timedelta(days=days))
    a_check(carer, animal, weight(1911, doubted=True), FINISHED, at=now - timedelta(days=1))
    came = timezone.localdate() - timedelta(days=5)
    arrive(carer, animal, Coming(on=came, how="returned"), now)
    page = client.get(
        reverse("animal-weights", args=[animal.pk]), headers={"HX-Request": "true"}
    ).content.decode()
    assert "<html" not in page
    assert 'role="img" aria-label="Weight over time, 4 weighings' in page
    assert page.count("var(--leaf)") >= 3
    assert "came" in page
    for words in ("905 g", "911 g", "899 g", "1,911 g"):
        assert words in page
    assert page.count("doubted") >= 2


def test_the_weights_are_a_page_of_their_own_without_script(client: Client, carer: Person) -> None:
    animal = an_animal(carer)
    a_check(carer, animal, weight(905), FINISHED)
    page = client.get(reverse("animal-weights", args=[animal.pk])).content.decode()
    assert "<html" in page
    assert "905 g" in page


@pytest.mark.parametrize(
    ("asked", "names"),
    [
        ({}, {"Bracken", "Clover"}),
        ({"q": "brack"}, {"Bracken"}),
        ({"q": "968 000"}, {"Bracken"}),
        ({"q": "torn ear"}, {"Clover"}),
        ({"where": "left"}, {"Fennel"}),
        ({"where": "all"}, {"Bracken", "Clover", "Fennel"}),
        ({"pen": "none"}, {"Clover"}),
        ({"q": "nobody"}, set()),
        ({"where": "elsewhere", "page": "x", "pen": "y"}, {"Bracken", "Clover"}),
    ],
)
def test_animals_are_found_by_name_chip_marks_pen_and_whether_they_are_here(
    client: Client, carer: Person, asked: dict[str, str], names: set[str]
) -> None:
    now = timezone.now()
    bracken = an_animal(carer, "Bracken", microchip="968000004531234")
    move(carer, bracken, a_pen(), now)
    an_animal(carer, "Clover", identity_marks="a torn ear")
    left = an_animal(carer, "Fennel")
    depart(carer, left, Leaving(on=timezone.localdate(), how="adopted"), now)
    answer = client.get(reverse("animals"), asked)
    assert {row.name for row in answer.context["rows"]} == names


def test_the_list_asks_the_same_number_of_queries_for_one_and_for_forty(
    client: Client, carer: Person, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    for number in range(40):
        an_animal(carer, f"Animal {number}")
    client.get(reverse("animals"))
    with django_assert_max_num_queries(6):
        client.get(reverse("animals"))


@pytest.mark.parametrize(
    ("name", "asked"),
    [
        ("animals", {"pen": "9" * 30}),
        ("animals", {"pen": "٣"}),
        ("animals", {"pen": "-1"}),
        ("animals", {"q": "9" * 500}),
        ("animals", {"q": "\0"}),
        ("animals", {"page": "9" * 30}),
        ("new-animal", {"pen": "9" * 30}),
        ("new-animal", {"pen": "x"}),
        ("check", {"animal": "x", "after": "x", "kind": "x"}),
        ("round", {"animal": "{" * 36, "kind": "9" * 30}),
        ("knowledge", {"q": "\0" * 300}),
    ],
)
def test_a_crafted_address_breaks_nothing(
    client: Client, carer: Person, name: str, asked: dict[str, str]
) -> None:
    an_animal(carer)
    assert client.get(reverse(name), asked).status_code == 200


@pytest.mark.parametrize(
    "moment",
    [
        "0001-01-01T00:00:00+14:00",
        "9999-12-31T23:59:59-14:00",
        "2026-13-01T00:00:00Z",
        "1899-12-31T00:00:00Z",
    ],
)
def test_a_cursor_from_outside_every_story_gives_the_first_page(
    client: Client, carer: Person, moment: str
) -> None:
    animal = an_animal(carer)
    assert "Its story" in page_of(client, animal, before=f"{moment}~{animal.pk}")


@pytest.mark.parametrize("name", ["standing-mark", "follow-up-add", "ask-vet"])
def test_odd_beginnings_of_a_form_break_nothing(client: Client, carer: Person, name: str) -> None:
    odd = dict.fromkeys(("region", "finding", "side", "words", "text", "x", "y", "view"), "9" * 40)
    address = reverse(name, args=[an_animal(carer).pk])
    assert client.get(address, odd).status_code == 200


def test_the_search_is_one_line_until_more_is_asked(client: Client, carer: Person) -> None:
    folded = client.get(reverse("animals")).content.decode()
    assert '<details class="more-ways"><summary>More ways to find' in folded
    before_details = folded.split("<details")[0]
    assert 'id="q"' in before_details
    assert ">Find</button>" in before_details
    opened = client.get(reverse("animals"), {"where": "left"}).content.decode()
    assert '<details class="more-ways" open>' in opened
