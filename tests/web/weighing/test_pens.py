"""What the weigh-in loads once, and what it is told of the weights it sent."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from cavyround.advice.weights import expected_of
from cavyround.record.models import AdviceGiven, Animal, Check, Person
from cavyround.record.models.entries import new_id
from tests.builders import FINISH, OnTheTable, a_check, a_pen, an_animal, keep, weighed

SignedIn = Callable[[Person], Client]


@pytest.fixture
def at_scales(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


def pens(client: Client) -> dict[str, Any]:
    answer = client.get("/weigh-in/pens.json")
    assert answer.status_code == 200
    told: dict[str, Any] = answer.json()
    return told


def weekly(person: Person, animal: Animal, grams: int, *, last_days_ago: int = 7) -> None:
    for week in range(6):
        at = timezone.now() - timedelta(days=last_days_ago + 7 * week)
        a_check(person, animal, weighed(str(grams)), FINISH, at=at)


def test_the_weigh_in_opens_for_those_who_record(
    personas: dict[str, Person], signed_in: SignedIn
) -> None:
    for address in ("/weigh-in/", "/weigh-in/pens.json"):
        allowed = {name: signed_in(one).get(address).status_code for name, one in personas.items()}
        assert allowed == {"lead": 200, "carer": 200, "vet": 403, "viewer": 403}


def test_the_screen_keeps_itself_on_the_phone(at_scales: Client) -> None:
    page = at_scales.get("/weigh-in/")
    assert b"web/weighing/weigh-in.js" in page.content
    assert b'data-worker="/check/worker.js"' in page.content
    assert page.cookies["csrftoken"].value


def test_the_pens_come_from_healthy_to_contagious_and_without_empty_ones(
    at_scales: Client, lead: Person
) -> None:
    a_pen("residents", name="Nobody's")
    for kind in ("isolation", "residents", "nursery", "quarantine"):
        an_animal(lead, f"of {kind}", pen=a_pen(kind))
    an_animal(lead, "of no pen")
    told = pens(at_scales)
    words = [one["group_words"] for one in told["pens"]]
    assert [one.split(",")[0] for one in words] == [
        "Nursery",
        "Residents",
        "Not in a pen yet",
        "Quarantine",
        "Isolation",
    ]
    assert [one["pen_id"] for one in told["animals"]] == [one["id"] for one in told["pens"]]


def test_each_animal_comes_with_its_last_weight_and_what_is_likely(
    at_scales: Client, lead: Person, carer: Person
) -> None:
    clover = an_animal(lead, "Clover", pen=a_pen())
    weekly(carer, clover, 1043)
    a_check(carer, clover, weighed("104", doubted=True), FINISH, at=timezone.now())
    (told,) = pens(at_scales)["animals"]
    assert told["last_weight"]["grams"] == 1043
    expected = expected_of([clover], timezone.now())[clover.pk]
    assert told["expected"]["likely"]["mid"] == pytest.approx(expected.likely.mid, rel=1e-3)
    assert told["expected"]["known"]
    assert told["photo"] is None


def test_who_is_due_is_said_by_when_the_next_weighing_may_wait_for(
    at_scales: Client, lead: Person, carer: Person
) -> None:
    pen = a_pen()
    never, late, fresh = (an_animal(lead, name, pen=pen) for name in ("Alder", "Birch", "Clover"))
    weekly(carer, late, 900, last_days_ago=7)
    weekly(carer, fresh, 900, last_days_ago=2)
    due = {one["id"]: one["weigh"]["due"] for one in pens(at_scales)["animals"]}
    assert due == {str(never.pk): True, str(late.pk): True, str(fresh.pk): False}


def test_whoever_was_weighed_today_says_so(at_scales: Client, lead: Person, carer: Person) -> None:
    clover = an_animal(lead, "Clover")
    a_check(carer, clover, weighed("1043"), FINISH, at=timezone.now() - timedelta(seconds=5))
    (told,) = pens(at_scales)["animals"]
    assert told["weigh"]["today"].startswith("1,043 g at ")
    assert not told["weigh"]["due"]


def test_the_pens_ask_the_database_no_more_for_a_larger_herd(
    at_scales: Client, lead: Person, carer: Person
) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            pens(at_scales)
        return len(queries)

    pen = a_pen()
    weekly(carer, an_animal(lead, "Alder", pen=pen), 900)
    few = asked()
    for number in range(8):
        weekly(carer, an_animal(lead, f"Birch {number}", pen=pen), 900)
    assert asked() == few


def weigh_in(person: Person, animal: Animal, grams: int, *, finished: bool = True) -> Check:
    table = OnTheTable(animal, kind="weigh_in", at=timezone.now() - timedelta(minutes=1))
    touches = [weighed(str(grams)), *([FINISH] if finished else [])]
    keep(person, [table.touch(one) for one in touches], timezone.now())
    return table.row


def ask(client: Client, checks: object) -> Any:
    return client.post("/weigh-in/said", {"checks": checks}, content_type="application/json")


def test_what_a_weight_says_comes_with_the_advice_on_it(
    at_scales: Client, lead: Person, carer: Person
) -> None:
    clover = an_animal(lead, "Clover")
    weekly(carer, clover, 1043)
    check = weigh_in(carer, clover, 900)
    said = ask(at_scales, [str(check.pk)]).json()["said"][str(check.pk)]
    assert said["level"] > 0
    assert said["words"]
    assert said["why"]
    given = AdviceGiven.objects.get(check_in=check)
    assert said["address"].endswith(f"{given.pk}")
    assert said["advice_level"] >= 1


def test_a_weight_as_expected_says_that_nothing_stands_out(
    at_scales: Client, lead: Person, carer: Person
) -> None:
    clover, new = an_animal(lead, "Clover"), an_animal(lead, "Hazel")
    weekly(carer, clover, 1043)
    checks = [weigh_in(carer, clover, 1043), weigh_in(carer, new, 900)]
    said = ask(at_scales, [str(check.pk) for check in checks]).json()["said"]
    known, first = (said[str(check.pk)] for check in checks)
    assert (known["level"], known["why"], known["nothing"]) == (0, [], "Nothing stands out.")
    assert first["nothing"] == "Too few weights yet to say more."


def test_of_a_doubtful_weight_it_is_never_said_that_all_is_well(
    at_scales: Client, lead: Person, carer: Person
) -> None:
    clover = an_animal(lead, "Clover")
    weekly(carer, clover, 1043)
    at = timezone.now() - timedelta(minutes=1)
    doubtful = weighed("1800", doubted=True)
    check = a_check(carer, clover, doubtful, FINISH, kind="weigh_in", at=at)
    said = ask(at_scales, [str(check.pk)]).json()["said"][str(check.pk)]
    assert said["why"] or "doubtful" in said["nothing"]


def test_what_is_not_finished_or_not_known_is_not_judged(
    at_scales: Client, lead: Person, carer: Person
) -> None:
    open_one = weigh_in(carer, an_animal(lead, "Clover"), 1043, finished=False)
    said = ask(at_scales, [str(open_one.pk), str(new_id()), "nonsense", 7]).json()["said"]
    assert said == {}
    assert not AdviceGiven.objects.exists()


def test_asking_twice_makes_no_second_advice(
    at_scales: Client, lead: Person, carer: Person
) -> None:
    check = weigh_in(carer, an_animal(lead, "Clover"), 1043)
    first, second = (ask(at_scales, [str(check.pk)]).json() for _ in range(2))
    assert first == second
    assert AdviceGiven.objects.count() == 1


@pytest.mark.parametrize("body", ["", "[]", '{"checks": "x"}', "{}"])
def test_what_is_no_list_of_checks_is_refused_in_words(at_scales: Client, body: str) -> None:
    answer = at_scales.post("/weigh-in/said", body, content_type="application/json")
    assert answer.status_code == 400
    assert "Nothing was judged" in answer.json()["why"]


def test_who_may_not_record_is_not_judged_for(
    carer: Person, lead: Person, viewer: Person, signed_in: SignedIn
) -> None:
    check = weigh_in(carer, an_animal(lead, "Clover"), 1043)
    answer = ask(signed_in(viewer), [str(check.pk)])
    assert answer.status_code == 403
