"""Which findings, events or signs a condition needs at the least, so that few are tried."""

from collections.abc import Callable, Iterable
from typing import Generic, TypeVar

from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.conditions import Condition

T = TypeVar("T")
V = TypeVar("V")
# None: may hold without any finding, event or sign; the condition is always tried.
Triggers = frozenset[str] | None


def triggers_of(condition: Condition, book: Knowledge) -> Triggers:
    """A set of which at least one must be there for the condition to hold."""
    if condition.seen is not None:
        return frozenset(condition.seen.finding)
    if condition.event is not None:
        return frozenset(condition.event.what)
    if condition.sign is not None:
        return frozenset(condition.sign)
    if condition.is_ is not None:
        return triggers_of(book.definitions[condition.is_].when, book)
    if condition.all_ is not None:
        return _smallest(triggers_of(part, book) for part in condition.all_)
    parts = condition.any_ or (condition.at_least.of if condition.at_least else ())
    return _union(triggers_of(part, book) for part in parts) if parts else None


def _smallest(several: Iterable[Triggers]) -> Triggers:
    known = [one for one in several if one is not None]
    return min(known, key=len) if known else None


def _union(several: Iterable[Triggers]) -> Triggers:
    together: frozenset[str] = frozenset()
    for one in several:
        if one is None:
            return None
        together |= one
    return together


class ByTrigger(Generic[T]):
    """Things that have a condition, by what triggers it."""

    def __init__(self, things: Iterable[tuple[T, Condition]], book: Knowledge) -> None:
        """Sort them; their order is kept for the asking."""
        self._things: list[T] = []
        self._always: set[int] = set()
        self._by_trigger: dict[str, list[int]] = {}
        for place, (thing, condition) in enumerate(things):
            self._things.append(thing)
            triggers = triggers_of(condition, book)
            if triggers is None:
                self._always.add(place)
            for trigger in triggers or ():
                self._by_trigger.setdefault(trigger, []).append(place)

    def candidates(self, active: Iterable[str]) -> list[T]:
        """Those worth trying where only these findings, events and signs are there."""
        places = self._always.union(*(self._by_trigger.get(code, ()) for code in active))
        return [self._things[place] for place in sorted(places)]


class OncePerBook(Generic[V]):
    """What is worked out from a book, kept for as long as the same book is asked."""

    def __init__(self, make: Callable[[Knowledge], V]) -> None:
        """Nothing is worked out yet."""
        self._make = make
        self._latest: tuple[Knowledge, V] | None = None

    def __call__(self, book: Knowledge) -> V:
        """The value for this book."""
        known = self._latest
        # One read and one write of a whole pair: threads may both build it, none sees half of it.
        if known is not None and known[0] is book:
            return known[1]
        value = self._make(book)
        self._latest = (book, value)
        return value
