"""What the check screen sends: touches and photos, each once, and who may."""

import json
from collections.abc import Callable
from datetime import datetime, timedelta
from io import BytesIO
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils import timezone
from PIL import Image
from pytest_django import Settings

from cavyround.advice.plans import coverage_of
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
from tests.builders import OnTheTable, an_animal, found, weighed

SignedIn = Callable[[Person], Client]
WATCHED = ["manner", "breathing", "eating", "droppings", "urine", "legs_gait"]


def send(client: Client, *touches: object, **said: Any) -> Any:
    return client.post(
        "/check/touches",
        json.dumps({"touches": touches, **said}),
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
        {"id": []},
        {**table.touch({"kind": "finish"}), "id": []},
        {**table.touch({"kind": "dance"}), "id": {"a": 1}},
        "no touch at all",
    ]
    answer = send(at_table, bad[0], good, *bad[1:]).json()
    assert answer["kept"] == [good["id"]]
    assert len(answer["refused"]) == len(bad)
    assert all(len(one["why"]) > 10 for one in answer["refused"])
    assert "glitter" in " ".join(one["why"] for one in answer["refused"])
    assert not WeighIn.objects.exists()
    assert StepState.objects.count() == len(WATCHED)


DEEP = '{"touches": ' + "[" * 100_000


@pytest.mark.parametrize("body", ["", "[]", "{}", '{"touches": 3}', "nonsense", DEEP])
def test_what_is_no_list_of_touches_is_refused_in_words(at_table: Client, body: str) -> None:
    answer = at_table.post("/check/touches", body, content_type="application/json")
    assert answer.status_code == 400
    assert "phone still has them" in answer.json()["why"]


def test_a_phone_a_year_ahead_is_kept_at_the_right_time_and_told_the_time(
    at_table: Client, bracken: Animal
) -> None:
    ahead = timezone.now() + timedelta(days=365)
    table = on_the_table(bracken, at=ahead)
    touch = table.touch(found("discharge", "eye", "eyes"))
    answer = send(at_table, touch, sent_at=ahead.isoformat()).json()
    assert answer["kept"] == [touch["id"]]
    now = timezone.now()
    assert now - datetime.fromisoformat(answer["now"]) < timedelta(minutes=1)
    assert abs(now - Observed.objects.get().at) < timedelta(minutes=1)
    assert abs(now - table.row.started_at) < timedelta(minutes=1)
    page = at_table.get(f"/checks/{table.id}").content.decode()
    assert f"by the phone&#x27;s own clock {ahead.day} " in page.replace("'", "&#x27;")
    assert "clock was 365 days ahead when this was sent" in page
    assert "the time of 1 entry was set right" in page


@pytest.mark.parametrize("sent_at", [None, 3, "", "soon", {}, "2026-03-03"])
def test_a_sending_that_does_not_say_its_time_is_kept_all_the_same(
    at_table: Client, bracken: Animal, sent_at: object
) -> None:
    touch = on_the_table(bracken).touch({"kind": "step_normal", "step": "eyes"})
    assert send(at_table, touch, sent_at=sent_at).json()["kept"] == [touch["id"]]


def test_a_number_of_five_thousand_digits_falls_alone(at_table: Client, bracken: Animal) -> None:
    table = on_the_table(bracken)
    good, bad = table.touch(weighed("912")), table.touch(weighed("ENDLESS"))
    marked = table.touch({"kind": "mark", "view": "above", "x": "ENDLESS", "y": 3})
    body = json.dumps({"touches": [bad, good, marked, {**good, "by": "ENDLESS"}]})
    for digits in ("9" * 5000, "-" + "9" * 5000):
        answer = at_table.post(
            "/check/touches",
            body.replace('"ENDLESS"', digits),
            content_type="application/json",
            headers={"Accept": "application/json"},
        )
        assert answer.status_code == 200
        assert answer.json()["kept"] == [good["id"]]
        refused = {one["id"]: one["why"] for one in answer.json()["refused"]}
        assert refused.keys() == {bad["id"], marked["id"], good["id"]}
        assert "This is no number" in refused[bad["id"]]
        assert max(map(len, refused.values())) < 200


