"""Fire the rules: which hold, on what, and how urgent each makes it."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from cavyround.engines.conditions import Matcher, Support
from cavyround.engines.triage.triggers import index_of
from cavyround.facts.animal import AnimalFacts, OpenFollowUp, StandingMark
from cavyround.facts.observation import Grade, Observation, sides_agree
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.rules import Rule
from cavyround.knowledge.urgency import Urgency

HUNDRED = Decimal(100)
# Said of a known thing, these tell of a change, whatever its size.
CHANGES = frozenset(
    {
        "hot",
        "sore",
        "draining",
        "fast",
        "fixed",
        "open",
        "pus",
        "bone",
        "raw",
        "deep",
        "spreading",
        "flow",
        "bloody",
        "foul",
        "does_not_go_back",
        "dark",
        "purple",
        "black",
        "blue",
    }
)


@dataclass(frozen=True, slots=True)
class Fired:
    """A rule that holds. ``named`` is off where its ``unless`` holds: only its urgency counts."""

    rule: Rule
    supports: frozenset[Support]
    urgency: Urgency
    named: bool = True
    raised: str = ""


def highest(fired: Iterable[Fired]) -> Urgency:
    """The highest urgency of all that fired; normal where nothing did."""
    return max((one.urgency for one in fired), default=Urgency.NORMAL)


def fire(matcher: Matcher, naming: Matcher) -> list[Fired]:
    """All rules that hold, with failed rechecks raised.

    ``naming`` is the same animal with doubts that may not name anything: a rule
    that holds only for an unknown age or pregnancy counts and stays silent.
    """
    return [replace(one, named=_is_named(one.rule, matcher, naming)) for one in holding(matcher)]


def holding(matcher: Matcher) -> list[Fired]:
    """All rules that hold, with failed rechecks raised; which of them to name is not asked."""
    fired = []
    for rule in index_of(matcher.book).candidates(matcher.active):
        supports = matcher.holds(rule.when) if rule.when is not None else None
        if supports is not None:
            fired.append(_raised(Fired(rule, supports, rule.urgency), matcher.facts, matcher))
    return [*fired, *_unlisted(fired, matcher)]


def _is_named(rule: Rule, matcher: Matcher, naming: Matcher) -> bool:
    if rule.when is None:
        return True  # the fallback, which speaks of what no other rule spoke of
    if rule.unless is not None and matcher.holds(rule.unless) is not None:
        return False
    if naming.holds(rule.when) is None:
        return False
    kinds = matcher.book.vocabulary.problems
    # Where none of its problems can happen to this animal, its advice is not for it either.
    fitting = [matcher.animal.may_have(kinds[code].fits) for code in rule.problems]
    return not fitting or any(fitting)


def _unlisted(fired: list[Fired], matcher: Matcher) -> list[Fired]:
    """The fallback rule for findings that no rule spoke of: never silence."""
    fallback = index_of(matcher.book).fallback
    if fallback is None or not matcher.seen:
        return []
    spoken_of = {support.observation for one in fired for support in one.supports}
    silent = [
        seen
        for seen in matcher.seen
        if seen not in spoken_of and not matcher.book.is_benign(seen.finding)
    ]
    supports = matcher.supports(silent)
    if supports is None:
        return []
    return [_raised(Fired(fallback, supports, fallback.urgency), matcher.facts, matcher)]


def _raised(one: Fired, facts: AnimalFacts, matcher: Matcher) -> Fired:
    """One level up where what it rests on should have been gone by now and is not."""
    if one.urgency is Urgency.NORMAL:
        return one
    for follow_up in facts.follow_ups:
        if any(_failed(follow_up, s.observation, one.rule, matcher) for s in one.supports):
            urgency = max(one.urgency, follow_up.urgency).one_up()
            why = "It should have been better by its recheck and is not: one level up."
            return replace(one, urgency=urgency, raised=why)
    return one


def _failed(
    follow_up: OpenFollowUp, seen: Observation | None, rule: Rule, matcher: Matcher
) -> bool:
    if seen is None or (seen.seen_at or matcher.now) < follow_up.due_at:
        # Nobody has looked since it fell due: that is overdue, and no failed recheck.
        return False
    if (seen.region, seen.finding) != (follow_up.region, follow_up.finding):
        return False
    if not sides_agree(seen.side, follow_up.side) or seen.grade is Grade.HEALING:
        return False
    if rule.lasting or not follow_up.until_gone:
        return seen.grade is Grade.WORSE
    return True


def softened(facts: AnimalFacts, book: Knowledge) -> frozenset[Observation]:
    """Observations a standing mark explains: said to be the same, and not grown.

    Any other alarming finding at the same place ends that: a benign mark never
    hides a change.
    """
    return frozenset(
        seen
        for seen in facts.known_now
        if seen.is_there
        and any(_explains(mark, seen, book) for mark in facts.marks)
        and not _trouble_beside(seen, facts, book)
    )


def _explains(mark: StandingMark, seen: Observation, book: Knowledge) -> bool:
    if seen.grade is not Grade.SAME or (seen.region, seen.finding) != (mark.region, mark.finding):
        return False
    if seen.kinds & CHANGES:
        return False
    if seen.mark_id is not None and seen.mark_id != mark.id:
        return False
    if not sides_agree(seen.side, mark.side):
        return False
    if seen.value is None or mark.size_mm is None or seen.unit != "mm":
        return True
    grown = HUNDRED + book.number("standing_mark_growth_pct")
    return seen.value * HUNDRED <= mark.size_mm * grown


def _trouble_beside(seen: Observation, facts: AnimalFacts, book: Knowledge) -> bool:
    return any(
        other.is_there
        and other is not seen
        and other.region == seen.region
        and not book.is_benign(other.finding)
        and not any(_explains(mark, other, book) for mark in facts.marks)
        for other in facts.known_now
    )
