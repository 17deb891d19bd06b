"""The pictures of an outbreak: cases by day, and contacts in time."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from cavyround.web.weights.palette import SCREEN, Palette

SCHEMA = "https://vega.github.io/schema/vega-lite/v6.json"
CURVE_PX, ROW_PX, NAME_PX = 120, 26, 110
TIME = {"type": "temporal", "axis": {"title": None, "format": "%-d %b", "tickCount": 3}}


@dataclass(frozen=True, slots=True)
class DayOfCases:
    """How many cases showed their first signs on a day; ``day`` as its axis says it."""

    day: str
    suspected: int
    confirmed: int


@dataclass(frozen=True, slots=True)
class Bar:
    """One contact on the time line of an animal; ``close``: skin to skin. Moments as ISO text."""

    name: str
    since: str
    until: str
    close: bool


@dataclass(frozen=True, slots=True)
class Sign:
    """The first signs of a case on its line."""

    name: str
    at: str


def _look(palette: Palette, font: int) -> dict[str, Any]:
    axis = {
        "labelColor": palette.soft,
        "titleColor": palette.soft,
        "gridColor": palette.line,
        "domainColor": palette.line,
        "tickColor": palette.line,
        "labelFontSize": font,
        "titleFontSize": font,
        "labelFont": palette.font,
        "titleFont": palette.font,
        "titleFontWeight": "normal",
    }
    return {"axis": axis, "view": {"stroke": None}, "font": palette.font}


def _frame(width: int, font: int, palette: Palette) -> dict[str, Any]:
    return {
        "$schema": SCHEMA,
        "width": width,
        "background": "transparent",
        "config": _look(palette, font),
    }


def curve(
    days: Sequence[DayOfCases], width: int = 290, font: int = 13, palette: Palette = SCREEN
) -> dict[str, Any]:
    """New cases by the day of their first signs; the suspected stand hollow on the confirmed."""
    rows: list[dict[str, Any]] = []
    for one in days:
        for sure, begin, count in (
            ("confirmed", 0, one.confirmed),
            ("suspected", one.confirmed, one.suspected),
        ):
            if count:
                rows.append({"day": one.day, "from": begin, "to": begin + count, "sure": sure})
    x = {
        "field": "day",
        "type": "ordinal",
        # Every day from the first to the last, also those without a case.
        "scale": {"domain": [one.day for one in days]},
        "axis": {"title": None, "labelAngle": 0, "labelOverlap": "greedy"},
    }
    most = max((one.suspected + one.confirmed for one in days), default=1)
    y = {
        "field": "from",
        "type": "quantitative",
        "axis": {"title": "new cases", "format": "d", "values": list(range(most + 1))},
    }
    bar = {"type": "bar", "width": {"band": 0.8}, "stroke": palette.alarm, "strokeWidth": 2}
    fill = {
        "field": "sure",
        "type": "nominal",
        "scale": {
            "domain": ["confirmed", "suspected"],
            "range": [palette.alarm, palette.card],
        },
        "legend": None,
    }
    return _frame(width, font, palette) | {
        "height": CURVE_PX,
        "data": {"values": rows},
        "mark": bar,
        "encoding": {"x": x, "y": y, "y2": {"field": "to"}, "fill": fill},
    }


def contacts(
    bars: Sequence[Bar],
    signs: Sequence[Sign],
    width: int = 226,
    font: int = 13,
    palette: Palette = SCREEN,
) -> dict[str, Any]:
    """A line for each animal: close contacts thick, weaker ones thin, first signs a triangle."""
    names = list(dict.fromkeys([*(one.name for one in signs), *(one.name for one in bars)]))
    y = {
        "field": "name",
        "type": "nominal",
        "sort": names,
        "axis": {
            "title": None,
            "ticks": False,
            "domain": False,
            "labelColor": palette.ink,
            "labelLimit": NAME_PX,
        },
    }
    x = {"field": "since", **TIME}
    ends = {"x": x, "x2": {"field": "until"}, "y": y}
    layers = []
    for close, size in ((False, 5), (True, 14)):
        rows = [_bar(one) for one in bars if one.close is close]
        if rows:
            colour = palette.level if close else palette.soft
            mark = {"type": "bar", "height": size, "color": colour}
            layers.append({"data": {"values": rows}, "mark": mark, "encoding": ends})
    if signs:
        mark = {
            "type": "point",
            "shape": "triangle-down",
            "filled": True,
            "size": 170,
            "opacity": 1,
            "color": palette.alarm,
            "stroke": palette.card,
        }
        rows = [{"name": one.name, "since": one.at} for one in signs]
        layers.append({"data": {"values": rows}, "mark": mark, "encoding": {"x": x, "y": y}})
    return _frame(width, font, palette) | {"height": {"step": ROW_PX}, "layer": layers}


def _bar(one: Bar) -> dict[str, Any]:
    return {"name": one.name, "since": one.since, "until": one.until}
