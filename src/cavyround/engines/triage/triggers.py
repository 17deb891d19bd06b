"""Which findings, events or signs a rule needs at the least, so that few rules are tried."""

from collections.abc import Iterable

from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.conditions import Condition
from cavyround.knowledge.rules import Rule

# None: may hold without any finding, event or sign; the rule is always tried.
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


class RuleIndex:
    """The rules of a book by what triggers them."""

    def __init__(self, book: Knowledge) -> None:
        """Sort every rule that can fire."""
        self._always: list[Rule] = []
        self._by_trigger: dict[str, list[Rule]] = {}
        self._order = {rule.id: place for place, rule in enumerate(book.rules)}
        for rule in book.rules:
            if rule.when is None:
                continue
            triggers = triggers_of(rule.when, book)
            if triggers is None:
                self._always.append(rule)
            for trigger in triggers or ():
                self._by_trigger.setdefault(trigger, []).append(rule)

    def candidates(self, active: Iterable[str]) -> list[Rule]:
        """The rules worth trying, in the order of the files."""
        found = {rule.id: rule for rule in self._always}
        for code in active:
            found.update((rule.id, rule) for rule in self._by_trigger.get(code, ()))
        return sorted(found.values(), key=lambda rule: self._order[rule.id])


_latest: tuple[Knowledge, RuleIndex] | None = None


def index_of(book: Knowledge) -> RuleIndex:
    """The index of a book, kept for as long as the same book is asked."""
    global _latest  # noqa: PLW0603 -- one book is in use for the life of a process
    known = _latest
    # One read and one write of a whole pair: threads may both build it, none sees half of it.
    if known is not None and known[0] is book:
        return known[1]
    index = RuleIndex(book)
    _latest = (book, index)
    return index
