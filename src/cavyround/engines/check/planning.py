"""Plan a check: the steps that fit this animal, in the holds that turn it least.

Look before touch: the holds come in the order of the knowledge, watching first.
Within a hold sore parts come last. A hold that would harm today (a gasping
animal is not turned up) says so and is left out; nothing is left out because
something is not known.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from cavyround.engines.check.plan import CarriedOver, Plan, PlannedHold, PlannedStep
from cavyround.engines.check.table import table_of
from cavyround.engines.conditions import FOR_PLANNING, Matcher
from cavyround.facts.animal import AnimalFacts
from cavyround.facts.observation import Grade, Observation, sides_agree
from cavyround.knowledge.book import Knowledge

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
    table = table_of(book)
    matcher = Matcher(facts, now=now, book=book, doubts=FOR_PLANNING, with_earlier=False)
    held = table.held(matcher)
    wanted = _wanted(facts, book, kind)
    own = _own(facts, book)
    holds = []
    for hold in book.holds:
        steps = [
            _with_own(step, own)
            for step in table.steps(hold.code, facts.sex, held)
            if wanted is None or step.code in wanted
        ]
        not_now = table.not_now(hold.code, held)
        if steps or not_now:
            planned = PlannedHold(
                code=hold.code,
                words=hold.words,
                how=hold.how,
                # sorted is stable: only sore parts move, and they move to the end.
                steps=tuple(sorted(steps, key=lambda step: step.sore)),
                cautions=hold.cautions,
                not_now=not_now,
            )
            holds.append(planned)
    ready_for = frozenset(step.code for hold in holds if not hold.not_now for step in hold.steps)
    return Plan(
        animal=facts.id,
        holds=tuple(holds),
        promised=tuple(one.words for one in facts.follow_ups if not book.step_of(one.region)),
        kit=tuple(item.words for item in table.kit(ready_for, held)),
    )


def _wanted(facts: AnimalFacts, book: Knowledge, kind: str) -> frozenset[str] | None:
    """The steps of this kind of check; None for all."""
    if kind == "quick":
        return frozenset(step.code for step in book.steps if step.hold in QUICK_HOLDS)
    if kind == "weigh_in":
        return frozenset({"weight"})
    if kind == "recheck" and facts.follow_ups:
        due = {book.step_of(follow_up.region) for follow_up in facts.follow_ups}
        return frozenset(due) | {s.code for s in book.steps if s.hold in ("watch", "scale")}
    return None


@dataclass(frozen=True, slots=True)
class _Own:
    """What is known of this one animal at a step."""

    promised: tuple[str, ...]
    sore: bool
    carried: tuple[CarriedOver, ...]


def _own(facts: AnimalFacts, book: Knowledge) -> dict[str, _Own]:
    """By step; a step of which nothing is known is missing, and most are."""
    known = [seen for seen in (*facts.known_now, *facts.before) if seen.is_there]
    sore = {_step_of(seen, book) for seen in known if seen.finding in PAIN}
    concerned = sore | {_step_of(seen, book) for seen in facts.before}
    concerned |= {book.step_of(mark.region) for mark in facts.marks}
    concerned |= {book.step_of(follow_up.region) for follow_up in facts.follow_ups}
    return {
        step: _Own(
            promised=tuple(
                one.words for one in facts.follow_ups if book.step_of(one.region) == step
            ),
            sore=step in sore,
            carried=_carried(step, facts, book),
        )
        for step in concerned
    }


def _with_own(step: PlannedStep, own: dict[str, _Own]) -> PlannedStep:
    known = own.get(step.code)
    if known is None:
        return step
    return replace(step, promised=known.promised, sore=known.sore, carried=known.carried)


def _step_of(seen: Observation, book: Knowledge) -> str:
    return seen.step or book.step_of(seen.region)


def _carried(step: str, facts: AnimalFacts, book: Knowledge) -> tuple[CarriedOver, ...]:
    """What is known from before at this step: standing marks first, then the last findings."""
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
        if book.step_of(mark.region) == step
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
        if _step_of(seen, book) == step and _is_worth_asking(seen, book)
        if not any(_is_marked(mark, seen) for mark in marks)
    )


def _is_marked(mark: CarriedOver, seen: Observation) -> bool:
    same = (mark.region, mark.finding) == (seen.region, seen.finding)
    return same and sides_agree(mark.side, seen.side)


def _is_worth_asking(seen: Observation, book: Knowledge) -> bool:
    return seen.is_there and not book.is_benign(seen.finding)


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
