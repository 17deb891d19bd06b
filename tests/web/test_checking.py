"""The check screen's own addresses: what it loads, what it sends, and who may."""

import json
from collections.abc import Callable
from datetime import timedelta
from io import BytesIO
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from PIL import Image

from cavyround.advice.book import book
from cavyround.advice.plans import coverage_of, plan_for
from cavyround.engines.check import plan_check
from cavyround.record.building import facts_of_all
from cavyround.record.models import (
    Animal,
    Check,
    CheckEntry,
    Observed,
    Person,
    Photo,
    StepState,
    WeighIn,
)
from cavyround.record.models.entries import new_id
from cavyround.record.promises import Judged, LookAgainAt, mark_standing, promise
from tests.builders import FINISH, OnTheTable, a_check, a_pen, an_animal, found, weighed

SignedIn = Callable[[Person], Client]
WATCHED = ["manner", "breathing", "eating", "droppings", "urine", "legs_gait"]


def send(client: Client, *touches: object) -> Any:
    return client.post(
        "/check/touches",
        json.dumps({"touches": touches}),
        content_type="application/json",
        headers={"Accept": "application/json"},
    )


def on_the_table(animal: Animal, **said: Any) -> OnTheTable:
    return OnTheTable(animal, **{"at": timezone.now(), **said})


@pytest.fixture
def bracken(lead: Person) -> Animal:
    return an_animal(lead, "Bracken")