def test_a_weight_of_five_thousand_digits_is_refused_in_few_words(
    at_table: Client, bracken: Animal
) -> None:
    touch = on_the_table(bracken).touch(weighed("9" * 5000))
    [refused] = send(at_table, touch).json()["refused"]
    assert "no guinea pig's weight" in refused["why"]
    assert len(refused["why"]) < 200


def test_more_than_five_hundred_touches_at_once_are_sent_back_whole(
    at_table: Client, bracken: Animal
) -> None:
    table = on_the_table(bracken)
    touches = [table.touch({"kind": "step_normal", "step": "eyes"}) for _ in range(501)]
    answer = send(at_table, *touches)
    assert answer.status_code == 413
    assert "nothing is lost" in answer.json()["why"]
    assert not Check.objects.exists()
    assert len(send(at_table, *touches[:500]).json()["kept"]) == 500


def test_more_bytes_than_can_be_read_at_once_are_sent_back_whole(
    at_table: Client, bracken: Animal, settings: Settings
) -> None:
    settings.DATA_UPLOAD_MAX_MEMORY_SIZE = 2000
    table = on_the_table(bracken)
    answer = send(at_table, table.touch({"kind": "note", "text": "x" * 1900}))
    assert answer.status_code == 413
    assert "nothing is lost" in answer.json()["why"]


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


@pytest.mark.parametrize(
    "made_at",
    ["2026-13-01T10:00:00Z", "0001-01-01T00:00:00+14:00", "9999-12-31T23:59:00-12:00", "x"],
)
def test_a_photo_of_an_impossible_moment_is_kept_as_made_now(
    at_table: Client, bracken: Animal, made_at: str
) -> None:
    out = BytesIO()
    Image.new("RGB", (60, 40), "tan").save(out, "JPEG")
    answer = a_photo(
        at_table, on_the_table(bracken), out.getvalue(), made_at=made_at, check="{}", caption="\0"
    )
    assert answer.status_code == 200
    assert timezone.now() - Photo.objects.get().made_at < timedelta(minutes=1)


@pytest.mark.parametrize("off", [timedelta(days=40), timedelta(days=-9000)])
def test_a_photo_from_a_phone_with_a_wrong_clock_is_kept_at_the_right_time(
    at_table: Client, bracken: Animal, off: timedelta
) -> None:
    out = BytesIO()
    Image.new("RGB", (60, 40), "tan").save(out, "JPEG")
    theirs = timezone.now() + off
    said = {"made_at": (theirs - timedelta(hours=1)).isoformat(), "sent_at": theirs.isoformat()}
    assert a_photo(at_table, on_the_table(bracken), out.getvalue(), **said).status_code == 200
    old = timezone.now() - Photo.objects.get().made_at
    assert abs(old - timedelta(hours=1)) < timedelta(minutes=1)


def test_what_was_planned_on_the_phone_is_what_the_check_is_measured_by(
    at_table: Client, bracken: Animal
) -> None:
    touch = on_the_table(bracken).touch({"kind": "step_normal", "step": "eyes"})
    touch["check"]["planned"] = ["eyes", "weight"]
    assert send(at_table, touch).json()["kept"]
    check = Check.objects.get()
    assert coverage_of(check).not_checked == ("weight",)
    page = at_table.get(f"/checks/{check.id}").content.decode()
    assert "Weight: <em>not checked</em>" in page.replace("weight", "Weight")
    assert page.count("<em>not checked</em>") == 1


def test_the_worker_that_keeps_the_screen_is_a_script_for_the_whole_site(db: None) -> None:
    answer = Client().get("/check/worker.js")
    assert answer.status_code == 200
    assert answer["Content-Type"].startswith("text/javascript")
    assert answer["Service-Worker-Allowed"] == "/"
    assert b'const SHELLS = ["/check", "/weigh\\u002Din/", "/dose\\u002Dround/"]' in answer.content
