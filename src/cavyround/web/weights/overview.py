"""The herd at a glance: each animal's trend with its interval, in one ranked picture."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from cavyround.web.weights.one_animal import SIGNS, layer, look_of
from cavyround.web.weights.palette import SCREEN, Palette

ROW_PX = 26
# The picture reaches at least and at most so far; an interval that goes further ends at the edge.
LEAST_PCT, MOST_PCT = 2.0, 6.0
NAME_PX = 96
# What lies beyond the picture: an arrow at its edge, whatever its alarm.
BEYOND = {"beyond_low": "triangle-left", "beyond_high": "triangle-right"}


@dataclass(frozen=True, slots=True)
class Ranked:
    """One animal's trend, per cent a week, with its interval; ``kind`` is that of its alarm."""

    name: str
    low: float
    mid: float
    high: float
    kind: str = ""


def specification(
    ranked: Sequence[Ranked], width: int = 226, font: int = 13, palette: Palette = SCREEN
) -> dict[str, Any]:
    """One line for each, in the order given."""
    reach = _reach(ranked)
    rows = [_row(number, one, reach) for number, one in enumerate(ranked)]
    names = {"title": None, "labelExpr": "slice(datum.label, 4)", "labelLimit": NAME_PX}
    ground = {"ticks": False, "domain": False, "labelColor": palette.ink, "labelPadding": 6}
    y = {"field": "row", "type": "nominal", "sort": None, "axis": {**names, **ground}}
    percent = {"labelExpr": "(datum.value > 0 ? '+' : '') + datum.label + ' %'", "tickCount": 5}
    title = {"title": "per cent of its weight a week", "titlePadding": 8, "orient": "top"}
    x = {
        "field": "mid",
        "type": "quantitative",
        "scale": {"domain": [-reach, reach], "nice": False},
        "axis": {**percent, **title, "gridOpacity": 0.6},
    }
    ends = {"x": {**x, "field": "low"}, "x2": {"field": "high"}, "y": y}
    line = {"type": "rule", "color": palette.soft, "strokeWidth": 3, "opacity": 0.7}
    level = {"type": "rule", "color": palette.ink, "strokeDash": [2, 3], "strokeWidth": 1.5}
    layers = [
        layer([{"mid": 0}], level, {"x": x}),
        layer(rows, line, ends),
        *_signs(rows, {"x": x, "y": y}, palette),
    ]
    return {
        "$schema": "https://vega.github.io/schema/vega-lite/v6.json",
        "width": width,
        "height": {"step": ROW_PX},
        "background": "transparent",
        "config": look_of(palette, font),
        "layer": layers,
    }


def _signs(
    rows: list[dict[str, Any]], place: dict[str, Any], palette: Palette
) -> list[dict[str, Any]]:
    signs = {kind: sign for kind, (sign, _) in SIGNS.items()} | BEYOND
    shapes = {"domain": list(signs), "range": list(signs.values())}
    shape = {"field": "kind", "type": "nominal", "scale": shapes, "legend": None}
    dot = {"type": "point", "filled": True, "opacity": 1, "size": 60, "color": palette.ink}
    sign = {**dot, "size": 150, "color": palette.alarm, "stroke": palette.card, "strokeWidth": 1}
    calm = [row for row in rows if not row["kind"]]
    beyond = [row for row in rows if row["kind"] in BEYOND]
    alarmed = [row for row in rows if row["kind"] in SIGNS]
    drawn = [
        (calm, dot, place),
        (beyond, {**dot, "size": 90}, {**place, "shape": shape}),
        (alarmed, sign, {**place, "shape": shape}),
    ]
    return [layer(some, mark, at) for some, mark, at in drawn if some]


def _reach(ranked: Sequence[Ranked]) -> float:
    """The scale is even on both sides, so that the middle is no change."""
    furthest = max((abs(end) for one in ranked for end in (one.low, one.high)), default=0.0)
    return min(max(furthest, LEAST_PCT), MOST_PCT)


def _row(number: int, one: Ranked, reach: float) -> dict[str, Any]:
    row = asdict(one)
    if abs(one.mid) > reach and not one.kind:
        row["kind"] = "beyond_low" if one.mid < 0 else "beyond_high"
    for end in ("low", "mid", "high"):
        row[end] = min(max(row[end], -reach), reach)
    # The number keeps two animals of one name apart; the axis leaves it out.
    return {**row, "row": f"{number:03d} {one.name}"}
