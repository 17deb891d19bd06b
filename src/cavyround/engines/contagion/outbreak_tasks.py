"""What is to be done about an outbreak, by what to do."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from cavyround.engines.contagion.outbreak_said import (
    CheckDay,
    OutbreakFacts,
    Task,
)
from cavyround.engines.contagion.outbreak_watch import is_watched, watched_of
from cavyround.engines.contagion.settings import (
    infections_of,
)
from cavyround.engines.contagion.tracing import Strength, Traced
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.contagion import OutbreakKind

OPEN_STRENGTHS = (Strength.CLOSE_DIRECT, Strength.CLOSE_THROUGH)
DEAD = ("died", "put_to_sleep")


def tasks_of(
    facts: OutbreakFacts,
    traced: Traced,
    days: Sequence[CheckDay],
    asked: Mapping[str, date],
    book: Knowledge,
) -> Iterator[Task]:
    """What to do, in the order in which it is done; a task without animals is none."""
    open_cases = [
        case.animal
        for case in facts.cases
        if case.counts and case.over_at is None and case.animal not in facts.left
    ]
    yield _isolation(facts, open_cases)
    yield _to_be_said(facts.kind, asked)
    yield _looks(facts.kind, days)
    waiting = {one.animal for one in days if not one.done} | set(asked)
    yield from _of_cases_and_exposed(facts, traced, waiting, open_cases)
    yield _telling(facts, traced)
    yield from _people_and_cleaning(facts, book)


def _isolation(facts: OutbreakFacts, open_cases: list[str]) -> Task:
    return Task(
        code="isolate",
        words="Isolate: own room or airspace, own kit, cared for last.",
        animals=tuple((name, "") for name in open_cases if name not in facts.apart),
        sources=facts.kind.sources,
    )


def _to_be_said(kind: OutbreakKind, asked: Mapping[str, date]) -> Task:
    return Task(
        code="say",
        words="Something was found in these that may be it. Keep them apart and say of each "
        f"whether it is a case, or rule it out: no look frees them before. {kind.suspected}",
        animals=tuple((name, f"seen on {on:%Y-%m-%d}") for name, on in asked.items()),
        sources=kind.sources,
    )


def _looks(kind: OutbreakKind, days: Sequence[CheckDay]) -> Task:
    return Task(
        code="check",
        words=f"Look at these: {kind.look_for}.",
        animals=tuple((one.animal, f"on {one.on:%Y-%m-%d}") for one in days if not one.done),
        sources=kind.sources,
    )


def _of_cases_and_exposed(
    facts: OutbreakFacts, traced: Traced, waiting: set[str], open_cases: list[str]
) -> Iterator[Task]:
    """What concerns the cases and those they were with alike."""
    kind = facts.kind
    # Looked at on its last day and clear: it is free again.
    here = [
        one
        for one in traced.exposures
        if one.animal not in facts.left
        and (one.animal in waiting or (one.last is None and is_watched(one)))
    ]
    cases = [(name, "case") for name in open_cases]
    yield Task(
        code="together",
        words=f"Ask the vet about treating together: nothing without an order. {kind.together}",
        animals=(*cases, *((one.animal, "") for one in here if one.strength in OPEN_STRENGTHS)),
        sources=kind.sources,
    )
    yield Task(
        code="no_adoption",
        words="Keep these from adoption and fostering until they are clear.",
        animals=(*cases, *((one.animal, "") for one in here)),
        sources=kind.sources,
    )


def _telling(facts: OutbreakFacts, traced: Traced) -> Task:
    return Task(
        code="tell",
        words="Tell whoever has these now what they were exposed to, and what to look for: "
        f"{facts.kind.look_for}.",
        animals=tuple(_gone_away(facts, traced)),
        sources=facts.kind.sources,
    )


def _people_and_cleaning(facts: OutbreakFacts, book: Knowledge) -> Iterator[Task]:
    """Of every case, also one that died or left, until somebody says that it is done."""
    kind = facts.kind
    cases = tuple((case.animal, "") for case in facts.cases if case.counts)
    each = [one.tell_people for one in infections_of(kind, book) if one.tell_people]
    people = [kind.people] if kind.people else list(dict.fromkeys(each))
    yield Task(
        code="people",
        words=" ".join(people),
        animals=cases if people and "told" not in facts.said else (),
        sources=kind.sources,
    )
    to_clean = () if "cleaned" in facts.said else cases
    yield Task(code="clean", words=kind.clean, animals=to_clean, sources=kind.sources)


def _gone_away(facts: OutbreakFacts, traced: Traced) -> Iterator[tuple[str, str]]:
    """Those that left and live elsewhere: cases, and the exposed."""
    names = [case.animal for case in facts.cases if case.counts]
    for name in (*names, *(one.animal for one in watched_of(traced))):
        left = facts.left.get(name)
        if left is not None and left.how not in DEAD:
            to = f" to {left.to}" if left.to else ""
            yield name, f"{left.how.replace('_', ' ')} on {left.on:%Y-%m-%d}{to}"
