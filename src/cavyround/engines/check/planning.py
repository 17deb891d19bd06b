"""Plan a check: the steps that fit this animal, in the holds that turn it least.

Look before touch: the holds come in the order of the knowledge, watching first.
Within a hold sore parts come last. A hold that would harm today (a gasping
animal is not turned up) says so and is left out; nothing is left out because
something is not known.
"""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any, TypeVar

from cavyround.engines.check.plan import CarriedOver, Plan, PlannedHold, PlannedStep
from cavyround.engines.conditions import FOR_PLANNING, Matcher
from cavyround.facts.animal import AnimalFacts
from cavyround.facts.observation import Grade, Observation, sides_agree
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.conditions import Condition
from cavyround.knowledge.steps import Hold, MattersMore, NotFor, Step

W = TypeVar("W")
PAIN = frozenset({"pain_when_touched", "sore", "wound", "bite", "abscess", "swelling", "broken"})
# A quick feel at every pick-up looks at what a hand passes anyway. Common practice, no source.
QUICK_HOLDS = ("watch", "lift", "scale")


def plan_check(facts: AnimalFacts, *, now: datetime, book: Knowledge, kind: str = "full") -> Plan:
    """The plan of a check.

    Args:
        facts: the animal; ``observations`` are what is known of it now, ``before`` its past.
        now: the moment of the check.
        book: the knowledge.
        kind: ``full``, ``arrival``, ``quick`` or ``recheck``. A recheck takes the steps of
            the open follow-ups with watching and weighing; an arrival check takes all.
    """
    matcher = Matcher(facts, now=now, book=book, doubts=FOR_PLANNING, with_earlier=False)
    wanted = _wanted(facts, book, kind)
    holds = tuple(
        hold
        for planned in book.holds
        if (hold := _hold(planned, matcher, wanted)).steps or hold.not_now
    )
    return Plan(
        animal=facts.id,
        holds=holds,
        promised=tuple(one.words for one in facts.follow_ups if not book.step_of(one.region)),
        kit=_kit(holds, matcher),
    )


def _wanted(facts: AnimalFacts, book: Knowledge, kind: str) -> frozenset[str]:
    if kind == "quick":
        return frozenset(step.code for step in book.steps if step.hold in QUICK_HOLDS)
    if kind == "weigh_in":
        return frozenset({"weight"})
    if kind == "recheck" and facts.follow_ups:
        due = {book.step_of(follow_up.region) for follow_up in facts.follow_ups}
        return frozenset(due) | {s.code for s in book.steps if s.hold in ("watch", "scale")}
    return frozenset(step.code for step in book.steps)


def _first(reasons: Iterable[NotFor], matcher: Matcher) -> str:
    return next((r.words for r in reasons if matcher.holds(r.when) is not None), "")


def _hold(hold: Hold, matcher: Matcher, wanted: frozenset[str]) -> PlannedHold:
    steps = [
        _step(step, matcher)
        for step in matcher.book.steps
        if step.hold == hold.code and step.code in wanted and _fits(step.fits, matcher)
    ]
    return PlannedHold(
        code=hold.code,
        words=hold.words,
        how=hold.how,
        # sorted is stable: only sore parts move, and they move to the end.
        steps=tuple(sorted(steps, key=lambda step: step.sore)),
        cautions=hold.cautions,
        not_now=_first(hold.not_for, matcher),
    )


def _fits(condition: Condition | None, matcher: Matcher) -> bool:
    return condition is None or matcher.holds(condition) is not None


