"""The plan of a check: whole, gentle, and never shortened by what nobody knows."""

from collections.abc import Iterable
from datetime import timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavyround.engines.check import Plan, PlannedStep, changed_since, coverage, plan_check
from cavyround.facts.animal import (
    AnimalFacts,
    Born,
    Event,
    Known,
    OpenFollowUp,
    Place,
    Sex,
    StandingMark,
)
from cavyround.facts.observation import Grade, Observation, Side, Status
from cavyround.facts.sitting import fold
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge
from tests.builders import (
    NOW,
    TODAY,
    a_boar,
    a_sow,
    a_stranger,
    an_observation,
    found,
    made,
    months_old,
)

BOOK = load_knowledge()
ALL_STEPS = {step.code for step in BOOK.steps}
HOLD_ORDER = [hold.code for hold in BOOK.holds]
GASPING = an_observation("laboured", "breathing")
animals = st.builds(
    AnimalFacts,
    id=st.just("any"),
    sex=st.sampled_from(Sex),
    neutered=st.sampled_from(Known),
    born=st.sampled_from([Born(), months_old(0.3), months_old(8), months_old(70)]),
    pregnant=st.sampled_from(Known),
    due_from=st.sampled_from([None, TODAY + timedelta(days=9), TODAY + timedelta(days=60)]),
    coat=st.sampled_from([frozenset(), frozenset({"long"}), frozenset({"hairless"})]),
    place=st.sampled_from([None, *Place]),
    observations=st.lists(
        st.builds(
            an_observation,
            finding=st.sampled_from(sorted(BOOK.vocabulary.findings)),
            region=st.sampled_from(sorted(BOOK.vocabulary.regions)),
            side=st.sampled_from(Side),
            status=st.sampled_from(Status),
        ),
        max_size=4,
    ).map(tuple),
    events=st.lists(
        st.sampled_from(sorted(BOOK.vocabulary.events)).map(lambda what: Event(what=what)),
        max_size=2,
    ).map(tuple),
)


def plan_of(facts: AnimalFacts, kind: str = "full") -> Plan:
    return plan_check(facts, now=NOW, book=BOOK, kind=kind)


def step_of(plan: Plan, code: str) -> PlannedStep:
    [step] = [step for step in plan.steps if step.code == code]
    return step


def left_out(plan: Plan) -> set[str]:
    holds = {step.code for hold in plan.holds if hold.not_now for step in hold.steps}
    return holds | {step.code for step in plan.steps if step.left_out}


def codes(steps: Iterable[PlannedStep]) -> list[str]:
    return [step.code for step in steps]


@given(animals)
def test_every_step_comes_at_most_once(facts: AnimalFacts) -> None:
    planned = codes(plan_of(facts).steps)
    assert len(planned) == len(set(planned))


@given(animals)
def test_the_animal_is_looked_at_before_it_is_touched_and_turned_least(facts: AnimalFacts) -> None:
    holds = [hold.code for hold in plan_of(facts).holds]
    assert holds[0] == "watch"
    assert holds == [code for code in HOLD_ORDER if code in holds]


@given(animals)
def test_whatever_is_left_out_says_why(facts: AnimalFacts) -> None:
    plan = plan_of(facts)
    assert set(codes(plan.steps)) == ALL_STEPS
    assert all(hold.steps for hold in plan.holds)


@given(animals)
def test_a_gasping_animal_is_never_tipped_up_and_the_hold_says_why(facts: AnimalFacts) -> None:
    for kind in ("full", "arrival"):
        plan = plan_of(
            AnimalFacts(
                id="gasps",
                sex=facts.sex,
                born=facts.born,
                place=facts.place,
                observations=(*facts.observations, GASPING),
            ),
            kind,
        )
        [tipped] = [hold for hold in plan.holds if hold.code == "tipped"]
        assert "breathing" in tipped.not_now


@pytest.mark.parametrize(
    "sign",
    [
        GASPING,
        an_observation("open_mouth", "breathing"),
        an_observation("laboured", "breathing", status=Status.UNCERTAIN),
        an_observation("breath_rate", "breathing", value=Decimal(140), unit="per_min"),
        an_observation("fits", "whole"),
        an_observation("collapsed", "whole"),
        an_observation("bloated", "belly"),
        an_observation("moving_pups", "belly"),
    ],
)
def test_an_animal_of_unknown_sex_and_age_that_tipping_could_harm_is_not_tipped(
    sign: Observation,
) -> None:
    plan = plan_of(a_stranger(observations=(sign,)))
    [tipped] = [hold for hold in plan.holds if hold.code == "tipped"]
    assert tipped.not_now


