"""Weighings for tests: grams in a row, a week apart unless said otherwise."""

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from functools import cache
from typing import Any

from cavyround.engines.weight import read_days, read_herd
from cavyround.engines.weight.said import Reading, WeighIn
from cavyround.facts.animal import AnimalFacts, Born, Event, Weighing
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge

START = datetime(2026, 1, 5, 9, tzinfo=UTC)
# What a scale and a gut add in a calm house, a gram or two in a hundred; no luck in it.
WOBBLE = (3, -8, 5, -2, 9, -4, 0, 6, -7, 2, -5, 4, 8, -3, 1, -6, 7, -1)


@cache
def the_book() -> Knowledge:
    """The shipped knowledge, read once."""
    return load_knowledge()


def at(days: float) -> datetime:
    return START + timedelta(days=days)


def on(days: float) -> date:
    return at(days).date()


def weighed(grams: float, days: float = 0, *, doubted: bool = False) -> Weighing:
    return Weighing(at=at(days), grams=Decimal(str(grams)), doubted=doubted)


def weekly(*grams: float, since: float = 0) -> tuple[Weighing, ...]:
    """Weighed a week apart, the first ``since`` days after the start."""
    return tuple(weighed(one, since + 7 * week) for week, one in enumerate(grams))


def steady(grams: float, weeks: int, *, since: float = 0) -> tuple[Weighing, ...]:
    """Weeks of a grown animal that keeps its weight."""
    return weekly(*(grams + WOBBLE[week % len(WOBBLE)] for week in range(weeks)), since=since)


def going(
    grams: float, weeks: int, per_week_pct: float, *, since: float = 0
) -> tuple[Weighing, ...]:
    """Weeks of an animal that loses or gains so much every week."""
    change = 1 + per_week_pct / 100
    return weekly(
        *(
            round(grams * change ** (week + 1)) + WOBBLE[week % len(WOBBLE)]
            for week in range(weeks)
        ),
        since=since,
    )


def born(days: float) -> Born:
    """Born so many days after the start; before it if negative."""
    return Born(earliest=on(days), latest=on(days))


def happened(what: str, days: float) -> Event:
    return Event(what=what, on=on(days))


def facts(weighings: Iterable[Weighing], **said: Any) -> AnimalFacts:
    return AnimalFacts(**{"id": "animal", "weighings": tuple(weighings), **said})


def said_of(weighings: Iterable[Weighing], **said: Any) -> tuple[WeighIn, ...]:
    """What each weighing said on its day."""
    [(_, days)] = read_days([facts(weighings, **said)], book=the_book())
    return days


def reading(weighings: Sequence[Weighing], *, now: datetime | None = None, **said: Any) -> Reading:
    """What the weighings say now, or on the day of the last."""
    moment = now or (max(one.at for one in weighings) if weighings else START)
    return read_herd([facts(weighings, **said)], now=moment, book=the_book())["animal"]
