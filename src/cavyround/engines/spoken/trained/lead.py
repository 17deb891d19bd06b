"""The animal on the table said first, where the words themselves do not name it.

At the table nobody says "Biscuit" before "left ear waxy". The network was taught with notes that
name their animal, so it is given its name as the first sentence, and the places are moved back.
"""

from collections.abc import Iterable
from dataclasses import replace

from cavyround.engines.spoken.result import ReadAnimal, ReadNote, Spans
from cavyround.engines.spoken.tokens import Span


def lead_of(checking: str) -> str:
    """The words to put first."""
    return f"{checking}. "


def without_lead(note: ReadNote, size: int) -> ReadNote:
    """The note with every place moved back by the lead, which itself is gone."""
    if not size:
        return note
    return ReadNote(
        animals=tuple(_animal(one, size) for one in note.animals),
        words=tuple(
            replace(one, span=_span(one.span, size)) for one in note.words if one.span.start >= size
        ),
        red_flags=tuple(replace(one, spans=_spans(one.spans, size)) for one in note.red_flags),
        heard_as=tuple(
            (_span(span, size), word) for span, word in note.heard_as if span.start >= size
        ),
    )


def _animal(animal: ReadAnimal, size: int) -> ReadAnimal:
    return replace(
        animal,
        findings=tuple(replace(one, spans=_spans(one.spans, size)) for one in animal.findings),
        care=tuple(replace(one, spans=_spans(one.spans, size)) for one in animal.care),
        asks=tuple(replace(one, spans=_spans(one.spans, size)) for one in animal.asks),
        blanket_spans=_spans(animal.blanket_spans, size),
    )


def _spans(spans: Iterable[Span], size: int) -> Spans:
    return tuple(_span(one, size) for one in spans if one.start >= size)


def _span(span: Span, size: int) -> Span:
    return Span(span.start - size, span.end - size)
