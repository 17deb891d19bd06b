"""Triage: facts in, an answer out. Highest urgency wins; nothing missing lowers it."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from cavyround.engines.conditions import FOR_NAMING, Matcher
from cavyround.engines.triage.answer import Answer, Because, LookAgain, Problem
from cavyround.engines.triage.asking import answered_facts, questions_for
from cavyround.engines.triage.deriving import with_derived
from cavyround.engines.triage.firing import Fired, fire, highest, holding, softened
from cavyround.engines.triage.saying import lines_not_to_do, lines_to_do
from cavyround.engines.triage.telling import tell_vet
from cavyround.facts.animal import AnimalFacts, Known
from cavyround.facts.weight_signs import WeightSigns
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.urgency import Urgency


def assess(
    facts: AnimalFacts,
    *,
    now: datetime,
    book: Knowledge,
    signs: WeightSigns | None = None,
    answers: Iterable[tuple[str, int]] = (),
) -> Answer:
    """Sort one animal: how urgent, what matters and why, what to do and what not to.

    Args:
        facts: what is known. Unknown counts as possible wherever it could matter.
        now: the moment asked about.
        book: the knowledge.
        signs: what the weighings say (``engines.weight``); None for none.
        answers: questions already answered, as (question id, number of the answer).

    It sorts and reminds; it diagnoses nothing and prescribes nothing.
    """
    given = tuple(answers)
    facts = answered_facts(facts, given, now, book)
    facts = with_derived(facts, now, book)
    calm = softened(facts, book)
    matcher = Matcher(facts, now=now, book=book, signs=signs, ignoring=calm)
    fired = fire(matcher, _naming(matcher))
    urgency = highest(fired)
    named = _most_urgent_first([one for one in fired if one.named])
    return Answer(
        animal=facts.id,
        at=now,
        urgency=urgency,
        problems=_problems(named, matcher),
        because=tuple(_because(one) for one in _most_urgent_first(fired)),
        do_now=lines_to_do(named, fired, urgency, matcher),
        do_not=lines_not_to_do(named, urgency),
        tell_vet=tell_vet(facts, now, book),
        isolate=_reasons(named, matcher, "isolate"),
        catching=_reasons(named, matcher, "catching_to_people"),
        look_again=_look_again(named, book),
        within=_within(named, urgency, book),
        questions=questions_for(
            matcher,
            answered=[question for question, _ in given],
            urgency_with=lambda other: urgency_of(other, now=now, book=book, signs=signs),
            now_urgency=urgency,
        ),
        softened=tuple(sorted(book.observation_words(seen) for seen in calm)),
        notices=_notices(facts),
        knowledge_version=book.version,
    )


def urgency_of(
    facts: AnimalFacts, *, now: datetime, book: Knowledge, signs: WeightSigns | None = None
) -> Urgency:
    """The urgency alone: what whole-herd views ask for."""
    facts = with_derived(facts, now, book)
    calm = softened(facts, book)
    return highest(holding(Matcher(facts, now=now, book=book, signs=signs, ignoring=calm)))


def _naming(matcher: Matcher) -> Matcher:
    """The same animal, asked for what may be named."""
    facts = matcher.facts
    if facts.born.latest is not None and facts.pregnant is not Known.UNKNOWN:
        return matcher
    return Matcher(
        facts,
        now=matcher.now,
        book=matcher.book,
        signs=matcher.signs,
        ignoring=matcher.ignoring,
        doubts=FOR_NAMING,
    )


def _most_urgent_first(fired: list[Fired]) -> list[Fired]:
    return sorted(fired, key=lambda one: (-one.urgency, one.rule.id))


def _because(one: Fired) -> Because:
    rule = one.rule
    return Because(
        rule=rule.id,
        says=rule.because or rule.says,
        rests_on=tuple(sorted(support.words for support in one.supports)),
        sources=rule.sources,
        urgency=one.urgency,
        raised=one.raised,
        overridden_by=f"{rule.overridden.by}: {rule.overridden.why}" if rule.overridden else "",
    )


def _problems(named: list[Fired], matcher: Matcher) -> tuple[Problem, ...]:
    kinds = matcher.book.vocabulary.problems
    rules: dict[str, list[Fired]] = {}
    for one in named:
        for code in one.rule.problems:
            if matcher.animal.may_have(kinds[code].fits):
                rules.setdefault(code, []).append(one)
    return tuple(
        Problem(
            code=code,
            words=kinds[code].words,
            urgency=highest(ones),
            rules=tuple(one.rule.id for one in ones),
        )
        for code, ones in rules.items()
    )


def _reasons(named: list[Fired], matcher: Matcher, flag: str) -> tuple[str, ...]:
    kinds = matcher.book.vocabulary.problems
    reasons: dict[str, None] = {}
    for one in named:
        for code in one.rule.problems:
            if getattr(kinds[code], flag) and matcher.animal.may_have(kinds[code].fits):
                reasons[kinds[code].words] = None
        if getattr(one.rule, flag) and not one.rule.problems:
            reasons[one.rule.says] = None
        elif getattr(one.rule, flag):
            reasons[kinds[one.rule.problems[0]].words] = None
    return tuple(reasons)


def _hours(one: Fired, book: Knowledge) -> timedelta:
    if one.rule.look_again_hours is None or one.raised:
        return book.look_again(one.urgency)
    return timedelta(hours=one.rule.look_again_hours)


def _within(named: list[Fired], urgency: Urgency, book: Knowledge) -> timedelta:
    urgent = [_hours(one, book) for one in named if one.urgency > Urgency.NORMAL]
    # Where nothing may be named the urgency itself still says how soon.
    return min(urgent, default=book.look_again(urgency))


def _look_again(named: list[Fired], book: Knowledge) -> tuple[LookAgain, ...]:
    soonest: dict[tuple[str, str, str], LookAgain] = {}
    for one in named:
        if one.urgency is Urgency.NORMAL:
            continue
        for support in sorted(one.supports, key=lambda support: support.words):
            seen = support.observation
            if seen is None:
                continue
            again = LookAgain(
                region=seen.region,
                finding=seen.finding,
                side=seen.side,
                words=support.words,
                within=_hours(one, book),
                until_gone=not one.rule.lasting,
                rules=(one.rule.id,),
            )
            known = soonest.get(seen.place)
            soonest[seen.place] = again if known is None else _merged(known, again)
    return tuple(sorted(soonest.values(), key=lambda again: (again.within, again.words)))


def _merged(one: LookAgain, other: LookAgain) -> LookAgain:
    return LookAgain(
        region=one.region,
        finding=one.finding,
        side=one.side,
        words=one.words,
        within=min(one.within, other.within),
        until_gone=one.until_gone and other.until_gone,
        rules=(*one.rules, *other.rules),
    )


def _notices(facts: AnimalFacts) -> tuple[str, ...]:
    notices = []
    found = {o.finding for o in facts.observations if o.is_there}
    if facts.sex == "boar" and found & {"pregnant", "moving_pups", "in_season"}:
        notices.append(
            "Entered as a boar, but something found belongs to a sow: sex it again, two people."
        )
    if facts.sex == "sow" and "sex_male" in found:
        notices.append("Entered as a sow, found to be male: sex it again, two people, and part it.")
    if facts.sex == "boar" and "sex_female" in found:
        notices.append("Entered as a boar, found to be female: sex it again, two people.")
    return tuple(notices)
