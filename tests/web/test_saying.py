"""Words from the table: read, given back with where they stand, and never recorded by that."""

import json
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client

from cavyround.advice.book import book
from cavyround.engines.spoken import (
    Ask,
    ReadAnimal,
    ReadNote,
    RedFlag,
    SaidCare,
    SaidFinding,
    SaidWord,
    Span,
)
from cavyround.facts.entries import Found, read_touch
from cavyround.facts.observation import Grade, Side, Status
from cavyround.record.models import Animal, CheckEntry, Person
from cavyround.web.checking import saying
from cavyround.web.checking.body_places import PLACES, spots
from cavyround.web.checking.read_back import as_json
from tests.builders import a_pen, an_animal

SignedIn = Callable[[Person], Client]


def read(*findings: SaidFinding, care: Any = (), text: str = "", **note: Any) -> Any:
    animal = ReadAnimal(name="Bracken", findings=findings, care=tuple(care))
    told = as_json(ReadNote(animals=(animal,), **note), text, book())
    return told["animals"][0]["items"]


def eye(**said: Any) -> SaidFinding:
    return SaidFinding(**({"region": "eye", "finding": "watery", "step": "eyes"} | said))


def test_every_item_is_the_touch_a_thumb_would_have_made() -> None:
    items = read(
        eye(side=Side.LEFT, grade=Grade.SLIGHT),
        eye(finding="crust", side=Side.RIGHT, status=Status.UNCERTAIN),
        eye(finding="discharge", side=Side.BOTH, kinds=frozenset({"yellow"})),
        SaidFinding(
            region="flank",
            finding="lump",
            side=Side.LEFT,
            value=Decimal(15),
            unit="mm",
            step="chest_back",
        ),
        SaidFinding(region="ear", finding="normal", side=Side.BOTH, step="ears"),
        care=[SaidCare(care="nail_trim", status="partly")],
    )
    touches = [item["touch"] for item in items]
    for touch in touches:
        read_touch(touch)
    assert touches[0]["grade"] == "slight"
    assert touches[1]["status"] == "uncertain"
    assert touches[2]["kinds"] == ["yellow"]
    assert (touches[3]["value"], touches[3]["unit"]) == ("15", "mm")
    assert touches[4] == {"kind": "step_normal", "step": "ears"}
    assert touches[5] == {"kind": "care", "care": "nail_trim", "side": "N", "status": "partly"}


def test_one_ear_that_is_as_it_should_be_says_nothing_of_the_other() -> None:
    (item,) = read(SaidFinding(region="ear", finding="normal", side=Side.RIGHT, step="ears"))
    touch = read_touch(item["touch"])
    assert isinstance(touch, Found)
    assert touch.side is Side.RIGHT


def test_a_temperature_is_kept_and_does_no_step() -> None:
    (item,) = read(
        SaidFinding(region="whole", finding="temperature", value=Decimal("38.6"), unit="C")
    )
    touch = read_touch(item["touch"])
    assert isinstance(touch, Found)
    assert touch.step == ""
    assert touch.value == Decimal("38.6")


def test_a_size_in_things_keeps_its_words_and_gets_no_number() -> None:
    (item,) = read(
        SaidFinding(region="chest", finding="lump", value="pea", unit="object", step="chest_back")
    )
    assert "value" not in item["touch"]
    assert item["said"] == "pea object"


# 2 lb 3 oz: 35 ounces of 28.349523125 g, exactly (International Yard and Pound Agreement, 1959).
def test_a_weight_is_kept_in_grams_with_what_was_said() -> None:
    (item,) = read(
        SaidFinding(
            region="whole",
            finding="weight",
            value="2lb3oz",
            unit="lb_oz",
            grams=Decimal("992.2"),
            step="weight",
        )
    )
    assert item["touch"] == {"kind": "weight", "grams": "992.2", "as_typed": "said 2lb3oz"}
    assert not item["unit_asked"]