def test_a_sow_late_in_pregnancy_is_not_tipped() -> None:
    plan = plan_of(a_sow(pregnant=Known.YES, due_from=TODAY + timedelta(days=9)))
    [tipped] = [hold for hold in plan.holds if hold.code == "tipped"]
    assert "late pregnancy" in tipped.not_now


def test_nothing_is_left_out_because_it_is_not_known() -> None:
    assert left_out(plan_of(a_stranger())) == set()


@given(animals)
def test_knowing_less_of_the_animal_leaves_out_nothing_more(facts: AnimalFacts) -> None:
    less = AnimalFacts(id=facts.id, observations=facts.observations, events=facts.events)
    known_boar = facts.sex is Sex.BOAR
    # What is known only of sows may rule something out again once the animal is a known boar.
    assert known_boar or left_out(plan_of(less)) <= left_out(plan_of(facts))


def test_the_urinary_opening_of_an_old_sow_matters_more_and_says_why() -> None:
    old = step_of(plan_of(a_sow(born=months_old(60))), "genitals")
    young = step_of(plan_of(a_sow(born=months_old(10))), "genitals")
    assert any("urinary opening" in words for words in old.why_more)
    assert not any("urinary opening" in words for words in young.why_more)


def test_the_sac_of_an_old_boar_matters_more_and_says_why() -> None:
    old = step_of(plan_of(a_boar(born=months_old(60))), "bottom")
    assert any("into the sac" in words for words in old.why_more)
    assert not any("into the sac" in w for w in step_of(plan_of(a_sow()), "bottom").why_more)


def test_sore_parts_come_last_in_their_hold_and_nothing_else_moves() -> None:
    usual = {hold.code: codes(hold.steps) for hold in plan_of(a_sow()).holds}
    sore_ear = an_observation("sore", "ear", side=Side.LEFT)
    plan = plan_of(a_sow(before=(sore_ear,)))
    for hold in plan.holds:
        moved = [code for code in usual[hold.code] if code == "ears"]
        stays = [code for code in usual[hold.code] if code != "ears"]
        assert codes(hold.steps) == stays + moved
    assert step_of(plan, "ears").sore


def test_a_part_that_was_said_not_to_hurt_is_not_sore() -> None:
    gone = an_observation("sore", "ear", status=Status.ABSENT)
    assert not step_of(plan_of(a_sow(observations=(gone,))), "ears").sore


def test_what_was_found_last_time_is_asked_again_at_its_step() -> None:
    lump = an_observation("lump", "flank", side=Side.LEFT, value=Decimal(8), unit="mm", seen_at=NOW)
    [asked] = step_of(plan_of(a_sow(before=(lump,))), "chest_back").carried
    assert (asked.region, asked.finding, asked.side, asked.size_mm) == (
        "flank",
        "lump",
        "L",
        Decimal(8),
    )
    assert asked.since == "03 March 2026"
    assert "8 mm" in asked.words


def test_what_was_harmless_or_gone_last_time_is_not_asked_again() -> None:
    before = (
        an_observation("moulting", "coat"),
        an_observation("crust", "eye", status=Status.ABSENT),
    )
    plan = plan_of(a_sow(before=before))
    assert [step.carried for step in plan.steps if step.carried] == []


def test_a_standing_mark_is_asked_once_and_says_who_judged_it() -> None:
    mark = StandingMark(
        id="m1", region="chin", finding="fat_pad", words="fatty lump", said_by="Dr A. Vet"
    )
    known = an_observation("fat_pad", "chin", mark_id="m1")
    [asked] = step_of(plan_of(a_sow(marks=(mark,), before=(known,))), "chin_neck").carried
    assert asked.mark_id == "m1"
    assert asked.words == "fatty lump (Dr A. Vet)"


def test_the_kit_for_a_boar_has_gloves_and_swabs() -> None:
    boar, sow = plan_of(a_boar()).kit, plan_of(a_sow()).kit
    assert "single-use gloves" in boar
    assert any("swabs" in item for item in boar)
    assert not any("swabs" in item for item in sow)


