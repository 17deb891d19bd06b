"""What the check screen loads once: the animals of the round, their plans, and the words."""

import gzip
import json
from collections.abc import Callable
from datetime import date, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.plans import plan_for
from cavyround.advice.weights import expected_of, readings_of
from cavyround.engines.check import plan_check
from cavyround.record.building import facts_of_all
from cavyround.record.models import (
    Animal,
    Person,
)
from cavyround.record.promises import Judged, LookAgainAt, mark_standing, promise
from cavyround.web.checking import doubting, round_of
from tests.builders import FINISH, a_check, a_pen, an_animal, found, weighed

SignedIn = Callable[[Person], Client]
WATCHED = ["manner", "breathing", "eating", "droppings", "urine", "legs_gait"]


@pytest.fixture
def at_table(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


def test_the_screen_opens_for_those_who_record(at_table: Client) -> None:
    page = at_table.get("/check")
    assert page.status_code == 200
    assert b"web/check/check.js" in page.content
    assert page.cookies["csrftoken"].value


def test_the_round_holds_all_the_screen_needs(
    at_table: Client, carer: Person, lead: Person
) -> None:
    animal = an_animal(lead, "Nutmeg", pen=a_pen("quarantine"))
    now = timezone.now()
    a_check(carer, animal, weighed("1043"), FINISH, at=now - timedelta(days=8))
    fat_pad = Judged(
        region="flank", finding="fat_pad", words="soft pad", said_by="the vet", said_on=now.date()
    )
    mark = mark_standing(lead, animal, fat_pad, now)
    data = at_table.get("/check/round.json").json()
    assert data["me"] == {"id": carer.pk, "name": str(carer)}
    (nutmeg,) = data["animals"]
    assert nutmeg["name"] == "Nutmeg"
    assert nutmeg["due"]
    assert nutmeg["last_weight"]["grams"] == 1043
    assert nutmeg["group"] == "quarantine"
    planned = {step["code"]: step for hold in nutmeg["plan"]["holds"] for step in hold["steps"]}
    assert set(planned) <= set(data["steps"])
    assert planned["chest_back"]["carried"][0]["mark_id"] == str(mark.id)
    for step in data["steps"].values():
        for region, findings in step["offers"].items():
            assert data["regions"][region]["words"]
            assert all(data["findings"][code]["words"] for code in findings)
        assert all(care["care"] in data["care"] for care in step["care"])


def test_the_round_tells_the_emergencies_one_finding_alone_shows(at_table: Client) -> None:
    told = at_table.get("/check/round.json").json()["emergencies"]
    assert any("laboured" in one["findings"] for one in told)
    assert any("fits" in one["findings"] for one in told)
    for one in told:
        assert {"rule", "findings", "regions", "kinds", "kind_said", "says"} <= set(one)
        assert one["says"]
        assert book().rule(one["rule"]).urgency.code == "emergency"


def test_the_round_asks_the_database_no_more_for_a_larger_herd(
    at_table: Client, lead: Person, carer: Person
) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            assert at_table.get("/check/round.json").status_code == 200
        return len(queries)

    pen = a_pen("residents")
    now = timezone.now()
    for name, at in (("Alder", now), ("Birch", now - timedelta(days=9))):
        a_check(carer, an_animal(lead, name, pen=pen), weighed("900"), found(), FINISH, at=at)
    few = asked()
    for number in range(12):
        animal = an_animal(lead, f"Sorrel {number}", pen=pen)
        a_check(carer, animal, weighed("900"), found(), FINISH, at=now - timedelta(days=9))
        again = LookAgainAt(due_at=now, words="ear", region="ear", finding="wax")
        promise(carer, animal, again, now)
    assert asked() == few


def test_the_rounds_plans_are_those_of_each_animal_alone(lead: Person, carer: Person) -> None:
    now = timezone.now()
    animals = [an_animal(lead, "Alder"), an_animal(lead, "Birch", sex="boar"), an_animal(lead)]
    a_check(carer, animals[0], found(side="L"), weighed("900"), at=now - timedelta(days=20))
    a_check(carer, animals[1], found("laboured", "breathing", "breathing"), at=now)
    a_check(carer, animals[1], {"kind": "event", "what": "surgery"}, at=now)
    together = facts_of_all(animals, now)
    for animal in animals:
        plan = plan_check(together[animal.id], now=now, book=book(), kind="full")
        assert plan == plan_for(animal, now)


def test_an_animal_that_is_not_due_can_be_asked_for_with_its_kind(
    at_table: Client, lead: Person, carer: Person
) -> None:
    animal = an_animal(lead, "Teasel")
    a_check(carer, animal, FINISH, at=timezone.now() - timedelta(hours=1))
    data = at_table.get(f"/check/round.json?animal={animal.id}&kind=weigh_in").json()
    (teasel,) = [one for one in data["animals"] if one["id"] == str(animal.id)]
    assert teasel["kind"] == "weigh_in"
    steps = [step["code"] for hold in teasel["plan"]["holds"] for step in hold["steps"]]
    assert steps == ["weight"]
    assert at_table.get("/check/round.json?animal=nonsense&kind=nonsense").status_code == 200


def test_the_round_says_what_each_animals_next_weight_should_be(
    at_table: Client, lead: Person, carer: Person
) -> None:
    pen = a_pen()
    new, clover = an_animal(lead, "Alder"), an_animal(lead, "Clover", pen=pen)
    now = timezone.now()
    for days in (29, 22, 15, 9):
        a_check(carer, clover, weighed("900"), FINISH, at=now - timedelta(days=days))
    a_check(carer, clover, weighed("90", doubted=True), FINISH, at=now - timedelta(days=8))
    data = at_table.get("/check/round.json").json()
    told = {one["name"]: one for one in data["animals"]}
    assert told["Clover"]["last_weight"]["grams"] == 900  # the last that was not doubted
    assert told["Clover"]["pen_id"] == str(pen.id)
    expected = expected_of([clover], now)[clover.id]
    bands = told["Clover"]["expected"]
    assert bands["known"]
    assert bands["likely"]["low"] == pytest.approx(expected.likely.low, rel=1e-3)
    assert bands["plausible"]["low"] < bands["likely"]["low"] < 900 < bands["likely"]["high"]
    assert told[new.name]["last_weight"] is None
    assert told[new.name]["expected"]["known"] is False
    tub = book().model_span("carrier_g")
    assert data["weight"]["carrier_g"] == [tub.low, tub.high]
    assert data["weight"]["reweigh_within_g"] == book().number("reweigh_within_g")


def test_one_animal_whose_weights_are_broken_stops_no_other(
    at_table: Client,
    lead: Person,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:
    bad, good = an_animal(lead, "Alder"), an_animal(lead, "Birch")

    def read(animals: Any, now: datetime) -> Any:
        if bad in animals:
            raise ZeroDivisionError
        return readings_of(animals, now)

    monkeypatch.setattr(doubting, "readings_today", read)
    told = {one["id"]: one for one in at_table.get("/check/round.json").json()["animals"]}
    assert told[str(bad.id)]["expected"] is None
    assert told[str(bad.id)]["plan"]["holds"]
    assert told[str(good.id)]["expected"]
    assert str(bad.id) in caplog.text


def test_one_animal_that_cannot_be_planned_stops_no_other(
    at_table: Client,
    lead: Person,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:
    bad, good = an_animal(lead, "Alder"), an_animal(lead, "Birch")

    def plan(facts: Any, **said: Any) -> Any:
        if facts.id == str(bad.id):
            raise ZeroDivisionError
        return plan_check(facts, **said)

    monkeypatch.setattr(round_of, "plan_check", plan)
    told = {one["id"]: one for one in at_table.get("/check/round.json").json()["animals"]}
    assert "tell whoever runs the tool" in told[str(bad.id)]["broken"]
    assert told[str(bad.id)]["plan"]["holds"] == []
    assert "broken" not in told[str(good.id)]
    assert told[str(good.id)]["plan"]["holds"]
    assert str(bad.id) in caplog.text


def test_one_animal_whose_facts_are_broken_stops_no_other(
    at_table: Client, lead: Person, caplog: pytest.LogCaptureFixture
) -> None:
    bad, good = an_animal(lead, "Alder"), an_animal(lead, "Birch")
    upside_down = {"born_earliest": date(2026, 1, 2), "born_latest": date(2025, 1, 2)}
    Animal.objects.filter(pk=bad.pk).update(**upside_down)
    told = {one["id"]: one for one in at_table.get("/check/round.json").json()["animals"]}
    assert told[str(bad.id)]["broken"]
    assert "broken" not in told[str(good.id)]


def test_the_round_is_sent_small_and_planned_in_the_rescues_own_day(
    at_table: Client, lead: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    an_animal(lead)
    moments = []

    def plan(facts: Any, *, now: datetime, **said: Any) -> Any:
        moments.append(now)
        return plan_check(facts, now=now, **said)

    monkeypatch.setattr(round_of, "plan_check", plan)
    answer = at_table.get("/check/round.json", headers={"Accept-Encoding": "gzip"})
    assert answer["Content-Encoding"] == "gzip"
    whole = gzip.decompress(answer.content)
    assert len(answer.content) * 4 < len(whole)
    assert json.loads(whole)["animals"]
    assert {moment.tzinfo for moment in moments} == {timezone.get_current_timezone()}


def test_a_finding_has_short_words_for_its_button_and_its_full_ones_for_help(
    at_table: Client,
) -> None:
    told = at_table.get("/check/round.json").json()["findings"]
    for one in told.values():
        assert not any(joint in one["words"] for joint in (";", " (", " / "))
    longer = {code for code, one in told.items() if one["in_full"]}
    assert longer == {
        code for code, one in told.items() if one["words"] != book().finding_words(code)
    }
    assert all(told[code]["in_full"] == book().finding_words(code) for code in longer)
