"""The plot of one animal: own normal, what is believed, what lies ahead, what was weighed.

The specification is Vega-Lite, written out: building it through an object for every
part takes ten times as long, and the tests hold it against the published schema.
"""

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from typing import Any

from cavyround.web.weights.palette import SCREEN, Palette
from cavyround.web.weights.window import Slice, Window

LONG_DAYS = 150
# Words beyond this share of the days are set to the left of their point.
LATE_SHARE = 0.55
STROKE_EVERY_PX = 7
EDGE_PX = 20
# How long the longest name of a band is, in heights of its letters.
WIDEST_NAME = 6.0
AS_GRAMS = "format(datum.value, ',') + ' g'"
# A sign of its own for each kind of alarm, and the words beside the first of a row of them.
SIGNS = {
    "loss": ("triangle-down", "losing"),
    "gain": ("triangle-up", "gaining"),
    "growth": ("square", "not growing"),
    "pregnancy": ("cross", "pregnancy"),
    "weigh_again": ("circle", "weigh again"),
}
Layer = dict[str, Any]
Rows = Iterable[Mapping[str, Any]]


@dataclass(frozen=True, slots=True)
class Named:
    """Words at a place of the plot."""

    at: str
    grams: float
    words: str


@dataclass(frozen=True, slots=True)
class Size:
    """How large a plot is, in px at its own scale, and how many days are named."""

    width: int
    height: int
    font: int
    days_named: int


PHONE = Size(width=272, height=270, font=13, days_named=4)
DESK = Size(width=690, height=330, font=14, days_named=7)
SHEET = Size(width=480, height=200, font=10, days_named=8)


def specification(window: Window, size: Size = PHONE, palette: Palette = SCREEN) -> dict[str, Any]:
    """One specification for page and paper."""
    return {
        "$schema": "https://vega.github.io/schema/vega-lite/v6.json",
        "width": size.width,
        "height": size.height,
        "background": "transparent",
        "config": look_of(palette, size.font),
        "layer": _Drawing(window, size, palette).layers(),
    }


def look_of(palette: Palette, font: int) -> dict[str, Any]:
    """What all plots share."""
    axis = {"tickColor": palette.line, "domainColor": palette.line, "gridColor": palette.line}
    words = {"labelColor": palette.soft, "titleColor": palette.soft}
    sizes = {"labelFontSize": font, "titleFontSize": font, "titleFontWeight": "normal"}
    return {
        "aria": False,
        "font": palette.font,
        "view": {"stroke": None},
        "axis": {**axis, **words, **sizes},
    }


