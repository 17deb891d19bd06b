"""The box for weights: read, looked at, and only then recorded; twice is once."""

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from html import unescape
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils import timezone

from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import Animal, Check, CheckEntry, Person, WeighIn, WeightSaid
from tests.builders import FINISH, a_check, a_pen, an_animal, weighed

SignedIn = Callable[[Person], Client]
ADDRESS = "/weigh-in/paste/"
DAY = "2026-03-04"


@pytest.fixture
def at_desk(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


@pytest.fixture
def bramble(lead: Person) -> Animal:
    return an_animal(lead, "Bramble")


def send(client: Client, text: str, **said: Any) -> Any:
    return client.post(ADDRESS, {"text": text, "day": DAY, "step": "read", **said})


def said_of(page: Any) -> dict[int, tuple[str, str]]:
    """By line: what becomes of it, and why."""
    return {line.number: (line.state, line.why) for line in page.context["lines"]}


def record(client: Client, text: str, **said: Any) -> Any:
    """Read, then record exactly what was looked at."""
    looked_at = send(client, text, **said)
    seen = looked_at.context["seen"]
    return send(client, text, **said, step="record", seen=seen)


def weights() -> list[tuple[str, Decimal]]:
    return [(row.animal.name, row.grams) for row in WeighIn.objects.order_by("animal__name", "at")]


def test_the_box_is_for_those_who_record(
    personas: dict[str, Person], signed_in: SignedIn, client: Client
) -> None:
    allowed = {name: signed_in(one).get(ADDRESS).status_code for name, one in personas.items()}
    assert allowed == {"lead": 200, "carer": 200, "vet": 403, "viewer": 403}
    assert client.get(ADDRESS).status_code == 302


def test_reading_records_nothing(at_desk: Client, bramble: Animal) -> None:
    page = send(at_desk, "Bramble 912 g")
    assert page.status_code == 200
    assert said_of(page) == {1: ("new", "")}
    assert "912 g (2 lb 0.2 oz)" in page.content.decode()
    assert not CheckEntry.objects.exists()


def test_what_was_accepted_is_recorded_with_who_when_and_whence(
    at_desk: Client, carer: Person, bramble: Animal
) -> None:
    page = record(at_desk, "Bramble 2 lb 1 oz")
    assert "1 weight recorded" in page.content.decode()
    row = WeighIn.objects.get()
    assert (row.animal, row.grams, row.by) == (bramble, Decimal("935.5"), carer)
    assert row.as_typed == "paste: 2 lb 1 oz"
    assert not row.doubted
    assert timezone.localtime(row.at).isoformat() == "2026-03-04T12:00:00+00:00"
    check = Check.objects.get()
    assert check.kind == "weigh_in"
    assert check.finished_at
    assert check.planned == ["weight"]
    assert {one.made_by for one in CheckEntry.objects.all()} == {carer}


def test_a_weight_of_today_is_not_in_the_future(at_desk: Client, bramble: Animal) -> None:
    record(at_desk, f"{timezone.localdate().isoformat()} Bramble 912 g")
    assert WeighIn.objects.get().at <= timezone.now()


def test_what_is_pasted_twice_is_recorded_once(at_desk: Client, bramble: Animal) -> None:
    record(at_desk, "Bramble 912 g")
    again = send(at_desk, "Bramble 912 g")
    assert said_of(again)[1][0] == "known"
    assert "In the record already" in said_of(again)[1][1]
    record(at_desk, "Bramble 912 g")
    assert weights() == [("Bramble", Decimal(912))]


def test_the_same_sending_twice_changes_nothing(at_desk: Client, bramble: Animal) -> None:
    seen = send(at_desk, "Bramble 912 g").context["seen"]
    for _ in range(2):
        send(at_desk, "Bramble 912 g", step="record", seen=seen)
    assert weights() == [("Bramble", Decimal(912))]
    assert CheckEntry.objects.count() == 2


def test_what_was_weighed_at_the_table_that_day_is_known(
    at_desk: Client, carer: Person, bramble: Animal
) -> None:
    at = timezone.now() - timedelta(days=3)
    a_check(carer, bramble, weighed("912"), FINISH, at=at)
    page = send(at_desk, "Bramble 912 g", day=timezone.localdate(at).isoformat())
    assert said_of(page)[1][0] == "known"


def test_the_same_line_twice_in_one_text_is_one_weight(at_desk: Client, bramble: Animal) -> None:
    page = record(at_desk, "Bramble 912 g\nClover 1 g\nbramble 912 g")
    assert "written twice" in page.content.decode()
    assert weights() == [("Bramble", Decimal(912))]


def test_what_was_taken_back_is_not_recorded_again_in_silence(
    at_desk: Client, carer: Person, bramble: Animal
) -> None:
    record(at_desk, "Bramble 912 g")
    check, entry = Check.objects.get(), CheckEntry.objects.get(kind="weight")
    take_back = {"kind": "take_back", "entry": str(entry.pk)}
    a_check(carer, bramble, take_back, kind="weigh_in", at=check.started_at, id=check.id)
    assert not WeighIn.objects.exists()
    page = send(at_desk, "Bramble 912 g")
    assert said_of(page)[1][0] == "known"
    assert "taken back or corrected" in said_of(page)[1][1]


def test_a_unit_that_is_not_said_is_asked_for(at_desk: Client, bramble: Animal) -> None:
    page = send(at_desk, "Bramble 912")
    assert said_of(page)[1] == ("asked", "“912” has no unit: say what such numbers are in.")
    assert page.context["asks_unit"]
    record(at_desk, "Bramble 912")
    assert weights() == []
    record(at_desk, "Bramble 912", unit="g")
    assert weights() == [("Bramble", Decimal(912))]


def test_a_day_that_is_not_said_is_asked_for(at_desk: Client, bramble: Animal) -> None:
    page = send(at_desk, "Bramble 912 g", day="")
    assert said_of(page)[1][0] == "asked"
    assert "No day is written" in said_of(page)[1][1]


def test_a_name_that_two_animals_have_is_asked_for(
    at_desk: Client, lead: Person, bramble: Animal
) -> None:
    other = an_animal(lead, "Bramble", sex="boar", pen=a_pen(name="Pen 7"))
    page = send(at_desk, "Bramble 912 g")
    (line,) = page.context["lines"]
    assert line.state == "asked"
    assert {one for one, _ in line.options} == {str(bramble.pk), str(other.pk)}
    assert "Pen 7" in page.content.decode()
    record(at_desk, "Bramble 912 g", **{f"who-{line.key}": str(other.pk)})
    assert WeighIn.objects.get().animal == other


def test_a_name_nobody_has_is_offered_only_what_it_is_like(
    at_desk: Client, bramble: Animal
) -> None:
    page = send(at_desk, "Brambel 912 g\nHazel 912 g")
    assert said_of(page)[1][0] == "asked"
    assert said_of(page)[2][0] == "unreadable"
    assert "No animal here is called “Hazel”" in said_of(page)[2][1]


def test_what_cannot_be_read_stays_in_the_box_with_its_day(
    at_desk: Client, bramble: Animal
) -> None:
    page = record(at_desk, "5 March 2026\nBramble 912 g\nHazel 900 g\nBramble heavy", day="")
    assert weights() == [("Bramble", Decimal(912))]
    assert page.context["text"] == "2026-03-05\nHazel 900 g\nBramble heavy"
    again = send(at_desk, page.context["text"], day="")
    assert {line.on.isoformat() for line in again.context["lines"]} == {"2026-03-05"}


def test_the_rows_of_a_table_that_stay_keep_their_headers(at_desk: Client, bramble: Animal) -> None:
    text = "name,date,weight_g\nBramble,2026-03-04,912\nHazel,2026-03-04,900"
    page = record(at_desk, text)
    assert page.context["text"] == "name,date,weight_g\nHazel,2026-03-04,900"
    assert weights() == [("Bramble", Decimal(912))]


def test_a_text_changed_after_it_was_looked_at_is_shown_again(
    at_desk: Client, bramble: Animal
) -> None:
    seen = send(at_desk, "Bramble 912 g").context["seen"]
    page = send(at_desk, "Bramble 921 g", step="record", seen=seen)
    assert "not quite what you looked at" in page.content.decode()
    assert weights() == []


def test_a_line_left_out_is_not_recorded(at_desk: Client, lead: Person, bramble: Animal) -> None:
    an_animal(lead, "Clover")
    text = "Bramble 912 g\nClover 1043 g"
    key = send(at_desk, text).context["lines"][0].key
    seen = send(at_desk, text, **{f"leave-{key}": "on"}).context["seen"]
    send(at_desk, text, **{f"leave-{key}": "on"}, step="record", seen=seen)
    assert weights() == [("Clover", Decimal(1043))]


def known_for_weeks(carer: Person, animal: Animal, grams: int, weeks: int = 8) -> None:
    start = timezone.now() - timedelta(weeks=weeks, days=1)
    for week in range(weeks):
        at = start + timedelta(weeks=week)
        a_check(carer, animal, weighed(str(grams + week % 3)), FINISH, at=at)


def test_a_weight_far_from_what_is_known_is_doubted_and_kept_as_doubtful(
    at_desk: Client, carer: Person, bramble: Animal
) -> None:
    known_for_weeks(carer, bramble, 912)
    today = timezone.localdate().isoformat()
    page = send(at_desk, "Bramble 192 g", day=today)
    (line,) = page.context["lines"]
    assert line.state == "doubted"
    assert line.doubt.reason == "swapped_digits"
    assert line.doubt.words in page.content.decode()
    record(at_desk, "Bramble 192 g", day=today)
    assert WeighIn.objects.get(grams=192).doubted


def test_two_weights_that_changed_places_are_doubted_for_each_other(
    at_desk: Client, carer: Person, lead: Person
) -> None:
    pen = a_pen()
    heavy, light = an_animal(lead, "Clover", pen=pen), an_animal(lead, "Hazel", pen=pen)
    known_for_weeks(carer, heavy, 1288)
    known_for_weeks(carer, light, 655)
    page = send(at_desk, "Clover 657 g, Hazel 1288 g", day=timezone.localdate().isoformat())
    doubts = [line.doubt for line in page.context["lines"]]
    assert [doubt.reason for doubt in doubts] == ["neighbour", "neighbour"]
    assert "Hazel" in doubts[0].words
    assert "Clover" in doubts[1].words


def test_a_whole_history_is_judged_by_its_own_earlier_lines(
    at_desk: Client, bramble: Animal
) -> None:
    rows = [f"2025-12-{day:02},Bramble,{900 + day}" for day in range(1, 30, 7)]
    page = send(at_desk, "\n".join(["date,name,weight_g", *rows, "2026-01-05,Bramble,9"]))
    states = [line.state for line in page.context["lines"]]
    assert states == ["new"] * 5 + ["unreadable"]
    far = send(at_desk, "\n".join(["date,name,weight_g", *rows, "2026-01-05,Bramble,413"]))
    assert [line.state for line in far.context["lines"]] == ["new"] * 5 + ["doubted"]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("2099-01-01 Bramble 912 g", "has not come yet"),
        ("1999-01-01 Bramble 912 g", "too long ago"),
        ("2025-02-01 Bramble 912 g", "was not born before"),
        ("31/2/2026 Bramble 912 g", "no calendar"),
    ],
)
def test_a_day_that_cannot_be_is_refused_in_words(
    at_desk: Client, lead: Person, text: str, why: str
) -> None:
    born = date(2025, 6, 1)
    an_animal(lead, "Bramble", born_earliest=born, born_latest=born)
    page = send(at_desk, text)
    assert said_of(page)[1][0] == "unreadable"
    assert why in said_of(page)[1][1]


