"""The weighings as a table: the same as the plot shows, and who weighed."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from cavyround.engines.weight.said import Band, Story, WeighIn
from cavyround.knowledge.urgency import Urgency
from cavyround.web.templatetags.words import ounces
from cavyround.web.weights.measures import grams_span, plain_grams, signed
from cavyround.web.weights.one_animal import SIGNS
from cavyround.web.weights.window import shown_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One weighing in words. ``row`` is the row of the record it comes from, where there is one."""

    at: datetime
    grams: str
    ounces: str
    change: str
    change_pct: str
    expected: str
    believed: str
    doubt: str
    alarm: str
    level: Urgency
    row: Any = None


def lines_of(story: Story, rows: Mapping[str, Any], since: datetime | None = None) -> list[Line]:
    """Newest first; changes are against the weighing before that was believed.

    With ``since`` only those the plot shows.
    """
    shown = {id(one) for one in shown_of(story, since)}
    lines: list[Line] = []
    before: WeighIn | None = None
    for one in story.weighings:
        if id(one) in shown:
            lines.append(_line(one, before, rows.get(one.id or "")))
        if one.doubt is None:
            before = one
    return lines[::-1]


def _line(one: WeighIn, before: WeighIn | None, row: Any) -> Line:
    # Of the first weighing nothing was expected but what any animal may weigh.
    told = before is not None and one.expected is not None and one.expected.known
    likely = one.expected.likely if one.expected and told else None
    alarmed = one.alarm.level > Urgency.NORMAL
    kind = SIGNS[one.alarm.kind.value][1] if one.alarm.kind else ""
    return Line(
        at=one.at,
        grams=plain_grams(one.grams),
        ounces=ounces(one.grams),
        change=f"{signed(float(one.grams - before.grams))} g" if before else "",
        change_pct=_change_pct(one.grams, before.grams) if before else "",
        expected=grams_span(likely) if likely else "",
        believed=_believed(one.level),
        doubt=one.doubt.words if one.doubt else "",
        alarm=kind or "alarm" if alarmed else "",
        level=one.alarm.level,
        row=row,
    )


def _believed(level: Band | None) -> str:
    return f"{plain_grams(level.mid)} ({grams_span(level)})" if level else ""


def _change_pct(grams: Decimal, before: Decimal) -> str:
    return f"({signed(float((grams - before) * 100 / before), 1)} %)"


def by_id(rows: Iterable[Any]) -> dict[str, Any]:
    """Rows of the record by their id as the engines write it."""
    return {str(row.pk): row for row in rows}
