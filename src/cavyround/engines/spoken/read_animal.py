"""From the sheet of an animal to what is answered of it."""

from collections.abc import Sequence

from cavyround.engines.spoken.coverage import steps_of
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.result import Ask, ReadAnimal, SaidCare, SaidFinding
from cavyround.engines.spoken.sheets import Filed, Given, Sheet
from cavyround.engines.spoken.tokens import Span
from cavyround.facts.observation import Side
from cavyround.knowledge.book import Knowledge


def read_animal(sheet: Sheet, book: Knowledge) -> ReadAnimal:
    """All that was said of one animal, with the questions it leaves open."""
    asks = [Ask(kind=kind, words=words, spans=_spans(items)) for kind, words, items in sheet.asks]
    findings = tuple(_finding(filed) for filed in sheet.findings)
    asks += [
        Ask(
            kind="side",
            words=f"Which side: {book.place_words(one.region, 'N')}?",
            spans=one.spans,
        )
        for one in findings
        if one.side is Side.NOT_SAID
        and book.is_paired(one.region)
        and one.status == "present"
        and not book.is_benign(one.finding)
        and one.region not in ("nails", "foot")
    ]
    return ReadAnimal(
        name=sheet.name,
        findings=findings,
        care=tuple(_care(given) for given in sheet.care),
        blanket=bool(sheet.blanket),
        blanket_spans=_spans(sheet.blanket),
        asks=tuple(asks),
        **steps_of(sheet),
    )


def _spans(items: Sequence[Item]) -> tuple[Span, ...]:
    return tuple(sorted({item.span for item in items}, key=lambda span: span.start))


def _finding(filed: Filed) -> SaidFinding:
    return SaidFinding(
        region=filed.region,
        finding=filed.finding,
        side=filed.side,
        status=filed.status,
        grade=filed.grade,
        kinds=frozenset(filed.kinds),
        value=filed.value,
        unit=filed.unit,
        grams=filed.grams,
        step=filed.step,
        spans=_spans(filed.items),
        why_unsure=filed.unsure,
    )


def _care(given: Given) -> SaidCare:
    return SaidCare(
        care=given.care,
        side=given.side,
        status=given.status,
        product=given.product,
        value=given.value,
        unit=given.unit,
        spans=_spans(given.items),
        why_unsure=given.unsure,
    )
