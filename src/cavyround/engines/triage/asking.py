"""Questions whose answer would change the urgency, and what an answer adds to the facts."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import datetime, timedelta

from cavyround.engines.conditions import Matcher
from cavyround.engines.triage.answer import Question
from cavyround.facts.animal import AnimalFacts, Event, Known, Sex
from cavyround.facts.observation import Grade, Observation, Side, Status
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.rules import AddsObservation, PossibleAnswer, QuestionAsked
from cavyround.knowledge.urgency import Urgency


def with_answer(
    facts: AnimalFacts, question: QuestionAsked, answer: int, now: datetime
) -> AnimalFacts:
    """The facts with what an answer adds; IndexError for an answer there is not."""
    return _with(facts, question.answers[answer], now)


def _with(facts: AnimalFacts, answer: PossibleAnswer, now: datetime) -> AnimalFacts:
    adds = answer.adds
    if adds.observation is not None:
        return _with_observation(facts, adds.observation, now)
    if adds.event is not None:
        return replace(facts, events=(*facts.events, Event(what=adds.event.what, on=now.date())))
    if adds.animal is None:
        return facts
    return replace(
        facts,
        sex=Sex(adds.animal.sex or facts.sex),
        pregnant=Known(adds.animal.pregnant or facts.pregnant),
        neutered=Known(adds.animal.neutered or facts.neutered),
    )


def _with_observation(facts: AnimalFacts, adds: AddsObservation, now: datetime) -> AnimalFacts:
    """Add a finding, or say more of the same finding where it is already there."""
    began = None if adds.hours is None else now - timedelta(hours=float(adds.hours))
    known = [o for o in facts.observations if (o.region, o.finding) == (adds.region, adds.finding)]
    told = [
        replace(
            o,
            status=Status(adds.status),
            began_at=began or o.began_at,
            kinds=o.kinds | frozenset(adds.kind),
            grade=Grade(adds.grade) if adds.grade else o.grade,
            value=o.value if adds.value is None else adds.value,
            unit=o.unit if adds.value is None else adds.unit,
        )
        for o in known
    ]
    new = Observation(
        region=adds.region,
        finding=adds.finding,
        side=Side(adds.side),
        status=Status(adds.status),
        kinds=frozenset(adds.kind),
        grade=Grade(adds.grade) if adds.grade else None,
        value=adds.value,
        unit=adds.unit,
        began_at=began,
        seen_at=now,
    )
    others = [o for o in facts.observations if o not in known]
    still = [o for o in facts.still_open if (o.region, o.finding) != (adds.region, adds.finding)]
    return replace(facts, observations=(*others, *(told or [new])), still_open=tuple(still))


def questions_for(
    matcher: Matcher,
    *,
    answered: Iterable[str],
    urgency_with: Callable[[AnimalFacts], Urgency],
    now_urgency: Urgency,
) -> tuple[Question, ...]:
    """The open questions of which at least one answer gives another urgency."""
    asked = []
    done = set(answered)
    for question in matcher.book.questions:
        if question.id in done or matcher.holds(question.when) is None:
            continue
        if question.known_by is not None and matcher.holds(question.known_by) is not None:
            continue
        outcomes = tuple(
            urgency_with(_with(matcher.facts, answer, matcher.now)) for answer in question.answers
        )
        if any(outcome is not now_urgency for outcome in outcomes):
            answers = tuple(answer.words for answer in question.answers)
            asked.append(
                Question(id=question.id, asks=question.asks, answers=answers, outcomes=outcomes)
            )
    return tuple(asked)


def answered_facts(
    facts: AnimalFacts, answers: Iterable[tuple[str, int]], now: datetime, book: Knowledge
) -> AnimalFacts:
    """The facts with all given answers; an answer to a question no longer known is left out."""
    questions = {question.id: question for question in book.questions}
    for question_id, answer in answers:
        question = questions.get(question_id)
        if question is not None and answer < len(question.answers):
            facts = with_answer(facts, question, answer, now)
    return facts