def test_the_kit_for_an_animal_of_unknown_sex_has_gloves_too() -> None:
    assert "single-use gloves" in plan_of(a_stranger()).kit


def test_nothing_is_laid_out_for_a_hold_that_is_not_used_today() -> None:
    clippers = "nail clippers, small and sharp"
    assert clippers in plan_of(a_sow()).kit
    assert clippers not in plan_of(a_sow(observations=(GASPING,))).kit


def test_a_quick_feel_takes_what_a_hand_passes_anyway() -> None:
    plan = plan_of(a_sow(), "quick")
    assert [hold.code for hold in plan.holds] == ["watch", "lift", "scale"]


def test_a_weigh_in_is_the_scales_alone() -> None:
    assert codes(plan_of(a_sow(), "weigh_in").steps) == ["weight"]


def test_a_recheck_takes_the_places_of_the_promises_with_watching_and_weighing() -> None:
    promise = OpenFollowUp(id="f", region="eye", finding="discharge", due_at=NOW)
    plan = plan_of(a_sow(follow_ups=(promise,)), "recheck")
    watching = {step.code for step in BOOK.steps if step.hold == "watch"}
    assert set(codes(plan.steps)) == watching | {"weight", "eyes"}


def test_a_recheck_without_any_promise_is_a_whole_check() -> None:
    assert set(codes(plan_of(a_sow(), "recheck").steps)) == ALL_STEPS


def test_an_arrival_check_takes_everything() -> None:
    assert set(codes(plan_of(a_stranger(), "arrival").steps)) == ALL_STEPS


def test_a_step_not_checked_is_never_normal() -> None:
    plan = plan_of(a_sow())
    sitting = fold(
        [
            made({"kind": "hold_normal", "hold": "head", "steps": ["ears", "mouth"]}),
            made({"kind": "step_skipped", "step": "nails", "why": "struggled"}),
            made(found("crust", "eye", "eyes")),
        ]
    )
    done = coverage(codes(plan.steps), sitting.steps)
    assert (done.normal, done.found, done.skipped) == (("ears", "mouth"), ("eyes",), ("nails",))
    assert set(done.not_checked) == ALL_STEPS - {"ears", "mouth", "eyes", "nails"}


def test_a_check_of_every_step_is_whole() -> None:
    plan = plan_of(a_sow())
    steps = [made({"kind": "step_normal", "step": code}) for code in codes(plan.steps)]
    assert not coverage(codes(plan.steps), fold(steps).steps).not_checked


@given(st.lists(st.sampled_from(sorted(ALL_STEPS)), unique=True))
def test_every_planned_step_is_in_one_part_of_the_coverage(touched: list[str]) -> None:
    plan = plan_of(a_sow())
    sitting = fold([made({"kind": "step_normal", "step": step}) for step in touched])
    done = coverage(codes(plan.steps), sitting.steps)
    parts = [*done.normal, *done.found, *done.skipped, *done.not_checked]
    assert sorted(parts) == sorted(codes(plan.steps))
    assert set(done.normal) == set(touched)


def test_what_changed_since_last_time_is_told_apart() -> None:
    lump = an_observation("lump", "flank", side=Side.LEFT)
    sore = an_observation("sore", "foot")
    now_seen = {
        "same": lump,
        "bigger": an_observation("crust", "nose", grade=Grade.WORSE),
        "gone": an_observation("sore", "foot", status=Status.ABSENT),
        "new": an_observation("lump", "flank", side=Side.RIGHT),
    }
    changed = changed_since(now_seen.values(), [lump, sore])
    assert changed == {how: (seen,) for how, seen in now_seen.items()}


def test_what_nobody_looked_at_is_never_gone() -> None:
    changed = changed_since([], [an_observation("lump", "flank")])
    assert changed["gone"] == ()


def test_what_was_said_to_be_gone_last_time_is_new_when_it_is_back() -> None:
    gone = an_observation("lump", "flank", status=Status.ABSENT)
    back = an_observation("lump", "flank")
    assert changed_since([back], [gone])["new"] == (back,)


def test_the_plan_is_made_from_the_book_it_is_given(book: Knowledge) -> None:
    shorter = book.model_copy(update={"steps": book.steps[:3]})
    planned = plan_check(a_sow(), now=NOW, book=shorter).steps
    assert codes(planned) == [step.code for step in book.steps[:3]]
