"""Cases from the whole field, answered as expected however coded and whatever is missing."""

from collections.abc import Iterator
from typing import Any

import pytest

from cavyround.commands.cases import Case
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.urgency import Urgency
from tests.scenario_files import Written, answer, codes_are_known, reworded, urgency, written

ALL = {**written(), **reworded()}
ASKED_FOR = {"isolate": "isolate", "zoonotic": "zoonotic_caution"}
# Nothing but the weighing told of these; without it there is nothing to sort.
WEIGHING_ALONE = {
    "F103", "F104", "F105", "F106", "F108", "F109", "F110", "F111", "F126", "F180", "F181", "T34",
}  # fmt: skip
# In these the weighing lifts a case that the findings alone place lower, still in the accepted set.
WEIGHING_LIFTS = {"F143", "F214"}
# A light animal is only light for a grown one; a mating of a day nobody knows is asked about;
# an injury of unknown cause is one thing at arrival and another in a settled group.
TOLD_BY = {"F180": {"age_months", "signalment"}, "F191": {"days"}, "F205": {"setting"}}


def faults(case: Written, said: Written) -> Iterator[str]:
    """Everything in which an answer differs from what is expected."""
    expected = case["expected"]
    if said["urgency"] not in expected["urgency_accept"]:
        yield f"urgency {said['urgency']}, accepted {expected['urgency_accept']}"
    for wanted in expected.get("must_list", []):
        if not set(wanted.split("|")) & set(said["problems"]):
            yield f"{wanted} is not named"
    for refused in expected.get("must_not_codes", []):
        if refused in said["problems"]:
            yield f"{refused} is named"
    for phrase in expected.get("must_not_say", []):
        if phrase.lower() in said["text"].lower():
            yield f"the text says {phrase!r}"
    yield from _other_faults(expected, said)


def _other_faults(expected: Written, said: Written) -> Iterator[str]:
    for asked, field in ASKED_FOR.items():
        if expected[asked] not in ("either", said[field]):
            yield f"{field} is {said[field]}"
    if said["recheck_hours"] > float(expected["recheck_hours_window"][1]):
        yield f"looked at again after {said['recheck_hours']} hours, too late"


@pytest.mark.parametrize("case_id", ALL)
def test_a_case_is_answered_as_expected(case_id: str, book: Knowledge) -> None:
    case = ALL[case_id]
    assert not list(faults(case, answer(case, book))), case["story"]


def test_every_code_of_the_cases_is_in_the_vocabulary(book: Knowledge) -> None:
    assert codes_are_known(book) == len(written())
    words = book.vocabulary
    for case in reworded().values():
        for found in Case.model_validate(case).findings:
            assert found.region in words.regions, case["id"]
            assert found.finding in words.findings, case["id"]
            assert set(found.kind) <= set(words.kinds), case["id"]


def test_every_expected_problem_is_one_that_can_be_named(book: Knowledge) -> None:
    for case in written().values():
        expected = case["expected"]
        wanted = {code for item in expected.get("must_list", []) for code in item.split("|")}
        assert wanted | set(expected.get("must_not_codes", [])) <= set(book.vocabulary.problems)
        assert expected["sources"], case["id"]


def test_every_problem_is_wanted_by_some_case(book: Knowledge) -> None:
    wanted = {
        code
        for case in written().values()
        for item in case["expected"].get("must_list", [])
        for code in item.split("|")
    }
    assert set(book.vocabulary.problems) - wanted == set()


def test_other_words_for_the_same_case_give_the_same_urgency_nearly_always(
    book: Knowledge,
) -> None:
    others = reworded().values()
    bases = written()
    same = sum(
        urgency(other, book) is urgency(bases[other["id"].split(".")[0]], book) for other in others
    )
    assert same >= 0.97 * len(others)


def test_no_emergency_is_missed_and_no_case_is_sorted_too_low(book: Knowledge) -> None:
    for case in ALL.values():
        least = min(Urgency.from_code(code) for code in case["expected"]["urgency_accept"])
        assert urgency(case, book) >= least, case["id"]


def test_the_best_level_is_met_in_most_cases(book: Knowledge) -> None:
    met = [urgency(c, book).code == c["expected"]["urgency_best"] for c in written().values()]
    assert sum(met) >= 0.85 * len(met)


