"""What the knowledge says of one outbreak, as the numbers the tracing works with."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from cavyround.engines.contagion.cases import longest_days, shortest_days
from cavyround.engines.contagion.presences import Lasts, Way
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.contagion import OutbreakKind
from cavyround.knowledge.facts_of_trade import Infection, Range, Span, Threshold


@dataclass(frozen=True, slots=True, kw_only=True)
class Watch:
    """How long the exposed are watched after their last contact, and when they are looked at.

    ``days`` is the longest published incubation of what it may be, or our own where none is
    published (``is_published``); ``first`` the shortest.
    """

    days: int
    first: int
    is_published: bool
    words: str
    sources: tuple[str, ...]

    @property
    def look_on(self) -> tuple[int, ...]:
        """The days after the last contact on which to look: the first signs, half way, the end."""
        middle = (self.first + self.days + 1) // 2
        return tuple(sorted({max(1, self.first), middle, self.days}))


def infections_of(kind: OutbreakKind, book: Knowledge) -> tuple[Infection, ...]:
    """The infections it may be."""
    found = (book.infection(name) for name in kind.infections)
    return tuple(one for one in found if one is not None)


def incubations_of(kind: OutbreakKind, book: Knowledge) -> Iterator[Range]:
    """The published incubations of what it may be."""
    for infection in infections_of(kind, book):
        if infection.incubation is not None:
            yield infection.incubation


def watch_of(kind: OutbreakKind, book: Knowledge) -> Watch:
    """How long the exposed are watched; where one of several has no published time, ours too."""
    spans = list(incubations_of(kind, book))
    longest = [days for days in map(longest_days, spans) if days is not None]
    shortest = [days for days in map(shortest_days, spans) if days is not None]
    if longest and len(longest) == len(kind.infections):
        sources = tuple(dict.fromkeys(key for span in spans for key in span.sources))
        words = f"the longest published incubation is {max(longest)} days"
        return Watch(
            days=max(longest),
            first=min(shortest, default=0),
            is_published=True,
            words=words,
            sources=sources,
        )
    ours = kind.watch_days or int(book.number("quarantine_new_days"))
    return Watch(
        days=max([ours, *longest]),
        first=min(shortest, default=0),
        is_published=False,
        words=f"no incubation is published for all it may be: {max([ours, *longest])} days "
        "is our own choice",
        sources=kind.sources,
    )


def lasts_of(kind: OutbreakKind, book: Knowledge) -> Lasts:
    """For how long a pen, a thing and hands count as catching: a published time off the animal
    first, then that of the outbreak, then the general one.
    """
    off_host = [longest_days(one.off_host) for one in infections_of(kind, book)]
    known = [days for days in off_host if days is not None]
    general = book.contagion.lasts
    pen = max([*known, *([kind.dirty_days] if kind.dirty_days else [])], default=0)
    return Lasts(
        pen=timedelta(days=pen or _number(general.pen_days)),
        things=timedelta(days=_number(general.things_days)),
        hands=timedelta(hours=_number(general.hands_hours)),
    )


def ways_of(kind: OutbreakKind) -> frozenset[Way]:
    """The ways it passes by."""
    return frozenset(Way(code) for code in kind.passes)


def widest_incubation(kind: OutbreakKind, book: Knowledge) -> tuple[int | None, int | None]:
    """The shortest and the longest incubation of all it may be; None where one is not known."""
    spans = list(incubations_of(kind, book))
    if not spans or len(spans) < len(kind.infections):
        return None, None
    longest = [longest_days(span) for span in spans]
    shortest = [shortest_days(span) or 0 for span in spans]
    if any(days is None for days in longest):
        return min(shortest), None
    return min(shortest), max(days for days in longest if days is not None)


def _number(threshold: Threshold) -> int:
    value = threshold.value
    return int(value.high if isinstance(value, Span) else value)
