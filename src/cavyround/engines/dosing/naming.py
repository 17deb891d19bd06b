"""Under which names a medicine, or a danger, may stand in an order and on a label."""

import difflib

from cavyround.facts.orders import Order, Product
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.medicine_names import folded

LIKE_ENOUGH = 0.8


def names_of(order: Order, product: Product | None) -> tuple[str, ...]:
    """All names under which a danger may hide: the order's, the label's, what it contains."""
    if product is None:
        return (order.drug,)
    return (order.drug, product.drug, product.name, *product.contains)


def likely_meant(name: str, book: Knowledge) -> str:
    """The medicine whose name is most like this one; empty where none is."""
    known = book.medicines.by_name
    close = difflib.get_close_matches(folded(name), known, n=1, cutoff=LIKE_ENOUGH)
    return known[close[0]].name if close else ""


def drug_words(name: str, book: Knowledge) -> str:
    """The drug's name in the formulary, or as it was ordered."""
    medicine = book.medicines.named(name)
    return medicine.name if medicine else name