def test_a_weight_without_a_unit_is_no_touch_yet_and_is_asked_for() -> None:
    (item,) = read(
        SaidFinding(region="whole", finding="weight", value=Decimal("2.4"), step="weight")
    )
    assert item["touch"] is None
    assert item["unit_asked"]


def test_a_change_of_weight_is_shown_and_not_recorded() -> None:
    change = SaidFinding(
        region="whole", finding="weight_change", value=Decimal(-14), unit="g", grams=Decimal(-14)
    )
    (item,) = read(change)
    assert item["touch"] is None
    assert item["what"] == "weight_change"


@pytest.mark.parametrize(
    ("unit", "detail", "asked"),
    [("ml", "0.3 ml", False), (None, "0.3, no unit said", True)],
)
def test_a_dose_never_gets_a_unit_nobody_said(unit: str | None, detail: str, asked: bool) -> None:
    given = SaidCare(care="medicine_dose", product="meloxicam", value=Decimal("0.3"), unit=unit)
    (item,) = read(care=[given])
    assert item["touch"]["detail"] == detail
    assert item["unit_asked"] is asked
    read_touch(item["touch"])


def test_places_in_the_text_are_counted_as_a_browser_counts_them() -> None:
    text = "🐹 left eye weepy"
    start = text.index("left")
    span = Span(start=start, end=start + 4)
    word = SaidWord(span=span, used=True)
    note = ReadNote(animals=(), words=(word,))
    ((begin, end, used, _),) = as_json(note, text, book())["words"]
    utf16 = text.encode("utf-16-le")
    assert utf16[2 * begin : 2 * end].decode("utf-16-le") == "left"
    assert used


def test_a_red_flag_says_what_to_do_as_its_rule_does() -> None:
    rule = next(one for one in book().rules if one.do_now and one.do_not)
    flag = RedFlag(animal="Bracken", region="anus", finding="maggots", says="maggots", rule=rule.id)
    (told,) = as_json(ReadNote(red_flags=(flag,)), "", book())["red_flags"]
    assert set(told["do_now"]) <= set(rule.do_now)
    assert told["do_not"] == list(rule.do_not)


def test_what_must_be_asked_is_passed_on() -> None:
    ask = Ask(kind="side", words="Which eye?", spans=(Span(start=0, end=3),))
    note = ReadNote(animals=(ReadAnimal(name="Bracken", asks=(ask,)),))
    (animal,) = as_json(note, "eye weepy", book())["animals"]
    assert animal["asks"] == [{"kind": "side", "words": "Which eye?", "spans": [[0, 3]]}]


@pytest.mark.parametrize("region", sorted(book().vocabulary.regions))
@pytest.mark.parametrize("side", list(Side))
def test_a_spot_lies_on_the_drawing_on_the_animals_own_side(region: str, side: Side) -> None:
    for spot in spots(region, side):
        x, y, above = int(str(spot["x"])), int(str(spot["y"])), spot["view"] == "above"
        assert 0 < x < 1000
        assert 0 < y < 1000
        if side in (Side.LEFT, Side.RIGHT) and x != 500:
            # From above the animal's left lies on the left of the drawing, from below on the right.
            assert (x < 500) is ((side is Side.LEFT) is above)
    if side is Side.BOTH and region in PLACES and PLACES[region].off:
        assert len(spots(region, side)) == 2


@pytest.fixture
def bracken(lead: Person) -> Animal:
    return an_animal(lead, "Bracken", pen=a_pen())