def test_a_file_is_read_and_stands_in_the_box(at_desk: Client, bramble: Animal) -> None:
    written = "name,date,weight_g\nBramble,2026-03-04,912\n"
    for content in (written.encode("utf-8-sig"), written.encode("utf-16"), written.encode()):
        page = send(at_desk, "", file=SimpleUploadedFile("weights.csv", content))
        assert [line.state for line in page.context["lines"]] == ["new"]
        assert "Bramble,2026-03-04,912" in page.content.decode()
    text, seen = page.context["text"], page.context["seen"]
    send(at_desk, text, step="record", seen=seen, source=page.context["source"])
    assert WeighIn.objects.get().as_typed == "file: 912 g"


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"text": "  "}, "text"),
        ({"text": "Bramble 912 g\n" * 1001}, "text"),
        ({"text": "Bramble 912 g", "day": "someday"}, "day"),
        ({"text": "", "file": SimpleUploadedFile("a.xlsx", b"PK\x03\x04\x00\x01")}, "file"),
        ({"text": "Bramble 912 g", "file": SimpleUploadedFile("a.csv", b"x")}, "file"),
    ],
)
def test_a_faulty_form_says_so_beside_the_field_and_loses_nothing(
    at_desk: Client, said: dict[str, Any], field: str
) -> None:
    if "file" in said:
        said["file"].seek(0)
    page = send(at_desk, **said)
    assert page.status_code == 422
    assert set(page.context["faults"]) == {field}
    assert f'id="{field}-fault"' in page.content.decode()
    assert page.context["text"] == said["text"]


def test_what_was_recorded_says_what_it_means(
    at_desk: Client, carer: Person, bramble: Animal
) -> None:
    known_for_weeks(carer, bramble, 912)
    today = timezone.localdate()
    days = [(today - timedelta(days=off)).isoformat() for off in (2, 1, 0)]
    text = "\n".join(
        f"{day} Bramble {grams} g" for day, grams in zip(days, (806, 804, 803), strict=True)
    )
    page = record(at_desk, text)
    (said,) = page.context["said"]
    assert said["animal"] == bramble
    assert said["level"] >= Urgency.VET_DAYS
    for words in said["why"]:
        assert words in unescape(page.content.decode())
    kept = WeightSaid.objects.get(animal=bramble)
    assert kept.level == said["level"]


def test_a_name_with_signs_is_shown_and_not_run(at_desk: Client, lead: Person) -> None:
    an_animal(lead, "<b>Tag</b>")
    page = send(at_desk, "<b>Tag</b> 912 g\n<script>x</script> 900 g")
    text = page.content.decode()
    assert "<b>Tag" not in text
    assert "<script>x" not in text
