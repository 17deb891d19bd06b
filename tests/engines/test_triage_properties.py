"""What holds of triage for every animal: doubt never calms, nothing said later calms either."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from random import Random

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cavyround.engines.conditions import Matcher
from cavyround.engines.triage import Answer, assess, urgency_of
from cavyround.engines.triage.asking import with_answer
from cavyround.engines.triage.deriving import with_derived
from cavyround.engines.triage.firing import CHANGES, fire
from cavyround.engines.triage.triggers import index_of
from cavyround.engines.weight import weight_signs
from cavyround.facts.animal import AnimalFacts, Born, Known, OpenFollowUp, Sex, StandingMark
from cavyround.facts.observation import Grade, Observation, Status
from cavyround.facts.weight_signs import WeightSigns
from cavyround.knowledge.urgency import Urgency
from tests.builders import NOW, TODAY, a_boar, a_sow, a_stranger, an_observation
from tests.engines.triage_strategies import BOOK, PLACES, animals, observations

SHIFT = timedelta(days=400)
LUMP = an_observation("lump", "flank", grade=Grade.SAME, value=Decimal(20), unit="mm")
SNEEZES = an_observation("sneezing", "whole")
QUIET = an_observation("quiet", "whole")
MARK = StandingMark(id="m", region="flank", finding="lump", size_mm=Decimal(20), words="fat")


def signs_of(facts: AnimalFacts) -> WeightSigns:
    return weight_signs(facts, now=NOW, book=BOOK)


def level(facts: AnimalFacts) -> Urgency:
    return urgency_of(facts, now=NOW, book=BOOK, signs=signs_of(facts))


def asked(facts: AnimalFacts) -> Answer:
    return assess(facts, now=NOW, book=BOOK, signs=signs_of(facts))


def matcher(facts: AnimalFacts) -> Matcher:
    return Matcher(facts, now=NOW, book=BOOK, signs=signs_of(facts))


@given(animals(), st.randoms(use_true_random=False))
def test_the_order_of_findings_and_events_changes_nothing(
    facts: AnimalFacts, random: Random
) -> None:
    several, happened = list(facts.observations), list(facts.events)
    random.shuffle(several)
    random.shuffle(happened)
    turned = asked(replace(facts, observations=tuple(several), events=tuple(happened)))
    straight = asked(facts)
    assert turned.urgency is straight.urgency
    assert {p.code for p in turned.problems} == {p.code for p in straight.problems}
    assert turned.because == straight.because
    assert turned.within == straight.within


@settings(max_examples=400)
@given(animals(anywhere=True), observations(anywhere=True))
def test_one_more_finding_never_lowers_the_urgency(facts: AnimalFacts, more: Observation) -> None:
    fuller = replace(facts, observations=(*facts.observations, more))
    assert level(fuller) >= level(facts)


@pytest.mark.parametrize(("region", "finding"), PLACES)
def test_no_finding_offered_calms_an_animal_of_any_kind(region: str, finding: str) -> None:
    more = an_observation(finding, region)
    for animal in (a_sow(), a_boar(), a_stranger()):
        assert level(replace(animal, observations=(QUIET, more))) >= Urgency.VET_24H
        assert level(replace(animal, observations=(SNEEZES, more))) >= Urgency.CARER_RECHECK


@given(animals(), observations(anywhere=True))
def test_what_is_said_not_to_be_there_changes_nothing(
    facts: AnimalFacts, other: Observation
) -> None:
    absent = replace(other, status=Status.ABSENT)
    told = asked(replace(facts, observations=(*facts.observations, absent)))
    plain = asked(facts)
    assert (told.urgency, told.problems, told.because) == (
        plain.urgency,
        plain.problems,
        plain.because,
    )


@given(animals(), observations())
def test_perhaps_counts_as_there(facts: AnimalFacts, seen: Observation) -> None:
    sure = replace(seen, status=Status.PRESENT)
    perhaps = replace(seen, status=Status.UNCERTAIN)
    with_sure = replace(facts, observations=(*facts.observations, sure))
    with_perhaps = replace(facts, observations=(*facts.observations, perhaps))
    assert level(with_perhaps) is level(with_sure)


@settings(max_examples=300)
@given(animals(anywhere=True))
def test_no_problem_is_named_that_cannot_befall_the_animal(facts: AnimalFacts) -> None:
    oldest, youngest = facts.born.oldest_days(TODAY), facts.born.youngest_days(TODAY)
    for problem in asked(facts).problems:
        fits = BOOK.vocabulary.problems[problem.code].fits
        assert fits.sex is None or facts.sex in (Sex.UNKNOWN, fits.sex)
        if fits.from_months is not None and oldest is not None:
            assert oldest / 30.4375 >= float(fits.from_months)
        if fits.below_months is not None and youngest is not None:
            assert youngest / 30.4375 < float(fits.below_months)


def _day(one: date | None) -> date | None:
    return None if one is None else one + SHIFT


def _moment(one: datetime | None) -> datetime | None:
    return None if one is None else one + SHIFT


def _later(facts: AnimalFacts) -> AnimalFacts:
    return replace(
        facts,
        born=Born(earliest=_day(facts.born.earliest), latest=_day(facts.born.latest)),
        due_from=_day(facts.due_from),
        observations=tuple(
            replace(o, began_at=_moment(o.began_at), seen_at=_moment(o.seen_at))
            for o in facts.observations
        ),
        weighings=tuple(replace(w, at=w.at + SHIFT) for w in facts.weighings),
        events=tuple(replace(e, on=_day(e.on)) for e in facts.events),
    )


@given(animals())
def test_the_same_animal_on_another_day_gets_the_same_answer(facts: AnimalFacts) -> None:
    moved = _later(facts)
    later = assess(
        moved,
        now=NOW + SHIFT,
        book=BOOK,
        signs=weight_signs(moved, now=NOW + SHIFT, book=BOOK),
    )
    plain = asked(facts)
    assert later.urgency is plain.urgency
    assert later.problems == plain.problems
    assert later.because == plain.because
    assert later.within == plain.within
    assert later.questions == plain.questions


UNKNOWN: dict[str, Callable[[AnimalFacts], AnimalFacts]] = {
    "sex": lambda facts: replace(facts, sex=Sex.UNKNOWN),
    "neutered": lambda facts: replace(facts, neutered=Known.UNKNOWN),
    "age": lambda facts: replace(facts, born=Born()),
    "pregnant": lambda facts: replace(facts, pregnant=Known.UNKNOWN),
    "due": lambda facts: replace(facts, due_from=None),
    "days": lambda facts: replace(
        facts, events=tuple(replace(event, on=None) for event in facts.events)
    ),
    "hours": lambda facts: replace(
        facts, observations=tuple(replace(o, began_at=None) for o in facts.observations)
    ),
}


@pytest.mark.parametrize("field", UNKNOWN)
@settings(max_examples=200)
@given(facts=animals())
def test_what_nobody_knows_is_never_sorted_lower_than_what_is_known(
    field: str, facts: AnimalFacts
) -> None:
    if field == "pregnant":
        # A sow known or thought to be pregnant is pressed harder than one of whom nobody
        # thinks so; not knowing must not weigh less than a plain no.
        facts = replace(facts, pregnant=Known.NO)
    known, unknown = level(facts), UNKNOWN[field](facts)
    if field == "days" and any(event.what == "mated" for event in facts.events):
        # Pregnant since nobody knows when is no emergency by itself; it is asked for at once.
        reached = {most for question in asked(unknown).questions for most in question.outcomes}
        assert max(reached, default=Urgency.NORMAL) >= known or level(unknown) >= known
        return
    assert level(unknown) >= known


@given(animals(anywhere=True))
def test_the_index_tries_every_rule_that_holds(facts: AnimalFacts) -> None:
    asks = matcher(facts)
    holding = [r.id for r in BOOK.rules if r.when is not None and asks.holds(r.when) is not None]
    tried = {rule.id for rule in index_of(BOOK).candidates(asks.active)}
    assert set(holding) <= tried
    assert [one.rule.id for one in fire(asks, asks) if not one.rule.fallback] == holding


def test_a_known_harmless_lump_that_is_the_same_needs_nothing() -> None:
    answer = asked(a_sow(observations=(LUMP,), marks=(MARK,)))
    assert answer.urgency is Urgency.NORMAL
    assert answer.softened


@pytest.mark.parametrize(
    "changed",
    [
        replace(LUMP, grade=Grade.WORSE),
        replace(LUMP, grade=None),
        replace(LUMP, grade=Grade.MARKED),
        replace(LUMP, value=Decimal(28)),
        replace(LUMP, region="shoulder"),
        replace(LUMP, mark_id="another"),
        *(replace(LUMP, kinds=frozenset({kind})) for kind in sorted(CHANGES)),
    ],
    ids=repr,
)
def test_a_known_mark_never_hides_a_change(changed: Observation) -> None:
    marked = a_sow(observations=(changed,), marks=(MARK,))
    assert level(marked) is level(a_sow(observations=(changed,)))


@given(observations())
def test_a_known_mark_never_hides_something_else_at_its_place(other: Observation) -> None:
    assume(not BOOK.vocabulary.findings[other.finding].benign)
    assume(other.finding != "lump")
    beside = replace(other, region="flank")
    marked = a_sow(observations=(LUMP, beside), marks=(MARK,))
    assert level(marked) is level(replace(marked, marks=()))


@given(animals())
def test_a_known_mark_raises_nothing(facts: AnimalFacts) -> None:
    marked = replace(facts, observations=(*facts.observations, LUMP), marks=(MARK,))
    assert level(marked) <= level(replace(marked, marks=()))


@given(observations())
def test_what_fails_its_recheck_goes_one_level_up(seen: Observation) -> None:
    facts = a_sow(observations=(seen,))
    before = asked(facts)
    assume(Urgency.NORMAL < before.urgency < Urgency.EMERGENCY)
    first = BOOK.rule(before.because[0].rule)
    assume(not first.lasting and before.because[0].rests_on and seen.grade is not Grade.HEALING)
    promised = OpenFollowUp(
        id="f",
        region=seen.region,
        finding=seen.finding,
        side=seen.side,
        due_at=NOW - timedelta(hours=1),
        urgency=before.urgency,
    )
    failed = asked(replace(facts, follow_ups=(promised,)))
    assert failed.urgency is before.urgency.one_up()
    assert failed.because[0].raised
    early = replace(promised, due_at=NOW + timedelta(hours=1))
    assert level(replace(facts, follow_ups=(early,))) is before.urgency


@settings(max_examples=200)
@given(animals(anywhere=True))
def test_every_reason_names_a_rule_its_sources_and_what_it_rests_on(facts: AnimalFacts) -> None:
    answer = asked(facts)
    said = {BOOK.observation_words(seen) for seen in facts.observations}
    derived = with_derived(facts, NOW, BOOK)
    said |= {BOOK.vocabulary.events[event.what] for event in derived.events}
    said |= set(signs_of(facts).words.values())
    for because in answer.because:
        rule = BOOK.rule(because.rule)
        assert because.says
        assert because.sources == rule.sources
        assert set(because.sources) <= set(BOOK.sources)
        assert set(because.rests_on) <= said
    assert answer.urgency is max(
        (because.urgency for because in answer.because), default=Urgency.NORMAL
    )


@settings(max_examples=200)
@given(animals(anywhere=True))
def test_every_line_of_advice_stands_in_the_rules_it_names(facts: AnimalFacts) -> None:
    answer = asked(facts)
    fired = {because.rule for because in answer.because}
    for field in ("do_now", "do_not"):
        for line in getattr(answer, field):
            assert line.rules
            assert set(line.rules) <= fired
            for rule in line.rules:
                lines = set(getattr(BOOK.rule(rule), field))
                called = line.words in CALLS
                assert called or line.words in lines or lines & spoken_as(line.words)
    for problem in answer.problems:
        assert set(problem.rules) <= fired


# The call to the vet is said for the urgency itself, whichever rule gave it.
CALLS = {words for topic in BOOK.topics.values() if topic.first for words in topic.say.values()}


def spoken_as(words: str) -> set[str]:
    """The lines that a topic says in these words."""
    topics = [topic for topic in BOOK.topics.values() if words in topic.say.values()]
    return {line for topic in topics for line in topic.lines}


@settings(max_examples=60)
@given(animals())
def test_a_question_says_beforehand_what_each_answer_leads_to(facts: AnimalFacts) -> None:
    answer = asked(facts)
    by_id = {question.id: question for question in BOOK.questions}
    for question in answer.questions:
        assert any(outcome is not answer.urgency for outcome in question.outcomes)
        for number, outcome in enumerate(question.outcomes):
            told = with_answer(facts, by_id[question.id], number, NOW)
            assert urgency_of(told, now=NOW, book=BOOK, signs=signs_of(facts)) is outcome


def test_nothing_found_is_as_it_should_be() -> None:
    answer = asked(a_sow())
    assert answer.urgency is Urgency.NORMAL
    assert not answer.problems
    assert answer.within == timedelta(days=7)


@pytest.mark.parametrize("finding", sorted(BOOK.vocabulary.findings))
def test_no_finding_is_passed_over_in_silence(finding: str) -> None:
    if BOOK.vocabulary.findings[finding].benign:
        return
    unnatural = an_observation(finding, "lips")
    assert asked(a_stranger(observations=(unnatural,))).because
