"""Advice after a check: given once, kept whole, and the same when it is run again."""

import json
from datetime import timedelta
from typing import Any

import pytest

from cavyround import __version__
from cavyround.advice.book import book as book_in_use
from cavyround.advice.giving import advise, answer_of, assess_check
from cavyround.advice.plans import coverage_of, plan_for
from cavyround.advice.storing import answer_from, as_json, facts_from
from cavyround.engines.triage import Answer, assess
from cavyround.facts.observation import Side
from cavyround.facts.weight_signs import WeightSigns
from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import AdviceGiven, Animal, Check, CheckEntry, Person
from cavyround.record.promises import LookAgainAt, promise
from tests.builders import (
    FINISH,
    NOW,
    OnTheTable,
    a_check,
    a_sow,
    an_observation,
    found,
    keep,
    weighed,
)

HOUR = timedelta(hours=1)
SCRATCHING = found("scratching", "skin", "skin")
NO_URINE = found("none_passed", "urine", "urine")


@pytest.fixture
def check(carer: Person, sow: Animal) -> Check:
    """Yellow discharge of one eye, and a weight."""
    discharge = found("discharge", "eye", "eyes", side="L", kinds=["yellow"])
    return a_check(carer, sow, discharge, weighed(912), FINISH)


def test_asking_twice_makes_one_row(carer: Person, check: Check) -> None:
    first = advise(carer, check, NOW)
    again = advise(carer, check, NOW + timedelta(minutes=1))
    assert first == again
    assert AdviceGiven.objects.count() == 1


def test_a_new_finding_makes_new_advice_and_the_old_stays(carer: Person, sow: Animal) -> None:
    table = OnTheTable(sow)
    keep(carer, [table.touch(found())])
    first = advise(carer, table.row, NOW)
    keep(carer, [table.touch(found("laboured", "breathing", "breathing"))])
    second = advise(carer, table.row, NOW)
    assert (second.urgency, AdviceGiven.objects.count()) == ("emergency", 2)
    first.refresh_from_db()
    assert first.urgency != "emergency"


def test_a_recheck_that_finds_it_again_is_one_level_up_and_waiting_is_not(
    carer: Person, lead: Person, sow: Animal, check: Check
) -> None:
    again = LookAgainAt(
        due_at=NOW + HOUR, words="left eye", region="eye", finding="discharge", side="L"
    )
    promise(lead, sow, again, NOW)
    before = advise(carer, check, NOW)
    waited = advise(carer, check, NOW + 2 * HOUR)
    assert waited.urgency == before.urgency
    again_there = CheckEntry.objects.get(check_in=check, kind="observation").data
    recheck = a_check(carer, sow, again_there, at=NOW + 2 * HOUR, kind="recheck")
    after = advise(carer, recheck, NOW + 2 * HOUR)
    assert Urgency.from_code(after.urgency) is Urgency.from_code(before.urgency).one_up()


def test_hours_that_add_up_make_new_advice(carer: Person, sow: Animal) -> None:
    check = a_check(carer, sow, {**NO_URINE, "hours": 1})
    soon, late = advise(carer, check, NOW), advise(carer, check, NOW + 24 * HOUR)
    assert Urgency.from_code(late.urgency) > Urgency.from_code(soon.urgency)


def test_what_was_stored_reads_back_equal(carer: Person, check: Check) -> None:
    answer, _ = assess_check(check, NOW)
    given = AdviceGiven.objects.get(pk=advise(carer, check, NOW).pk)
    assert answer_of(given) == answer
    assert answer.problems
    assert answer_from(json.loads(json.dumps(as_json(answer)))) == answer


def test_advice_run_again_from_what_is_stored_is_the_same(carer: Person, check: Check) -> None:
    given = AdviceGiven.objects.get(pk=advise(carer, check, NOW).pk)
    inputs = given.inputs
    again = assess(
        facts_from(inputs["facts"]),
        now=given.made_at,
        book=book_in_use(),
        signs=WeightSigns(words=inputs["signs"]),
        answers=[(question, answer) for question, answer in inputs["answers"]],
    )
    assert again == answer_of(given)
    assert again.urgency.code == given.urgency


def test_the_versions_are_kept(carer: Person, check: Check) -> None:
    given = advise(carer, check, NOW)
    assert (given.software_version, given.knowledge_version) == (
        __version__,
        book_in_use().version,
    )
    assert answer_of(given).knowledge_version == book_in_use().version
    assert (given.made_by, given.made_at, given.animal) == (carer, NOW, check.animal)


def test_other_knowledge_makes_new_advice(
    carer: Person, check: Check, monkeypatch: pytest.MonkeyPatch
) -> None:
    advise(carer, check, NOW)
    other = book_in_use().model_copy(update={"version": "2027.1"})
    monkeypatch.setattr("cavyround.advice.giving.book", lambda: other)
    assert advise(carer, check, NOW).knowledge_version == "2027.1"
    assert AdviceGiven.objects.count() == 2


def test_an_answer_to_a_question_changes_the_facts(carer: Person, sow: Animal) -> None:
    table = OnTheTable(sow)
    keep(carer, [table.touch(SCRATCHING)])
    before = answer_of(advise(carer, table.row, NOW))
    assert before.questions
    for question in before.questions:
        for number, outcome in enumerate(question.outcomes):
            answer: dict[str, Any] = {"kind": "answer", "question": question.id, "answer": number}
            touch = table.touch(answer)
            keep(carer, [touch])
            after = answer_of(advise(carer, table.row, NOW))
            assert after.urgency is outcome
            assert question.id not in {one.id for one in after.questions}
            keep(carer, [table.touch({"kind": "take_back", "entry": touch["id"]})])


