"""The pages of weights: of one animal, of a pen and of the herd, from what was weighed."""

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.weights import keep_said
from cavyround.record.animals import Leaving, depart, move
from cavyround.record.models import Animal, Person, WeightSaid
from tests.web.animals_made import FINISHED, a_check, a_pen, an_animal, weight

BORN = date(2023, 1, 1)
GROWN: dict[str, Any] = {"born_earliest": BORN, "born_latest": BORN}
STEADY = (1000, 1004, 997, 1002, 999, 1001, 998, 1003)
FALLING = (1000, 1003, 998, 1001, 970, 930, 890, 850)


@pytest.fixture
def client(carer: Person) -> Client:
    one = Client()
    one.force_login(carer)
    return one


def weighed(person: Person, animal: Animal, grams: Iterable[int], *, every: int = 5) -> Animal:
    """Weighed every few days, the last time yesterday."""
    row = list(grams)
    for number, one in enumerate(row):
        at = timezone.now() - timedelta(days=1 + every * (len(row) - 1 - number))
        a_check(person, animal, weight(one), FINISHED, at=at)
    return animal


@pytest.fixture
def falling(carer: Person) -> Animal:
    return weighed(carer, an_animal(carer, "Saffron", **GROWN), FALLING)


@pytest.fixture
def steady(carer: Person) -> Animal:
    return weighed(carer, an_animal(carer, "Tansy", **GROWN), STEADY)


def page_of(client: Client, name: str, *args: object, **asked: str) -> str:
    return client.get(reverse(name, args=args), asked).content.decode()


def plain(page: str) -> str:
    return page.replace("\u00a0", " ")


def test_the_weights_are_said_drawn_and_told_in_a_table(client: Client, falling: Animal) -> None:
    part = client.get(
        reverse("animal-weights", args=[falling.pk]), headers={"HX-Request": "true"}
    ).content.decode()
    assert "<html" not in part
    assert 'role="img" aria-label="Weight over time, 8 weighings' in part
    assert "var(--leaf)" in part
    assert ">losing<" in part
    assert "Losing" in plain(part)
    assert "Below its own normal by more than" in plain(part)
    assert "Weigh again" in part
    for grams in FALLING:
        assert f"{grams:,} g" in part
    assert part.count("<tr ") == 1 + len(FALLING)
    assert 'href="/checks/' in part


def test_the_page_of_its_own_is_whole_without_script_and_has_a_broad_plot(
    client: Client, falling: Animal
) -> None:
    page = page_of(client, "animal-weights", falling.pk)
    assert "<html" in page
    assert page.count('class="plot"') == 2
    for span in ("6w", "3m", "1y", "all"):
        assert page_of(client, "animal-weights", falling.pk, span=span).count("<tr ") == 9
    assert page_of(client, "animal-weights", falling.pk, span="ever").count("<tr ") == 9


def test_of_an_animal_never_weighed_no_plot_is_drawn(client: Client, carer: Person) -> None:
    page = page_of(client, "animal-weights", an_animal(carer).pk)
    assert "Not weighed yet" in page
    assert 'class="plot"' not in page


def test_of_two_weighings_no_trend_is_said(client: Client, carer: Person) -> None:
    animal = weighed(carer, an_animal(carer, **GROWN), (900, 880))
    page = plain(page_of(client, "animal-weights", animal.pk))
    assert "Said from two weighings only: no trend yet." in page
    assert "Below its own normal by more than" not in page


def test_a_doubted_weighing_is_marked_and_kept(client: Client, steady: Animal) -> None:
    carer = Person.objects.get()
    a_check(carer, steady, weight(3990, doubted=True), FINISHED)
    page = page_of(client, "animal-weights", steady.pk)
    assert "3,990 g" in page
    assert "Doubted:" in page
    assert "↑ 3,990 g" in page
    assert "doubted: kept, not reckoned with" in page


def test_what_happened_stands_at_its_day(client: Client, steady: Animal) -> None:
    carer = Person.objects.get()
    on = (timezone.localdate() - timedelta(days=9)).isoformat()
    a_check(carer, steady, {"kind": "event", "what": "surgery", "on": on}, FINISHED)
    assert ">operation<" in page_of(client, "animal-weights", steady.pk)


def test_the_body_condition_stands_beside_the_weight(client: Client, falling: Animal) -> None:
    carer = Person.objects.get()
    score = {
        "kind": "observation",
        "step": "condition",
        "region": "whole",
        "finding": "body_condition",
        "value": "3",
        "unit": "of_5",
    }
    a_check(carer, falling, score, FINISHED)
    page = page_of(client, "animal-weights", falling.pk)
    assert "3 of 5, as it should be" in page
    assert "Losing, though it still feels well covered" in page
    assert "is for the vet to say" in page
    assert "Body condition 3 of 5" in page_of(client, "weights")


def test_a_step_as_it_should_be_is_a_feel_without_a_score(client: Client, falling: Animal) -> None:
    carer = Person.objects.get()
    a_check(carer, falling, {"kind": "step_normal", "step": "condition"}, FINISHED)
    assert "Felt as it should be, no score" in page_of(client, "animal-weights", falling.pk)
    assert "Body condition" not in page_of(client, "weights")


def names_in(page: str) -> list[str]:
    """The names of the rows, in their order."""
    rows = page.partition("weigh-rows")[2].split('<span class="who"><strong>')[1:]
    return [row.partition("<")[0] for row in rows]


def test_the_herd_shows_those_to_worry_about_first(
    client: Client, steady: Animal, falling: Animal
) -> None:
    page = page_of(client, "weights")
    assert names_in(page) == ["Saffron", "Tansy"]
    assert "<strong>1</strong> losing" in page
    assert page.count('class="small-plot"') == 2
    assert page.count('class="alarm"') == 1


