"""What must be met before an outbreak is over."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta, tzinfo

from cavyround.engines.contagion.outbreak_said import (
    CheckDay,
    Condition,
    OutbreakFacts,
)
from cavyround.engines.contagion.outbreak_watch import day_of, watched_of
from cavyround.engines.contagion.settings import (
    Watch,
)
from cavyround.engines.contagion.tracing import Traced
from cavyround.knowledge.book import Knowledge


def conditions_of(
    facts: OutbreakFacts,
    traced: Traced,
    days: Sequence[CheckDay],
    asked: Mapping[str, date],
    watch: Watch,
    now: datetime,
    zone: tzinfo,
    book: Knowledge,
) -> Iterator[Condition]:
    """All that must be met, each with what is missing."""
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
    known = watched_of(traced)
    lasting = [one for one in known if one.last is None]
    if lasting:
        return f"{_animals(len(lasting))} still in contact."
    ends = [day_of(one.last, zone) + timedelta(days=watch.days) for one in known if one.last]
    return f"Until {max(ends):%Y-%m-%d}." if ends and max(ends) > day_of(now, zone) else ""


def _not_looked_at(days: Sequence[CheckDay]) -> str:
    open_ones = {one.animal for one in days if not one.done}
    return f"{_animals(len(open_ones))} to look at." if open_ones else ""


def _not_said(asked: Mapping[str, date]) -> str:
    return f"{_animals(len(asked))} with a sign: say whether it is a case." if asked else ""