def _without(case: Written) -> Iterator[tuple[str, Written]]:
    signalment = case.get("signalment", {})
    for field in signalment:
        left = {key: said for key, said in signalment.items() if key != field}
        yield field, {**case, "signalment": left}
    yield "signalment", {**case, "signalment": {}}
    yield "setting", {key: said for key, said in case.items() if key != "setting"}
    yield "hours", {**case, "findings": _left_out(case.get("findings", []), "hours")}
    yield "days", {**case, "events": _left_out(case.get("events", []), "days_ago")}
    if case["id"].split(".")[0] not in WEIGHING_ALONE | WEIGHING_LIFTS:
        yield "weights", {**case, "weights": []}


def _left_out(several: list[dict[str, Any]], field: str) -> list[dict[str, Any]]:
    return [{key: said for key, said in one.items() if key != field} for one in several]


@pytest.mark.parametrize("case_id", ALL)
def test_no_urgency_falls_when_something_is_not_known(case_id: str, book: Knowledge) -> None:
    case = ALL[case_id]
    whole = urgency(case, book)
    for left_out, rest in _without(case):
        if left_out in TOLD_BY.get(case_id, ()):
            continue
        assert urgency(rest, book) >= whole, f"without {left_out}"


def test_without_its_weighing_a_lifted_case_stays_in_the_accepted_set(book: Knowledge) -> None:
    for case_id in WEIGHING_LIFTS:
        case = {**written()[case_id], "weights": []}
        assert answer(case, book)["urgency"] in case["expected"]["urgency_accept"]


def test_a_mating_of_unknown_day_is_asked_about(book: Knowledge) -> None:
    rest = dict(_without(written()["F191"]))["days"]
    assert "Q.past_term" in answer(rest, book)["questions"]


def test_an_unexplained_injury_stays_in_the_accepted_set_wherever_it_lives(
    book: Knowledge,
) -> None:
    case = written()["F205"]
    rest = dict(_without(case))["setting"]
    assert answer(rest, book)["urgency"] in case["expected"]["urgency_accept"]


# The kind was not said: where one kind would be an emergency, the carer is asked for it.
SEXES = (
    {"sex": "boar", "age_months": "30", "neutered": "no"},
    {"sex": "sow", "age_months": "30", "neutered": "no", "pregnant": "no"},
    {"sex": "sow", "age_months": "14", "neutered": "no", "pregnant": "yes"},
)


def _kinds_at_the_table(book: Knowledge) -> Iterator[tuple[str, str, Written]]:
    words = book.vocabulary
    offered = {
        (region, finding)
        for step in book.steps
        for region, several in step.offers.items()
        for finding in several
        if words.findings[finding].kinds
    }
    for region, finding in sorted(offered):
        for animal in SEXES:
            if words.regions[region].sex in (None, animal["sex"]):
                yield region, finding, {"signalment": animal}


def test_a_kind_that_would_be_an_emergency_is_asked_for(book: Knowledge) -> None:
    silent = []
    for region, finding, whose in _kinds_at_the_table(book):
        plain = {"id": "plain", **whose, "findings": [{"region": region, "finding": finding}]}
        said = answer(plain, book)
        if said["urgency"] == "emergency" or said["questions"]:
            continue
        for kind in book.vocabulary.findings[finding].kinds:
            told = [{"region": region, "finding": finding, "kind": [kind]}]
            if urgency({**plain, "findings": told}, book) is Urgency.EMERGENCY:
                silent.append((region, finding, kind))
    assert silent == []


def _needless(said: Written) -> Iterator[str]:
    """Lines that would harm or contradict where they stand."""
    text = said["text"]
    for one, other in (
        ("warm bottle", "cool damp cloth"),
        ("Keep it warm", "cool damp cloth"),
        ("Offer ", "bloat / tight painful belly"),
        ("Wash with lukewarm water", "Do not bathe it."),
        ("Lift it with", "Slide it flat"),
    ):
        if one in text and other in text:
            yield f"{one!r} beside {other!r}"


@pytest.mark.parametrize("case_id", ALL)
def test_no_advice_contradicts_another_and_each_line_is_said_once(
    case_id: str, book: Knowledge
) -> None:
    said = answer(ALL[case_id], book)
    lines = said["text"].splitlines()
    assert not list(_needless(said))
    assert len(lines) == len(set(lines))
    assert sum(line.startswith(("Ring the vet now", "Book a vet")) for line in lines) <= 1


@pytest.mark.parametrize("case_id", written())
def test_the_order_in_which_things_are_said_changes_nothing(case_id: str, book: Knowledge) -> None:
    case = written()[case_id]
    turned = {**case, "findings": case.get("findings", [])[::-1]}
    first, second = answer(case, book), answer(turned, book)
    assert first["urgency"] == second["urgency"]
    assert set(first["problems"]) == set(second["problems"])
    assert first["recheck_hours"] == second["recheck_hours"]