FILTERS: tuple[tuple[dict[str, str], list[str]], ...] = (
    ({"kind": "loss"}, ["Saffron"]),
    ({"kind": "alarm"}, ["Saffron"]),
    ({"kind": "calm"}, ["Tansy"]),
    ({"kind": "gain"}, []),
    ({"kind": "nonsense", "page": "0"}, ["Saffron", "Tansy"]),
    ({"pen": "none"}, ["Tansy"]),
    ({"pen": "kind-residents"}, ["Saffron"]),
    ({"pen": "kind-isolation"}, []),
    ({"pen": "kind-"}, ["Saffron", "Tansy"]),
    ({"pen": "9" * 40}, ["Saffron", "Tansy"]),
    ({"page": "99"}, []),
    ({"page": "9" * 40}, ["Saffron", "Tansy"]),
)


def test_the_herd_is_filtered_by_what_is_said_and_by_pen(
    client: Client, steady: Animal, falling: Animal
) -> None:
    move(Person.objects.get(), falling, a_pen(), timezone.now())
    for asked, names in FILTERS:
        assert names_in(page_of(client, "weights", **asked)) == names, asked
        assert client.get(reverse("weights-overview"), asked).status_code == 200


def test_one_that_left_is_not_in_the_herd(client: Client, steady: Animal, falling: Animal) -> None:
    leaving = Leaving(on=timezone.localdate(), how="adopted")
    depart(Person.objects.get(), falling, leaving, timezone.now())
    assert names_in(page_of(client, "weights")) == ["Tansy"]
    assert page_of(client, "animal-weights", falling.pk).count("<tr ") == 9


def test_weigh_ins_that_are_due_are_listed(client: Client, carer: Person, steady: Animal) -> None:
    an_animal(carer, "Sloe")
    WeightSaid.objects.filter(animal=steady).update(said={})
    keep_said([steady.pk], timezone.now())
    assert names_in(page_of(client, "weights", kind="due")) == ["Sloe"]


def test_an_animal_of_which_nothing_was_kept_is_reckoned_all_the_same(
    client: Client, falling: Animal
) -> None:
    WeightSaid.objects.all().delete()
    page = page_of(client, "weights", kind="loss")
    assert names_in(page) == ["Saffron"]


def test_the_herd_at_a_glance_is_one_picture_and_a_table(
    client: Client, carer: Person, steady: Animal, falling: Animal
) -> None:
    weighed(carer, an_animal(carer, "Damson", **GROWN), (764,))
    page = page_of(client, "weights-overview")
    assert "Trend of 2 animals" in page
    assert page.count(">Saffron<") == 3  # in both pictures and in the table
    assert "No trend yet: <a" in page
    assert page.index("No trend yet") < page.index("Damson")


def test_pen_mates_stand_beside_each_other(client: Client, steady: Animal, falling: Animal) -> None:
    pen = a_pen()
    for animal in (steady, falling):
        move(Person.objects.get(), animal, pen, timezone.now())
    page = page_of(client, "pen-weights", pen.pk)
    assert page.count('class="small-plot"') == 2
    assert page.index("Saffron") < page.index("Tansy")
    assert page.count('<th role="rowheader" scope="row"') == 2
    assert "own normal" in page
    part = client.get(reverse("pen-weights", args=[pen.pk]), headers={"HX-Request": "true"})
    assert "<html" not in part.content.decode()
    assert reverse("pen-weights", args=[pen.pk]) in page_of(client, "pens")
    assert client.get(reverse("pen-weights", args=[pen.pk + 1])).status_code == 404


def test_an_empty_pen_says_so(client: Client) -> None:
    assert "Nobody lives in this pen" in page_of(client, "pen-weights", a_pen().pk)


def test_a_name_is_text_on_every_page(client: Client, carer: Person) -> None:
    odd = weighed(carer, an_animal(carer, '<b>"Bo"', **GROWN), STEADY)
    pen = a_pen()
    move(carer, odd, pen, timezone.now())
    for page in (
        page_of(client, "weights"),
        page_of(client, "weights-overview"),
        page_of(client, "pen-weights", pen.pk),
        page_of(client, "animal-weights", odd.pk),
    ):
        assert "<b>" not in page


def test_more_animals_take_no_more_questions(client: Client, carer: Person) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as seen:
            page_of(client, "weights")
        return len(seen)

    weighed(carer, an_animal(carer, "One", **GROWN), STEADY)
    page_of(client, "weights")
    weighed(carer, an_animal(carer, "Two", **GROWN), STEADY)
    two = asked()
    for name in ("Three", "Four", "Five"):
        weighed(carer, an_animal(carer, name, **GROWN), STEADY)
    assert asked() == two


def test_the_herd_is_shown_page_by_page(client: Client, carer: Person) -> None:
    for number in range(27):
        an_animal(carer, f"Pig {number:02d}")
    first = page_of(client, "weights")
    assert len(names_in(first)) == 25
    assert "1 to 25 of 27 animals" in first
    assert "Next, from 26 of 27" in first
    second = page_of(client, "weights", page="2")
    assert len(names_in(second)) == 2
    assert "26 to 27 of 27 animals" in second
    assert "Those before" in second


def test_every_way_leads_to_the_weights(client: Client, falling: Animal) -> None:
    for name in ("today", "animals"):
        assert reverse("weights") in page_of(client, name)
    assert "Weights: 1 alarm" in page_of(client, "today")
    assert reverse("animal-weights", args=[falling.pk]) in page_of(client, "animal", falling.pk)
