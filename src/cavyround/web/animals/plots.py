"""The weights of an animal over time: drawn once on the server, in colours the page sets."""

import re
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from functools import lru_cache
from typing import Any
from uuid import UUID

import altair as alt
import vl_convert
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.safestring import SafeString

from cavyround.record.models import Animal, Happened, WeighIn
from cavyround.web.animals.parts import show, wants_part
from cavyround.web.gate import for_readers

POINTS_SHOWN = 400
WIDTH, HEIGHT = 300, 230
EDGE_SHARE, SMALLEST_EDGE_G = 0.12, 25.0
LONG = timedelta(days=120)
INK, SOFT, LINE, CARD, LEAF, FAULT = (
    f"var(--{name})" for name in ("ink", "soft", "line", "card", "leaf", "fault")
)
EVENTS = {"gave_birth": "gave birth", "surgery": "operation", "abortion": "lost pups"}
FONT = "system-ui, sans-serif"


@dataclass(frozen=True, slots=True)
class Point:
    """One weighing as it is drawn, in the rescue's own time."""

    at: str
    grams: float
    doubted: bool


@dataclass(frozen=True, slots=True)
class Mark:
    """Something that happened, as an upright line."""

    at: str
    words: str


@for_readers
def animal_weights(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """The plot with its table: a fragment, or a page of its own without script."""
    animal = get_object_or_404(Animal, pk=animal_id)
    newest = WeighIn.objects.filter(animal=animal).select_related("by").order_by("-at", "-id")
    rows = list(newest[:POINTS_SHOWN])
    page: dict[str, Any] = {"animal": animal, "rows": rows, "here": "animals"}
    if rows:
        points = tuple(Point(_local(r.at), float(r.grams), r.doubted) for r in reversed(rows))
        marks = _marks(animal, rows[-1].at, rows[0].at)
        page |= {"plot": drawn(points, marks), "marks": marks}
        page["doubted"] = any(point.doubted for point in points)
    part = wants_part(request)
    return show(request, f"web/animals/weights{'' if part else '_page'}.html", page)


def _local(moment: datetime) -> str:
    return timezone.localtime(moment).replace(tzinfo=None).isoformat(timespec="seconds")


def _marks(animal: Animal, first: datetime, last: datetime) -> tuple[Mark, ...]:
    """What happened between the first and the last weighing."""
    days = [(row.on, "came") for row in animal.arrivals.all()]
    days += [(row.on, "left") for row in animal.departures.all()]
    told = Happened.objects.filter(animal=animal, what__in=EVENTS, on__isnull=False)
    days += [(row.on, EVENTS[row.what]) for row in told if row.on]
    low, high = timezone.localdate(first), timezone.localdate(last)
    kept = sorted({(day, words) for day, words in days if low <= day <= high})
    return tuple(Mark(datetime.combine(day, time(12)).isoformat(), words) for day, words in kept)


@lru_cache(maxsize=256)
def drawn(points: tuple[Point, ...], marks: tuple[Mark, ...]) -> SafeString:
    """The plot as SVG to set into a page: all its text is ours, its numbers are numbers."""
    svg = vl_convert.vegalite_to_svg(specification(points, marks))
    svg = re.sub(r' (?:role|aria-[a-z]+)="[^"]*"', "", svg)  # one picture, one name
    box = re.search(r'viewBox="[^"]*"', svg)
    words = f"Weight over time, {len(points)} weighings; the table below says the same"
    opening = f'<svg class="plot" role="img" aria-label="{words}" {box.group() if box else ""}>'
    return SafeString(re.sub(r"<svg[^>]*>", opening, svg, count=1))


def specification(points: tuple[Point, ...], marks: tuple[Mark, ...]) -> dict[str, Any]:
    """One specification for page and paper."""
    low, high = _bounds(points)
    weighed = alt.InlineData(
        values=[
            {
                "at": point.at,
                "grams": min(max(point.grams, low), high),
                "kind": _kind(point, low, high),
            }
            for point in points
        ]
    )
    happened = alt.InlineData(values=[{"at": mark.at, "words": mark.words} for mark in marks])
    long = datetime.fromisoformat(points[-1].at) - datetime.fromisoformat(points[0].at) > LONG
    shown = alt.Axis(
        format="%b %Y" if long else "%-d %b", tickCount=4, grid=False, labelOverlap=True
    )
    x = alt.X("at:T", title=None, axis=shown)
    y = alt.Y("grams:Q", title="grams", scale=alt.Scale(domain=[low, high], nice=False))
    base = alt.Chart(weighed).encode(x=x, y=y)
    sound = base.transform_filter("datum.kind == 'sound'")
    line = sound.mark_line(color=LEAF, strokeWidth=2)
    dots = sound.mark_point(filled=True, color=LEAF, size=34, opacity=1)
    kinds = ["doubted", "above", "below"]
    shapes = alt.Scale(domain=kinds, range=["diamond", "triangle-up", "triangle-down"])
    doubted = (
        base.transform_filter("datum.kind != 'sound'")
        .mark_point(color=FAULT, fill=CARD, size=110, strokeWidth=2, opacity=1)
        .encode(shape=alt.Shape("kind:N", scale=shapes, legend=None))
    )
    upright = alt.Chart(happened).encode(x=x)
    rules = upright.mark_rule(color=SOFT, strokeDash=[3, 3], strokeWidth=1.5)
    names = upright.mark_text(
        align="right", baseline="bottom", angle=270, dx=-4, dy=-3, color=INK, fontSize=14
    ).encode(text="words:N", y=alt.value(0))
    chart = (
        alt.layer(rules, line, dots, doubted, names)
        .properties(width=WIDTH, height=HEIGHT, background="transparent")
        .configure(aria=False, font=FONT)
        .configure_view(stroke=None)
        .configure_axis(
            labelColor=SOFT,
            titleColor=SOFT,
            tickColor=LINE,
            domainColor=LINE,
            gridColor=LINE,
            labelFontSize=14,
            titleFontSize=14,
        )
    )
    whole: dict[str, Any] = chart.to_dict()
    return whole


def _bounds(points: tuple[Point, ...]) -> tuple[float, float]:
    """The scale spans what is not doubted, so that one slip of a finger does not flatten it."""
    grams = [point.grams for point in points if not point.doubted] or [p.grams for p in points]
    edge = max((max(grams) - min(grams)) * EDGE_SHARE, SMALLEST_EDGE_G)
    return max(0.0, min(grams) - edge), max(grams) + edge


def _kind(point: Point, low: float, high: float) -> str:
    """Sound, doubted, or doubted and off the scale at its top or foot."""
    if not point.doubted:
        return "sound"
    return "above" if point.grams > high else "below" if point.grams < low else "doubted"
