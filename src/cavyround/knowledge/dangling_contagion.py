"""Find what in contagion.yaml points to nothing."""

from collections import Counter
from collections.abc import Iterable, Iterator

from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.contagion import Contagion


def dangling_in_contagion(book: Knowledge) -> Iterator[str]:
    """Every infection, problem or time apart that is named there and does not exist."""
    infections = [infection.id for infection in book.infections]
    apart = [kept.id for kept in book.kept_apart]
    skin, steps = book.contagion.skin, [step.code for step in book.steps]
    for kind in book.contagion.outbreaks:
        where = f"contagion.yaml: outbreak {kind.id}"
        yield from _unknown(where, "infection", kind.infections, infections)
        yield from _unknown(where, "problem", kind.problems, book.vocabulary.problems)
        yield from _unknown(where, "quarantine", [kind.quarantine], apart)
        yield from _unknown(where, "step", kind.looks, steps)
        yield from _unknown(where, "finding", kind.signs, book.vocabulary.findings)
    yield from _unknown("contagion.yaml: skin", "step", skin.steps, steps)
    yield from _unknown("contagion.yaml: skin", "finding", skin.itchy, book.vocabulary.findings)
    twice = Counter(kind.id for kind in book.contagion.outbreaks)
    yield from (
        f"contagion.yaml: outbreak {name}: is there twice"
        for name, count in twice.items()
        if count > 1
    )


def _unknown(where: str, what: str, codes: Iterable[str], known: Iterable[str]) -> Iterator[str]:
    for code in sorted(set(codes) - set(known)):
        yield f"{where}: unknown {what} {code!r}"


def contagion_sources(contagion: Contagion) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Where each source is named, for the check that all of them exist."""
    yield from (
        (f"contagion.yaml: way of contact {code}", way.sources)
        for code, way in contagion.ways.items()
    )
    lasts = contagion.lasts
    for threshold in (lasts.pen_days, lasts.things_days, lasts.hands_hours):
        yield "contagion.yaml: lasts", threshold.sources
    yield from (
        (f"contagion.yaml: quarantine_ends {one.code}", one.sources)
        for one in contagion.quarantine_ends
    )
    yield "contagion.yaml: skin", contagion.skin.sources
    yield from ((f"contagion.yaml: outbreak {one.id}", one.sources) for one in contagion.outbreaks)
    yield from ((f"contagion.yaml: closing {one.code}", one.sources) for one in contagion.closing)
    yield from ((f"contagion.yaml: what_if {one.chance}", one.sources) for one in contagion.what_if)
