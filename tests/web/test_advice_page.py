"""The page after a check: for every urgency, with its questions, promises and words for the vet."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.giving import advise, answer_of
from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import (
    AdviceGiven,
    Animal,
    Check,
    CheckEntry,
    FollowUp,
    FollowUpOutcome,
    Person,
    VetQuestion,
)
from cavyround.record.models.entries import new_id
from cavyround.record.promises import LookAgainAt, promise
from cavyround.web.checking.ringing import only_says_vet
from tests.builders import FINISH, OnTheTable, a_check, an_animal, found, weighed

SignedIn = Callable[[Person], Client]
LABOURED = found("laboured", "breathing", "breathing")
WATERY = found("watery", "eye", "eyes", side="L")
RED_SOLE = found("red", "front_foot", "feet", side="L", grade="slight")
LUMP = found("lump", "chest", "chest_back", kinds=["soft", "movable"], value=10, unit="mm")
EATS_LESS = found("eating_less", "appetite", "eating")

FOR_EVERY_URGENCY = {
    Urgency.NORMAL: [],
    Urgency.CARER_RECHECK: [RED_SOLE],
    Urgency.VET_DAYS: [LUMP],
    Urgency.VET_24H: [WATERY],
    Urgency.EMERGENCY: [LABOURED],
}


@pytest.fixture
def at_table(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


def checked(person: Person, animal: Animal, *touches: object, **said: Any) -> Check:
    at = said.pop("at", timezone.now() - timedelta(minutes=5))
    return a_check(person, animal, *touches, FINISH, at=at, **said)


def advised(person: Person, animal: Animal, *touches: object, **said: Any) -> AdviceGiven:
    return advise(person, checked(person, animal, *touches, **said), timezone.now())


def text_of(client: Client, given: AdviceGiven) -> str:
    page = client.get(f"/advice/{given.id}")
    assert page.status_code == 200
    return page.content.decode()


def questioned(given: AdviceGiven) -> tuple[str, int, Urgency]:
    """A question of the advice, and an answer that changes the urgency."""
    for question in answer_of(given).questions:
        for number, outcome in enumerate(question.outcomes):
            if outcome is not Urgency.from_code(given.urgency):
                return question.id, number, outcome
    msg = "this advice asks nothing"
    raise LookupError(msg)


def test_the_check_leads_to_its_advice_and_asking_twice_makes_no_second(
    at_table: Client, carer: Person, sow: Animal
) -> None:
    check = checked(carer, sow, WATERY)
    address = f"/check/{check.id}/advise"
    first = at_table.post(address, headers={"Accept": "application/json"}).json()["address"]
    again = at_table.post(address)
    assert again.status_code == 302
    assert again["Location"] == first
    assert AdviceGiven.objects.count() == 1
    unknown = at_table.post(f"/check/{new_id()}/advise", headers={"Accept": "application/json"})
    assert unknown.status_code == 404
    assert "phone" in unknown.json()["why"]


@pytest.mark.parametrize("level", list(Urgency))
def test_the_page_says_every_urgency_in_words_and_bars_and_why(
    level: Urgency, at_table: Client, carer: Person, sow: Animal
) -> None:
    given = advised(carer, sow, *FOR_EVERY_URGENCY[level], weighed("900"))
    assert given.urgency == level.code
    text = text_of(at_table, given)
    assert f'<span class="urgency" data-level="{int(level)}">' in text
    assert book().urgency_words(level) in text
    assert given.knowledge_version in text
    assert given.software_version in text
    assert "does not diagnose" in text
    answer = answer_of(given)
    for line in answer.do_now + answer.do_not:
        if not only_says_vet(line.words):
            assert line.words.split("'")[0][:30] in text
    for because in answer.because:
        assert f"Rule {because.rule}." in text


def test_what_nobody_looked_at_is_listed_as_not_checked(
    at_table: Client, carer: Person, sow: Animal
) -> None:
    text = text_of(at_table, advised(carer, sow, WATERY))
    listed = text.split('id="not-checked"')[1].split("</section>")[0]
    assert book().step("belly").words in listed
    assert book().step("eyes").words not in listed


def test_a_catching_sign_says_apart_gloves_and_who_must_be_told(
    at_table: Client, carer: Person, sow: Animal
) -> None:
    given = advised(carer, sow, found("ringworm", "nose", "nose"))
    text = text_of(at_table, given)
    assert answer_of(given).isolate
    assert "Keep it apart" in text
    assert "People can catch this" in text
    assert "Tell:" in text


def test_the_words_for_the_vet_are_plain_facts_with_weights_and_side(
    at_table: Client, carer: Person, sow: Animal
) -> None:
    checked(carer, sow, weighed("1000"), at=timezone.now() - timedelta(days=7))
    given = advised(carer, sow, WATERY, weighed("930"), {"kind": "care", "care": "eye_wipe"})
    text = text_of(at_table, given)
    told = text.split('id="vet-text"')[1].split("</textarea>")[0]
    assert "930 g" in told
    assert "1000 g" in told
    assert "eft eye" in told
    assert "eye wiped or flushed" in told


def test_an_answer_changes_the_advice_and_sent_twice_is_one_answer(
    at_table: Client, carer: Person, sow: Animal
) -> None:
    given = advised(carer, sow, EATS_LESS, weighed("900"))
    question, number, outcome = questioned(given)
    text = text_of(at_table, given)
    assert f"then: {book().urgency_words(outcome)}" in text
    form = {"once": str(new_id()), "question": question, "answer": str(number)}
    first = at_table.post(f"/advice/{given.id}/answer", form)
    second = at_table.post(f"/advice/{given.id}/answer", form)
    assert first.status_code == second.status_code == 302
    assert first["Location"] == second["Location"]
    newer = AdviceGiven.objects.first()
    assert newer
    assert first["Location"] == f"/advice/{newer.id}"
    assert newer.urgency == outcome.code
    assert CheckEntry.objects.filter(kind="answer").count() == 1
    assert AdviceGiven.objects.count() == 2
    assert "There is newer advice" in text_of(at_table, given)


def test_an_answer_to_nothing_that_was_asked_is_refused_beside_the_questions(
    at_table: Client, carer: Person, sow: Animal
) -> None:
    given = advised(carer, sow, EATS_LESS)
    form = {"once": str(new_id()), "question": "Q.no_such", "answer": "0"}
    page = at_table.post(f"/advice/{given.id}/answer", form)
    assert page.status_code == 422
    assert "Load the page again" in page.content.decode()


def test_one_touch_promises_all_and_a_second_promises_nothing_more(
    at_table: Client, carer: Person, sow: Animal
) -> None:
    given = advised(carer, sow, WATERY, RED_SOLE)
    offered = len(answer_of(given).look_again)
    assert offered >= 2
    one = at_table.post(f"/advice/{given.id}/promise", {"which": "0"})
    assert one.status_code == 302
    assert FollowUp.objects.count() == 1
    for _ in range(2):
        at_table.post(f"/advice/{given.id}/promise", {"which": "all"})
    assert FollowUp.objects.filter(advice=given).count() == offered
    eye = FollowUp.objects.get(region="eye")
    assert eye.due_at == given.made_at + answer_of(given).look_again[0].within
    assert eye.urgency == "vet_24h"
    assert text_of(at_table, given).count("promised by Tam Birch") == offered


def test_an_earlier_promise_is_settled_by_one_touch_and_stays_settled(
    at_table: Client, carer: Person, sow: Animal
) -> None:
    long_ago = timezone.now() - timedelta(days=2)
    again = LookAgainAt(due_at=long_ago, words="hind nails still to be cut")
    made = promise(carer, sow, again, long_ago)
    given = advised(carer, sow, {"kind": "step_normal", "step": "eyes"})
    assert "Promised earlier" in text_of(at_table, given)
    for outcome in ("gone", "worse"):
        form = {"follow_up": str(made.id), "outcome": outcome}
        assert at_table.post(f"/advice/{given.id}/settle", form).status_code == 302
    kept = FollowUpOutcome.objects.get()
    assert (kept.outcome, kept.check_in) == ("gone", given.check_in)
    assert "Promised earlier" not in text_of(at_table, given)
    bad = at_table.post(f"/advice/{given.id}/settle", {"follow_up": "x", "outcome": "gone"})
    assert bad.status_code == 422


def test_a_question_to_the_vet_is_asked_once(at_table: Client, carer: Person, sow: Animal) -> None:
    given = advised(carer, sow, WATERY)
    for _ in range(2):
        at_table.post(f"/advice/{given.id}/ask", {"text": "May we rinse it?"})
    question = VetQuestion.objects.get()
    assert (question.text, question.check_in) == ("May we rinse it?", given.check_in)
    empty = at_table.post(f"/advice/{given.id}/ask", {"text": "  "})
    assert empty.status_code == 422
    assert "aria-invalid" in empty.content.decode()


def test_a_note_is_an_entry_of_the_check_and_kept_once(
    at_table: Client, carer: Person, sow: Animal
) -> None:
    given = advised(carer, sow)
    form = {"once": str(new_id()), "text": "Sat apart from the others."}
    for _ in range(2):
        assert at_table.post(f"/advice/{given.id}/note", form).status_code == 302
    assert CheckEntry.objects.filter(kind="note").count() == 1
    assert "Sat apart from the others." in text_of(at_table, given)
    changed = at_table.post(f"/advice/{given.id}/note", form | {"text": "something else"})
    assert changed.status_code == 422
    assert "sent before with other words" in changed.content.decode()
    assert ">something else</textarea>" in changed.content.decode()
    assert CheckEntry.objects.filter(kind="note").count() == 1
    assert at_table.post(f"/advice/{given.id}/note", {"text": ""}).status_code == 422
    long = at_table.post(f"/advice/{given.id}/note", {"once": str(new_id()), "text": "x" * 2001})
    assert long.status_code == 422
    assert "x" * 2001 in long.content.decode()


@pytest.mark.parametrize("who", ["vet", "viewer"])
def test_a_vet_and_a_viewer_read_the_advice_but_change_nothing(
    who: str, personas: dict[str, Person], carer: Person, sow: Animal, signed_in: SignedIn
) -> None:
    given = advised(carer, sow, WATERY)
    client = signed_in(personas[who])
    text = text_of(client, given)
    assert "Promise" not in text
    for what in ("answer", "promise", "settle", "ask", "note"):
        assert client.post(f"/advice/{given.id}/{what}", {"text": "x"}).status_code == 403
    assert client.post(f"/check/{given.check_in_id}/advise").status_code == 403
    assert not FollowUp.objects.exists()


def test_the_page_leads_to_the_next_animal_of_the_round(
    at_table: Client, carer: Person, lead: Person, sow: Animal
) -> None:
    an_animal(lead, "Teasel")
    given = advised(carer, sow)
    with CaptureQueriesContext(connection) as queries:
        text = text_of(at_table, given)
    # Whose turn it is the phone knows; nobody walks the herd for it. Without script: the list.
    assert f'href="/" data-next="/check?after={sow.id}">Next animal' in text
    assert "Teasel" not in text
    assert not any('"left_on" IS NULL' in q["sql"] for q in queries)


def test_a_put_down_check_says_so(at_table: Client, carer: Person, sow: Animal) -> None:
    table = OnTheTable(sow, at=timezone.now())
    check = a_check(carer, sow, WATERY, {"kind": "put_down", "why": "it struggles"}, at=table.at)
    text = text_of(at_table, advise(carer, check, timezone.now()))
    assert "set down before the end" in text


def section(text: str, named: str) -> str:
    return text.split(f'id="{named}"')[1].split("</section>", maxsplit=1)[0]


def test_in_an_emergency_ring_the_vet_stands_once_and_first_with_all_its_reasons(
    at_table: Client, carer: Person, sow: Animal
) -> None:
    given = advised(carer, sow, LABOURED, found("collapsed", "whole", "manner"))
    answer = answer_of(given)
    ringing = [line for line in answer.do_now if only_says_vet(line.words)]
    assert ringing
    lines = section(text_of(at_table, given), "do-now").split('<ul class="sayings">')[1]
    first, *others = lines.split("<summary>")[1:]
    assert first.startswith("<span>Ring the vet now.</span>")
    assert not any("Vet now.</span>" in other or "the vet now.</span>" in other for other in others)
    for rule in {rule for line in ringing for rule in line.rules}:
        assert f"Rule {rule}." in first


@pytest.mark.parametrize(
    ("words", "only"),
    [
        ("Vet now.", True),
        ("Go to the vet now.", True),
        ("Ring the vet and go now, any hour.", True),
        ("Vet now, any hour.", True),
        ("Vet the same day if you can.", True),
        ("Ring the vet and say you are coming.", True),
        ("Vet now in a small padded carrier.", False),
        ("Go to the vet now; ask for oxygen.", False),
        ("Ring the vet now if no urine comes.", False),
        ("Vet now, with name, dose and days of the medicine.", False),
    ],
)
def test_only_what_says_no_more_than_to_go_is_merged(words: str, only: bool) -> None:
    assert only_says_vet(words) is only


def test_the_page_says_what_changed_since_last_time(
    at_table: Client, carer: Person, sow: Animal
) -> None:
    before = timezone.now() - timedelta(days=7)
    crust = found("crust", "ear", "ears", side="L")
    checked(carer, sow, crust, LUMP, found("watery", "eye", "eyes", side="R"), at=before)
    given = advised(
        carer,
        sow,
        {**crust, "grade": "same"},
        {**LUMP, "grade": "worse"},
        found("watery", "eye", "eyes", side="R", status="absent"),
        RED_SOLE,
    )
    told = section(text_of(at_table, given), "since")
    by_change = {part.split('"')[0]: part for part in told.split('data-change="')[1:]}
    assert list(by_change) == ["new", "bigger", "same", "gone"]
    for how, words in (("new", "foot"), ("bigger", "lump"), ("same", "crust"), ("gone", "eye")):
        assert words in by_change[how].lower()


def test_at_a_first_check_there_is_no_last_time_to_compare_with(
    at_table: Client, carer: Person, sow: Animal
) -> None:
    assert 'id="since"' not in text_of(at_table, advised(carer, sow, RED_SOLE))
