"""An outbreak as it stands: who was exposed, what to do for whom, and what keeps it open."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta, tzinfo

from cavyround.engines.contagion.cases import window_of
from cavyround.engines.contagion.outbreak_closing import conditions_of
from cavyround.engines.contagion.outbreak_said import CheckDay, OutbreakFacts, OutbreakStands
from cavyround.engines.contagion.outbreak_tasks import tasks_of
from cavyround.engines.contagion.outbreak_watch import day_of, is_gone, watched_of
from cavyround.engines.contagion.settings import (
    Watch,
    lasts_of,
    watch_of,
    ways_of,
    widest_incubation,
)
from cavyround.engines.contagion.tracing import Traced, trace
from cavyround.knowledge.book import Knowledge


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
        tasks=tuple(one for one in tasks_of(facts, traced, days, asked, book) if one.animals),
        conditions=tuple(conditions_of(facts, traced, days, asked, watch, now, zone, book)),
    )


def _asked(facts: OutbreakFacts, traced: Traced, zone: tzinfo) -> dict[str, date]:
    """A look that found a sign is not clear: whether it is a case is for a person to say."""
    return {
        one.animal: day_of(facts.signs[one.animal], zone)
        for one in traced.exposures
        if one.animal in facts.signs and not is_gone(facts, one.animal)
    }


def _check_days(
    facts: OutbreakFacts, traced: Traced, watch: Watch, now: datetime, zone: tzinfo
) -> Iterator[CheckDay]:
    """Days counted from the last contact; while that lasts, from today, and each day a look."""
    today = day_of(now, zone)
    for one in watched_of(traced):
        if is_gone(facts, one.animal):
            continue
        looked = [day_of(moment, zone) for moment in facts.looked.get(one.animal, ())]
        if one.last is None:
            yield CheckDay(animal=one.animal, on=today, done=today in looked)
            continue
        last = day_of(one.last, zone)
        for days in watch.look_on:
            on = last + timedelta(days=days)
            yield CheckDay(animal=one.animal, on=on, done=any(look >= on for look in looked))