@pytest.fixture
def at_table(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


def test_the_screen_opens_for_those_who_record(at_table: Client) -> None:
    page = at_table.get("/check")
    assert page.status_code == 200
    assert b"web/check/check.js" in page.content
    assert page.cookies["csrftoken"].value


@pytest.mark.parametrize("who", ["vet", "viewer"])
def test_a_vet_and_a_viewer_may_not_record(
    who: str, personas: dict[str, Person], bracken: Animal, signed_in: SignedIn
) -> None:
    client = signed_in(personas[who])
    table = on_the_table(bracken)
    answer = send(client, table.touch({"kind": "step_normal", "step": "eyes"}))
    assert client.get("/check").status_code == 403
    assert client.get("/check/round.json").status_code == 403
    assert answer.status_code == 403
    assert "carers and leads" in answer.json()["why"]
    assert not CheckEntry.objects.exists()


def test_a_phone_nobody_is_signed_in_on_is_told_so_and_keeps_its_touches(bracken: Animal) -> None:
    table = on_the_table(bracken)
    answer = send(Client(), table.touch({"kind": "step_normal", "step": "eyes"}))
    assert answer.status_code == 401
    assert "Sign in" in answer.json()["why"]
    assert Client().get("/check/round.json").status_code == 401


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


def test_a_touch_sent_twice_is_kept_once(at_table: Client, bracken: Animal) -> None:
    touch = on_the_table(bracken).touch(found("discharge", "eye", "eyes", side="L"))
    first, second = send(at_table, touch), send(at_table, touch)
    assert first.json()["kept"] == second.json()["kept"] == [touch["id"]]
    assert CheckEntry.objects.count() == 1
    assert Observed.objects.get().side == "L"


def test_a_bad_touch_is_refused_in_words_and_the_good_ones_beside_it_are_kept(
    at_table: Client, bracken: Animal
) -> None:
    table = on_the_table(bracken)
    good = table.touch({"kind": "hold_normal", "hold": "watch", "steps": WATCHED})
    bad = [
        table.touch(weighed("0")),
        table.touch(weighed("-5")),
        table.touch(weighed("91200")),
        table.touch(weighed("nine")),
        table.touch(found("glitter", "ear", "ears")),
        table.touch(found("wax", "wing", "ears")),
        table.touch({"kind": "hold_normal", "hold": "upside_down", "steps": ["eyes"]}),
        table.touch({"kind": "care", "care": "haircut"}),
        table.touch({"kind": "dance"}),
        {"id": "no envelope"},
        "no touch at all",
    ]
    answer = send(at_table, bad[0], good, *bad[1:]).json()
    assert answer["kept"] == [good["id"]]
    assert len(answer["refused"]) == len(bad)
    assert all(len(one["why"]) > 10 for one in answer["refused"])
    assert "glitter" in " ".join(one["why"] for one in answer["refused"])
    assert not WeighIn.objects.exists()
    assert StepState.objects.count() == len(WATCHED)


@pytest.mark.parametrize("body", ["", "[]", "{}", '{"touches": 3}', "nonsense"])
def test_what_is_no_list_of_touches_is_refused_in_words(at_table: Client, body: str) -> None:
    answer = at_table.post("/check/touches", body, content_type="application/json")
    assert answer.status_code == 400
    assert "phone still has them" in answer.json()["why"]


def test_two_phones_at_one_animal_are_two_checks_and_each_is_told(
    at_table: Client, lead: Person, bracken: Animal, signed_in: SignedIn
) -> None:
    mine, theirs = on_the_table(bracken), on_the_table(bracken)
    alone = send(at_table, mine.touch({"kind": "step_normal", "step": "eyes"})).json()
    assert alone["checks"][str(mine.id)] == {"finished": False, "others": []}
    other = signed_in(lead)
    second = send(other, theirs.touch(found("discharge", "eye", "eyes"))).json()
    assert second["checks"][str(theirs.id)]["others"] == ["Tam Birch"]
    again = send(at_table, mine.touch({"kind": "step_normal", "step": "nose"})).json()
    assert again["checks"][str(mine.id)]["others"] == [str(lead)]
    assert Check.objects.filter(animal=bracken).count() == 2
    assert StepState.objects.get(check_in=mine.row, step="eyes").state == "normal"
    assert StepState.objects.get(check_in=theirs.row, step="eyes").state == "found"
    listed = other.get("/check/round.json").json()["animals"]
    assert any(one["being_checked_by"] for one in listed)


def test_an_unfinished_check_shows_what_nobody_looked_at_as_not_checked(
    at_table: Client, bracken: Animal
) -> None:
    table = on_the_table(bracken)
    send(
        at_table,
        table.touch({"kind": "hold_normal", "hold": "watch", "steps": WATCHED}),
        table.touch({"kind": "put_down", "why": "it struggles"}),
    )
    coverage = coverage_of(table.row)
    assert set(coverage.normal) == set(WATCHED)
    assert {"eyes", "weight", "belly"} <= set(coverage.not_checked)
    assert table.row.put_down_at
    assert not table.row.finished_at


def test_what_is_taken_back_no_longer_counts_and_stays_readable(
    at_table: Client, bracken: Animal
) -> None:
    table = on_the_table(bracken)
    lump = table.touch(found("lump", "chest", "chest_back"))
    send(at_table, lump, table.touch({"kind": "take_back", "entry": lump["id"]}))
    assert not Observed.objects.exists()
    assert not StepState.objects.exists()
    assert CheckEntry.objects.count() == 2


def test_more_said_of_a_finding_keeps_its_entry_and_its_id(
    at_table: Client, bracken: Animal
) -> None:
    table = on_the_table(bracken)
    lump = table.touch(found("lump", "chest", "chest_back"))
    more = {**found("lump", "chest", "chest_back"), "value": 20, "unit": "mm", "grade": "slight"}
    said = {
        "kind": "correction",
        "entry": lump["id"],
        "reason": "more said at the table",
        "data": more,
    }
    answer = send(at_table, lump, table.touch(said)).json()
    assert len(answer["kept"]) == 2
    row = Observed.objects.get()
    assert str(row.id) == lump["id"]
    assert row.value == 20
    assert (row.unit, row.grade) == ("mm", "slight")


def test_only_who_made_an_entry_or_a_lead_takes_it_back(
    at_table: Client, lead: Person, bracken: Animal, signed_in: SignedIn, other_carer: Person
) -> None:
    table = on_the_table(bracken)
    lump = table.touch(found("lump", "chest", "chest_back"))
    send(at_table, lump)
    undo = {"kind": "take_back", "entry": lump["id"]}
    refused = send(signed_in(other_carer), table.touch(undo)).json()
    assert "only they or a lead" in refused["refused"][0]["why"]
    assert Observed.objects.count() == 1
    assert send(signed_in(lead), table.touch(undo)).json()["kept"]
    assert not Observed.objects.exists()


def a_photo(at_table: Client, table: OnTheTable, content: bytes, **said: str) -> Any:
    form: dict[str, Any] = {
        "id": str(new_id()),
        "animal": str(table.animal.id),
        "check": str(table.id),
        "caption": "left eye: discharge",
        "made_at": timezone.now().isoformat(),
        **said,
        "photo": SimpleUploadedFile("photo.jpg", content, "image/jpeg"),
    }
    return at_table.post("/check/photos", form, headers={"Accept": "application/json"})


def test_a_photo_of_a_check_is_kept_once(at_table: Client, bracken: Animal) -> None:
    table = on_the_table(bracken)
    send(at_table, table.touch({"kind": "step_normal", "step": "eyes"}))
    out = BytesIO()
    Image.new("RGB", (60, 40), "tan").save(out, "JPEG")
    photo_id = str(new_id())
    for _ in range(2):
        answer = a_photo(at_table, table, out.getvalue(), id=photo_id)
        assert answer.json() == {"kept": photo_id}
    photo = Photo.objects.get()
    assert photo.check_in == table.row
    assert photo.caption == "left eye: discharge"


def test_a_broken_photo_is_refused_in_words(at_table: Client, bracken: Animal) -> None:
    table = on_the_table(bracken)
    answer = a_photo(at_table, table, b"not a picture")
    assert answer.status_code == 422
    assert "broken" in answer.json()["why"]
    lost = a_photo(at_table, table, b"x", animal="nobody")
    assert lost.status_code == 422
    assert not Photo.objects.exists()


def test_the_worker_that_keeps_the_screen_is_a_script_for_the_whole_site(db: None) -> None:
    answer = Client().get("/check/worker.js")
    assert answer.status_code == 200
    assert answer["Content-Type"].startswith("text/javascript")
    assert answer["Service-Worker-Allowed"] == "/"
    assert b'const SHELL = "/check"' in answer.content
