"""An outbreak as it stands: who was exposed, what to do for whom, and what keeps it open."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta, tzinfo

from cavyround.engines.contagion.cases import Case, CaseWindow, window_of
from cavyround.engines.contagion.presences import Cleaned
from cavyround.engines.contagion.settings import (
    Watch,
    infections_of,
    lasts_of,
    watch_of,
    ways_of,
    widest_incubation,
)
from cavyround.engines.contagion.tracing import Exposure, Strength, Traced, trace
from cavyround.facts.stays import SharedUse, Stay
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.contagion import OutbreakKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """An animal that left: when, how (the code of the departure), and to whom."""

    on: date
    how: str
    to: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OutbreakFacts:
    """What is known of one outbreak.

    ``left`` are the animals that are no longer here or in a foster home, ``looked`` the
    moments at which each animal was looked at and clear, ``signs`` when one was seen of which
    nobody has said yet whether the animal is a case, ``apart`` those that stand in isolation,
    ``said`` what people said was done, by its code.
    """

    kind: OutbreakKind
    cases: tuple[Case, ...]
    stays: Sequence[Stay]
    uses: Sequence[SharedUse] = ()
    left: Mapping[str, Left]
    looked: Mapping[str, Sequence[datetime]]
    signs: Mapping[str, datetime] = field(default_factory=dict)
    apart: frozenset[str] = frozenset()
    cleaned: Cleaned = field(default_factory=dict)
    said: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckDay:
    """A day on which an exposed animal is looked at; ``done`` on or after it and before the next.

    A day whose look was left out stays open until a later look: late is better than never.
    """

    animal: str
    on: date
    done: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One thing to do, and for which animals, each with a word of its own."""

    code: str
    words: str
    animals: tuple[tuple[str, str], ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """One condition of closing; ``what`` says what is missing where it is not met."""

    code: str
    words: str
    by_person: bool
    met: bool
    what: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OutbreakStands:
    """Where an outbreak stands at a moment; ``asked`` are the exposed with a sign, and since when.

    Of those nobody has said yet whether they are cases: no look frees them.
    """

    traced: Traced
    windows: tuple[CaseWindow, ...]
    watch: Watch
    check_days: tuple[CheckDay, ...]
    asked: Mapping[str, date]
    tasks: tuple[Task, ...]
    conditions: tuple[Condition, ...]

    @property
    def may_close(self) -> bool:
        """Whether every condition is met."""
        return all(one.met for one in self.conditions)


def stands(facts: OutbreakFacts, *, now: datetime, zone: tzinfo, book: Knowledge) -> OutbreakStands:
    """Everything about an outbreak at ``now``; days are days in ``zone``, the rescue's own."""
    shortest, longest = widest_incubation(facts.kind, book)
    windows = tuple(window_of(case, shortest, longest) for case in facts.cases)
    traced = trace(
        facts.stays,
        facts.uses,
        windows,
        now=now,
        lasts=lasts_of(facts.kind, book),
        ways=ways_of(facts.kind),
        cleaned=facts.cleaned,
    )
    watch = watch_of(facts.kind, book)
    days = tuple(_check_days(facts, traced, watch, now, zone))
    asked = _asked(facts, traced, zone)
    return OutbreakStands(
        traced=traced,
        windows=windows,
        watch=watch,
        check_days=days,
        asked=asked,
        tasks=tuple(one for one in _tasks(facts, traced, days, asked, book) if one.animals),
        conditions=tuple(_conditions(facts, traced, days, asked, watch, now, zone, book)),
    )


def _asked(facts: OutbreakFacts, traced: Traced, zone: tzinfo) -> dict[str, date]:
    """A look that found a sign is not clear: whether it is a case is for a person to say."""
    return {
        one.animal: _day(facts.signs[one.animal], zone)
        for one in traced.exposures
        if one.animal in facts.signs and not _is_gone(facts, one.animal)
    }


def _day(moment: datetime, zone: tzinfo) -> date:
    return moment.astimezone(zone).date()


def _check_days(
    facts: OutbreakFacts, traced: Traced, watch: Watch, now: datetime, zone: tzinfo
) -> Iterator[CheckDay]:
    """Days counted from the last contact; while that lasts, from today, and each day a look."""
    today = _day(now, zone)
    for one in _watched(traced):
        if _is_gone(facts, one.animal):
            continue
        looked = [_day(moment, zone) for moment in facts.looked.get(one.animal, ())]
        if one.last is None:
            yield CheckDay(animal=one.animal, on=today, done=today in looked)
            continue
        last = _day(one.last, zone)
        for days in watch.look_on:
            on = last + timedelta(days=days)
            yield CheckDay(animal=one.animal, on=on, done=any(look >= on for look in looked))


def _is_gone(facts: OutbreakFacts, animal: str) -> bool:
    left = facts.left.get(animal)
    return left is not None and left.how != "fostered"


def _watched(traced: Traced) -> list[Exposure]:
    """Whom to look at on days of their own. Weak contact with one that is itself only exposed is
    listed and looked at in the usual checks: else every animal of a house were on the list.
    """
    return [one for one in traced.exposures if _is_watched(one)]


def _is_watched(one: Exposure) -> bool:
    return one.strength is not Strength.WEAK_THROUGH


OPEN_STRENGTHS = (Strength.CLOSE_DIRECT, Strength.CLOSE_THROUGH)
DEAD = ("died", "put_to_sleep")


def _tasks(
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
        and (one.animal in waiting or (one.last is None and _is_watched(one)))
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
    for name in (*names, *(one.animal for one in _watched(traced))):
        left = facts.left.get(name)
        if left is not None and left.how not in DEAD:
            to = f" to {left.to}" if left.to else ""
            yield name, f"{left.how.replace('_', ' ')} on {left.on:%Y-%m-%d}{to}"


def _conditions(
    facts: OutbreakFacts,
    traced: Traced,
    days: Sequence[CheckDay],
    asked: Mapping[str, date],
    watch: Watch,
    now: datetime,
    zone: tzinfo,
    book: Knowledge,
) -> Iterator[Condition]:
    missing = {
        "cases_over": _open_cases(facts),
        "watched": _still_watched(traced, watch, now, zone),
        "looked_at": " ".join(filter(None, (_not_looked_at(days), _not_said(asked)))),
    }
    for need in book.contagion.closing:
        if need.by == "person":
            what = "" if need.code in facts.said else "Nobody has said so yet."
        else:
            what = missing[need.code]
        yield Condition(
            code=need.code,
            words=need.words,
            by_person=need.by == "person",
            met=not what,
            what=what,
            sources=need.sources,
        )


def _animals(count: int) -> str:
    return "1 animal" if count == 1 else f"{count} animals"


def _open_cases(facts: OutbreakFacts) -> str:
    # A case that died or left is not looked at here any more: whoever has it is told.
    still = [
        case
        for case in facts.cases
        if case.counts
        and case.over_at is None
        and (case.animal not in facts.left or facts.left[case.animal].how == "fostered")
    ]
    return f"{_animals(len(still))} not over: {facts.kind.over}" if still else ""


def _still_watched(traced: Traced, watch: Watch, now: datetime, zone: tzinfo) -> str:
    """Until the longest incubation since the last contact is over; a lasting one never is."""
    known = _watched(traced)
    lasting = [one for one in known if one.last is None]
    if lasting:
        return f"{_animals(len(lasting))} still in contact."
    ends = [_day(one.last, zone) + timedelta(days=watch.days) for one in known if one.last]
    return f"Until {max(ends):%Y-%m-%d}." if ends and max(ends) > _day(now, zone) else ""


def _not_looked_at(days: Sequence[CheckDay]) -> str:
    open_ones = {one.animal for one in days if not one.done}
    return f"{_animals(len(open_ones))} to look at." if open_ones else ""


def _not_said(asked: Mapping[str, date]) -> str:
    return f"{_animals(len(asked))} with a sign: say whether it is a case." if asked else ""