class _Drawing:
    """The layers of one plot, from the ground up."""

    def __init__(self, window: Window, size: Size, palette: Palette) -> None:
        self.window, self.size, self.palette = window, size, palette

    def layers(self) -> list[Layer]:
        """Bands with their names first, so that no weighing is covered; the other words on top."""
        return [
            *self._normal(),
            *self._steps(),
            *self._band_names(),
            *self._marks(),
            *self._ahead(),
            *self._level(),
            *self._points(),
            *self._words(),
        ]

    def _x(self) -> dict[str, Any]:
        days = "%b %Y" if self.window.days > LONG_DAYS else "%-d %b"
        axis = {"format": days, "tickCount": self.size.days_named, "grid": False}
        return {
            "field": "at",
            "type": "temporal",
            "axis": {**axis, "labelOverlap": "greedy", "labelSeparation": 8, "title": None},
            "scale": {"domain": [self.window.first, self.window.last]},
        }

    def _y(self, field: str = "grams") -> dict[str, Any]:
        return {
            "field": field,
            "type": "quantitative",
            "axis": {"title": None, "tickCount": 5, "gridOpacity": 0.5, "labelExpr": AS_GRAMS},
            "scale": {"domain": [self.window.low, self.window.high], "nice": False},
        }

    def _band(self, slices: Iterable[Slice], mark: str, **look: Any) -> Layer:
        """From low to high: an area, or an upright stroke at each."""
        place = {"x": self._x(), "y": self._y("low"), "y2": {"field": "high"}}
        return layer(map(asdict, slices), {"type": mark, **look}, place)

    def _line(self, slices: Iterable[Slice], end: str, **look: Any) -> Layer:
        place = {"x": self._x(), "y": self._y(end)}
        return layer(map(asdict, slices), {"type": "line", **look}, place)

    def _normal(self) -> list[Layer]:
        """The animal's own normal: a quiet band between two dotted edges."""
        rows = self.window.normal
        if not rows:
            return []
        edge = {"color": self.palette.soft, "strokeDash": [2, 3], "strokeWidth": 1.2}
        return [
            self._band(rows, "area", color=self.palette.band),
            self._line(rows, "low", **edge),
            self._line(rows, "high", **edge),
        ]

    def _steps(self) -> list[Layer]:
        """How far 5 and 10 per cent below the own normal reach."""
        dashes = {"color": self.palette.soft, "strokeDash": [9, 4], "strokeWidth": 1}
        return [self._line(one.line, "mid", **dashes) for one in self.window.steps]

    def _marks(self) -> list[Layer]:
        """What happened: an upright line each."""
        rule = {"type": "rule", "color": self.palette.ink, "strokeDash": [3, 3]}
        return [layer([asdict(one)], rule, {"x": self._x()}) for one in self.window.marks]

    def _ahead(self) -> list[Layer]:
        """What is expected: upright strokes from low to high, and a dashed line."""
        if not self.window.ahead:
            return []
        strokes = self.window.ahead_at(self.size.width // STROKE_EVERY_PX)
        leaf = self.palette.level
        return [
            self._band(strokes, "rule", color=leaf, opacity=0.6, strokeWidth=1.2),
            self._line(self.window.ahead, "mid", color=leaf, strokeDash=[5, 4], strokeWidth=2.5),
        ]

    def _level(self) -> list[Layer]:
        """What is believed: a line with its interval."""
        rows = self.window.level
        if not rows:
            return []
        return [
            self._band(rows, "area", color=self.palette.level, opacity=0.26),
            self._line(rows, "mid", color=self.palette.level, strokeWidth=2.5),
        ]

    def _points(self) -> list[Layer]:
        """Each weighing: a dot, with a sign over it for an alarm; open where it is doubted."""
        dots = [asdict(dot) for dot in self.window.dots]
        sound = [dot for dot in dots if not dot["doubted"]]
        alarmed = [dot for dot in sound if dot["alarm"]]
        doubted = [dot for dot in dots if dot["doubted"]]
        place = {"x": self._x(), "y": self._y()}
        small = {"type": "point", "filled": True, "opacity": 1, "color": self.palette.ink}
        large = {"type": "point", "filled": True, "opacity": 1, "color": self.palette.alarm}
        rim = {"stroke": self.palette.card, "strokeWidth": 1, "size": 115}
        signs = {"domain": list(SIGNS), "range": [sign for sign, _ in SIGNS.values()]}
        shape = {"field": "alarm", "type": "nominal", "scale": signs, "legend": None}
        hollow = {"type": "point", "shape": "diamond", "size": 130, "opacity": 1}
        ground = {"fill": self.palette.card, "color": self.palette.alarm, "strokeWidth": 2}
        drawn = [
            (sound, {**small, "size": 24}, place),
            (alarmed, {**large, **rim}, {**place, "shape": shape}),
            (doubted, {**hollow, **ground}, place),
        ]
        return [layer(rows, mark, at) for rows, mark, at in drawn if rows]

    def _words(self) -> list[Layer]:
        """Direct labels, each with a rim of the ground so that no line crosses it out."""
        window = self.window
        begins = [
            {"at": dot.at, "grams": dot.grams, "words": SIGNS[dot.alarm][1]}
            for dot in window.dots
            if dot.begins and not dot.doubted
        ]
        beyond = [
            {"at": dot.at, "grams": dot.grams, "words": _beyond(dot.true_g, window.high)}
            for dot in window.dots
            if dot.doubted and dot.off_scale
        ]
        return [
            *self._event_names(),
            *self._beside(begins, dy=14, fontWeight="bold"),
            *self._beside(beyond),
        ]

    def _beside(self, rows: list[dict[str, Any]], **how: Any) -> list[Layer]:
        """Words to the right of early points and to the left of late ones."""
        turn = self._along(LATE_SHARE)
        early = [row for row in rows if row["at"] <= turn]
        late = [row for row in rows if row["at"] > turn]
        place = {"x": self._x(), "y": self._y()}
        return [
            *self._text(early, place, align="left", dx=9, **how),
            *self._text(late, place, align="right", dx=-9, **how),
        ]

    def _event_names(self) -> list[Layer]:
        rows = [asdict(mark) for mark in self.window.marks]
        turned = {"align": "right", "angle": 270, "dx": -3}
        place = {"x": self._x(), "y": {"value": 0}}
        # Left of its line, but for one at the left edge, where it would be cut off.
        edge = self._along(EDGE_PX / self.size.width)
        near = [row for row in rows if row["at"] < edge]
        far = [row for row in rows if row["at"] >= edge]
        return [
            *self._text(near, place, baseline="top", dy=4, **turned),
            *self._text(far, place, baseline="bottom", dy=-4, **turned),
        ]

    def _along(self, share: float) -> str:
        """The moment at a share of the days shown."""
        begin, end = (datetime.fromisoformat(one) for one in (self.window.first, self.window.last))
        return (begin + (end - begin) * share).isoformat()

    def _band_names(self) -> list[Layer]:
        """Names of the own normal and of the lines below it, each where no other name stands."""
        normal = [Named(one.at, self._top(one.at), "own normal") for one in self.window.normal[:1]]
        steps = [
            Named(one.line[0].at, one.line[0].mid, f"{one.pct} % below")
            for one in self.window.steps
        ]
        rows = [asdict(one) for one in self._apart([*normal, *steps])]
        place = {"x": self._x(), "y": self._y()}
        return self._text(rows, place, align="left", dx=4, baseline="bottom", dy=-3)

    def _top(self, at: str) -> float:
        """The highest the own normal reaches where its name stands, so as not to cross it."""
        days = self.window.days * self.size.font * WIDEST_NAME / self.size.width
        end = (datetime.fromisoformat(at) + timedelta(days=days)).isoformat()
        return max(one.high for one in self.window.normal if one.at <= end)

    def _apart(self, names: Iterable[Named]) -> list[Named]:
        """Those that do not cover one before; what is left out is still told by the key."""
        kept: list[Named] = []
        for name in names:
            if all(self._clear(name, other) for other in kept):
                kept.append(name)
        return kept

    def _clear(self, one: Named, other: Named) -> bool:
        low, high = self.window.low, self.window.high
        up = abs(one.grams - other.grams) / (high - low) * self.size.height
        begin, end = (datetime.fromisoformat(each) for each in (one.at, other.at))
        along = abs((end - begin) / timedelta(days=1)) / self.window.days * self.size.width
        return up > self.size.font * 1.3 or along > self.size.font * WIDEST_NAME

    def _text(self, rows: list[dict[str, Any]], place: Layer, **how: Any) -> list[Layer]:
        if not rows:
            return []
        rim = {"stroke": self.palette.card, "strokeWidth": 4, "strokeJoin": "round"}
        rimmed = {"color": self.palette.card, **rim}
        looks: tuple[Layer, ...] = (rimmed, {"color": self.palette.ink})
        said = {**place, "text": {"field": "words", "type": "nominal"}}
        return [
            layer(rows, {"type": "text", "fontSize": self.size.font, **look, **how}, said)
            for look in looks
        ]


def layer(rows: Rows, mark: Mapping[str, Any], encoding: Mapping[str, Any]) -> Layer:
    """One layer with its own rows."""
    return {
        "data": {"values": [dict(row) for row in rows]},
        "mark": dict(mark),
        "encoding": dict(encoding),
    }


def _beyond(grams: float, high: float) -> str:
    """A weight beyond the scale, with the way it lies."""
    return f"{'↑' if grams > high else '↓'} {grams:,.0f} g"