def test_the_advice_knows_what_both_phones_saw(
    carer: Person, other_carer: Person, sow: Animal
) -> None:
    one, other = OnTheTable(sow), OnTheTable(sow)
    keep(carer, [one.touch({"kind": "step_normal", "step": "eyes"})])
    keep(other_carer, [other.touch(found("laboured", "breathing", "breathing"))])
    assert advise(carer, one.row, NOW).urgency == "emergency"


def test_sets_are_written_in_one_order_so_that_the_same_is_the_same() -> None:
    kinds = frozenset({"yellow", "thick", "dry", "dark", "bloody", "brown"})
    facts = a_sow(
        coat=frozenset({"long", "rex", "satin"}),
        observations=(an_observation("discharge", "eye", side=Side.LEFT, kinds=kinds),),
    )
    stored = as_json(facts)
    assert stored["coat"] == ["long", "rex", "satin"]
    assert stored["observations"][0]["kinds"] == sorted(kinds)
    assert facts_from(stored) == facts


def test_what_a_check_left_out_is_told(carer: Person, sow: Animal) -> None:
    head = {"kind": "hold_normal", "hold": "head", "steps": ["ears", "mouth"]}
    done = coverage_of(a_check(carer, sow, head, FINISH))
    assert done.normal == ("ears", "mouth")
    assert "nails" in done.not_checked


def test_a_plan_is_made_for_an_animal_of_the_record(carer: Person, sow: Animal) -> None:
    a_check(carer, sow, found("lump", "flank", "chest_back"), at=NOW - timedelta(days=7))
    [step] = [one for one in plan_for(sow, NOW).steps if one.code == "chest_back"]
    assert [one.finding for one in step.carried] == ["lump"]


def test_a_later_weigh_in_does_not_wipe_what_nobody_looked_at_since(
    carer: Person, sow: Animal
) -> None:
    abscess = found("abscess", "neck", "chin_neck")
    first = advise(carer, a_check(carer, sow, abscess, at=NOW - 24 * HOUR), NOW - 24 * HOUR)
    weigh_in = a_check(carer, sow, {"kind": "weight", "grams": "900"}, kind="weigh_in")
    later = advise(carer, weigh_in, NOW)
    assert Urgency.from_code(first.urgency) is Urgency.VET_24H
    assert later.urgency == first.urgency
    assert later.isolate
    assert any("not looked at since" in words for words in rests_on(answer_of(later)))


def test_what_was_looked_at_again_and_is_as_it_should_be_counts_no_more(
    carer: Person, sow: Animal
) -> None:
    a_check(carer, sow, found("abscess", "neck", "chin_neck"), at=NOW - 24 * HOUR)
    healed = a_check(carer, sow, {"kind": "step_normal", "step": "chin_neck"})
    assert Urgency.from_code(advise(carer, healed, NOW).urgency) < Urgency.VET_24H


def rests_on(answer: Answer) -> list[str]:
    return [words for because in answer.because for words in because.rests_on]


def test_coverage_is_measured_by_what_was_planned_then(carer: Person, sow: Animal) -> None:
    check = a_check(carer, sow, {"kind": "step_normal", "step": "eyes"}, FINISH, kind="recheck")
    Check.objects.filter(pk=check.pk).update(planned=["eyes", "weight"])
    check.refresh_from_db()
    done = coverage_of(check)
    assert (done.normal, done.not_checked) == (("eyes",), ("weight",))


@pytest.mark.parametrize(
    ("touch", "outcome"),
    [
        ({"status": "absent"}, "gone"),
        ({"grade": "same"}, "same"),
        ({"grade": "healing"}, "better"),
        ({"grade": "worse"}, "worse"),
    ],
)
def test_what_a_check_found_answers_the_promise_to_look_again(
    carer: Person, sow: Animal, touch: dict[str, str], outcome: str
) -> None:
    wax = LookAgainAt(due_at=NOW, words="left ear", region="ear", finding="wax", side="L")
    promised = promise(carer, sow, wax, NOW - 24 * HOUR)
    check = a_check(carer, sow, found("wax", "ear", "ears", side="L", **touch), at=NOW)
    first, again = advise(carer, check, NOW), advise(carer, check, NOW)
    assert [one.outcome for one in promised.outcomes.all()] == [outcome]
    assert first == again


def test_a_step_as_it_should_be_says_what_was_promised_there_is_gone(
    carer: Person, sow: Animal
) -> None:
    wax = LookAgainAt(due_at=NOW, words="left ear", region="ear", finding="wax", side="L")
    promised = promise(carer, sow, wax, NOW - 24 * HOUR)
    chore = promise(carer, sow, LookAgainAt(due_at=NOW, words="nails to cut"), NOW - 24 * HOUR)
    advise(carer, a_check(carer, sow, {"kind": "step_normal", "step": "ears"}), NOW)
    assert [one.outcome for one in promised.outcomes.all()] == ["gone"]
    assert not chore.outcomes.exists()


def test_what_nobody_looked_at_stays_promised(carer: Person, sow: Animal) -> None:
    wax = LookAgainAt(due_at=NOW, words="left ear", region="ear", finding="wax", side="L")
    promised = promise(carer, sow, wax, NOW - 24 * HOUR)
    advise(carer, a_check(carer, sow, {"kind": "weight", "grams": "900"}), NOW)
    assert not promised.outcomes.exists()
