"""Conditions that rest on a single finding, so that it alone is enough."""

from collections.abc import Iterator

from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.conditions import Condition, Seen

JUDGED_ALONE = frozenset({"finding", "region", "kind", "kind_said", "grade"})


def single_findings(condition: Condition, book: Knowledge) -> Iterator[Seen]:
    """The single findings each of which is enough for the condition to hold."""
    if condition.seen is not None:
        if condition.seen.model_fields_set <= JUDGED_ALONE:
            yield condition.seen
    elif condition.is_ is not None:
        yield from single_findings(book.definitions[condition.is_].when, book)
    elif condition.any_ is not None:
        for part in condition.any_:
            yield from single_findings(part, book)
