"""The rules of a book by what triggers them."""

from cavyround.engines.conditions.triggers import ByTrigger, OncePerBook
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.rules import Rule


class RuleIndex(ByTrigger[Rule]):
    """The rules that can fire, and the one that speaks where no other does."""

    def __init__(self, book: Knowledge) -> None:
        """Sort every rule that can fire."""
        super().__init__(((rule, rule.when) for rule in book.rules if rule.when is not None), book)
        self.fallback = next((rule for rule in book.rules if rule.fallback), None)


index_of = OncePerBook(RuleIndex)