@pytest.fixture
def at_table(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


def post(client: Client, sent: Any) -> Any:
    return client.post(
        "/check/said",
        sent if isinstance(sent, str) else json.dumps(sent),
        content_type="application/json",
        headers={"Accept": "application/json"},
    )


def test_words_are_read_and_nothing_is_recorded(at_table: Client, bracken: Animal) -> None:
    answer = post(at_table, {"animal": str(bracken.pk), "text": "Left eye is weepy. Ears clean."})
    assert answer.status_code == 200
    items = answer.json()["animals"][0]["items"]
    assert {"kind": "step_normal", "step": "ears"} in [item["touch"] for item in items]
    (weepy,) = [item for item in items if item["touch"].get("finding") == "watery"]
    assert weepy["touch"]["side"] == "L"
    assert not CheckEntry.objects.exists()


@pytest.mark.parametrize("pen", ["the same", "another"])
def test_what_is_said_of_another_by_name_is_not_said_of_the_one_on_the_table(
    pen: str, at_table: Client, bracken: Animal, lead: Person
) -> None:
    where = bracken.pen if pen == "the same" else a_pen(name="far side")
    an_animal(lead, "Tansy", pen=where)
    text = "This is Tansy. Left eye is weepy. 905 grams."
    read = post(at_table, {"animal": str(bracken.pk), "text": text}).json()["animals"]
    assert [one["name"] for one in read if one["items"]] == ["Tansy"]


def test_a_red_flag_is_in_the_answer_before_the_sentence_is_done(
    at_table: Client, bracken: Animal
) -> None:
    text = "There are maggots on her bottom and"
    flags = post(at_table, {"animal": str(bracken.pk), "text": text}).json()["red_flags"]
    assert flags
    assert flags[0]["do_now"]


@pytest.mark.parametrize("text", ["", " ", "\0", "🐹🐹🐹", "1\n00:00:01,000 --> 00:00:02,000\nhm"])
def test_words_without_a_finding_answer_with_none(
    text: str, at_table: Client, bracken: Animal
) -> None:
    answer = post(at_table, {"animal": str(bracken.pk), "text": text})
    assert answer.status_code == 200
    assert not any(one["items"] for one in answer.json()["animals"])


@pytest.mark.parametrize("sent", ["{", "[]", {"text": 5}, {}])
def test_what_is_no_text_is_refused_in_words(sent: Any, at_table: Client, bracken: Animal) -> None:
    answer = post(at_table, sent)
    assert answer.status_code == 400
    assert "still on the phone" in answer.json()["why"]


def test_too_much_at_once_is_refused_in_words_without_being_read(
    at_table: Client, bracken: Animal, monkeypatch: pytest.MonkeyPatch
) -> None:
    def too_late(*_: object, **__: object) -> None:
        pytest.fail("a text too long was read before it was refused")

    monkeypatch.setattr(saying, "read_note", too_late)
    answer = post(at_table, {"animal": str(bracken.pk), "text": "eye " * 250_000})
    assert answer.status_code == 413
    assert "split it" in answer.json()["why"]


def test_an_animal_nobody_knows_is_refused_in_words(at_table: Client) -> None:
    answer = post(at_table, {"animal": "nobody", "text": "left eye weepy"})
    assert answer.status_code == 404
    assert "stay on the phone" in answer.json()["why"]


@pytest.mark.parametrize("who", ["vet", "viewer"])
def test_who_may_not_record_reads_no_words_into_findings_either(
    who: str, personas: dict[str, Person], bracken: Animal, signed_in: SignedIn
) -> None:
    answer = post(signed_in(personas[who]), {"animal": str(bracken.pk), "text": "x"})
    assert answer.status_code == 403


@pytest.mark.parametrize(
    ("text", "beside"),
    [
        (
            "Eyes bright and clear. No, hang on, left eye's weepy.",
            {"kind": "observation", "step": "eyes", "region": "eye", "finding": "normal"}
            | {"side": "R"},
        ),
        ("Belly soft and fine. Belly is hard.", None),
    ],
)
def test_a_step_with_something_amiss_is_never_as_it_should_be_as_a_whole(
    text: str, beside: dict[str, str] | None, at_table: Client, bracken: Animal
) -> None:
    answer = post(at_table, {"animal": str(bracken.pk), "text": text}).json()
    touches = [item["touch"] for one in answer["animals"] for item in one["items"]]
    assert not [one for one in touches if one["kind"] == "step_normal"]
    assert beside is None or beside in touches
    assert any(one["kind"] == "observation" and one["finding"] != "normal" for one in touches)