def _step(step: Step, matcher: Matcher) -> PlannedStep:
    facts = matcher.facts
    holding = [more for more in step.matters_more if matcher.holds(more.when) is not None]
    return PlannedStep(
        code=step.code,
        words=_of_sex(facts, step.words_for, step.words),
        normal=_of_sex(facts, step.normal_for, step.normal),
        promised=tuple(
            one.words for one in facts.follow_ups if matcher.book.step_of(one.region) == step.code
        ),
        why_more=tuple(more.words for more in holding if _is_said_first(more)),
        why_also=tuple(more.words for more in holding if not _is_said_first(more)),
        left_out=_first(step.not_for, matcher),
        sore=any(
            seen.finding in PAIN and _step_of(seen, matcher.book) == step.code
            for seen in (*facts.known_now, *facts.before)
            if seen.is_there
        ),
        carried=_carried(step, matcher),
    )


def _of_sex(facts: AnimalFacts, by_sex: Mapping[Any, W], for_both: W) -> W:
    return by_sex.get(facts.sex, for_both)


def _is_said_first(more: MattersMore) -> bool:
    """What rests on more than age and sex is news; of the rest only the foremost is said."""
    animal = more.when.animal
    by_age_and_sex = animal is not None and not (
        animal.place or animal.coat or animal.pregnant or animal.pregnant_known
    )
    return more.foremost or not by_age_and_sex


def _step_of(seen: Observation, book: Knowledge) -> str:
    return seen.step or book.step_of(seen.region)


def _carried(step: Step, matcher: Matcher) -> tuple[CarriedOver, ...]:
    """What is known from before at this step: standing marks first, then the last findings."""
    facts, book = matcher.facts, matcher.book
    marks = tuple(
        CarriedOver(
            region=mark.region,
            finding=mark.finding,
            side=mark.side,
            words=f"{mark.words} ({mark.said_by})",
            size_mm=mark.size_mm,
            mark_id=mark.id,
            since=f"{mark.said_on:%d %B %Y}" if mark.said_on else "",
        )
        for mark in facts.marks
        if book.step_of(mark.region) == step.code
    )
    return marks + tuple(
        CarriedOver(
            region=seen.region,
            finding=seen.finding,
            side=seen.side,
            words=book.observation_words(seen),
            size_mm=seen.value if seen.unit == "mm" else None,
            since=f"{seen.seen_at:%d %B %Y}" if seen.seen_at else "",
        )
        for seen in facts.before
        if _step_of(seen, book) == step.code and _is_worth_asking(seen, book)
        if not any(_is_marked(mark, seen) for mark in marks)
    )


def _is_marked(mark: CarriedOver, seen: Observation) -> bool:
    same = (mark.region, mark.finding) == (seen.region, seen.finding)
    return same and sides_agree(mark.side, seen.side)


def _is_worth_asking(seen: Observation, book: Knowledge) -> bool:
    return seen.is_there and not book.is_benign(seen.finding)


def _kit(holds: tuple[PlannedHold, ...], matcher: Matcher) -> tuple[str, ...]:
    steps = {step.code for hold in holds for step in hold.steps if not hold.not_now}
    return tuple(
        item.words
        for item in matcher.book.kit.values()
        if (not item.for_steps or steps & set(item.for_steps))
        and (item.always or (item.when is not None and matcher.holds(item.when) is not None))
    )


def changed_since(
    now_seen: Iterable[Observation], before: Iterable[Observation]
) -> dict[str, tuple[Observation, ...]]:
    """What is ``new``, the ``same``, ``bigger`` or ``gone`` since last time.

    ``gone`` holds what was said to be gone, and never what nobody looked at.
    """
    known = [seen for seen in before if seen.is_there]
    sorted_out: dict[str, list[Observation]] = {"new": [], "same": [], "bigger": [], "gone": []}
    for seen in now_seen:
        sorted_out[_how(seen, known)].append(seen)
    return {how: tuple(several) for how, several in sorted_out.items()}


def _how(seen: Observation, known: list[Observation]) -> str:
    if not seen.is_there:
        return "gone"
    if seen.grade is Grade.WORSE:
        return "bigger"
    was_there = any(
        (was.region, was.finding) == (seen.region, seen.finding)
        and sides_agree(was.side, seen.side)
        for was in known
    )
    return "same" if seen.grade is Grade.SAME or was_there else "new"
