"""Small plots, one beside another: the lines in them tell how far each is from its own normal.

Drawn without a chart engine: a herd has hundreds, and each is a line and some signs.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from django.utils.html import escape
from django.utils.safestring import SafeString

from cavyround.engines.weight.said import Story, WeighIn
from cavyround.knowledge.urgency import Urgency

# How far above and below its own normal a small plot reaches at least. It follows what was
# believed: one that gains must not look level. What is doubted may lie at the edge. Per cent.
HIGHEST_PCT, LOWEST_PCT, ROOM_PCT = 6.0, -13.0, 1.0
RULES = ((0, "own"), (-5, "five"), (-10, "ten"))
MARGIN = 7
# Left free for the names of the lines, so that no line runs through them.
NAMES_PX = 82
DIAMOND = "M0-6 6 0 0 6-6 0Z"
SHAPES = {
    "loss": "M-6.500-4.500H6.500L0 6.500Z",
    "gain": "M-6.500 4.500H6.500L0-6.500Z",
    "growth": "M-5-5H5V5H-5Z",
    "pregnancy": "M-2-6H2V-2H6V2H2V6H-2V2H-6V-2H-2Z",
    "weigh_again": "M-5 0a5 5 0 1 0 10 0a5 5 0 1 0-10 0Z",
}


@dataclass(frozen=True, slots=True)
class Spot:
    """One weighing, in per cent above or below the own normal of its day."""

    at: datetime
    pct: float
    doubted: bool
    kind: str


@dataclass(frozen=True, slots=True)
class Frame:
    """The days a small plot spans, and its size; ``named`` writes the per cent at its lines."""

    begin: datetime
    end: datetime
    width: int = 150
    height: int = 64
    named: bool = False
    highest: float = HIGHEST_PCT
    lowest: float = LOWEST_PCT

    def holding(self, spots: Sequence[Spot]) -> "Frame":
        """The same, reaching as far as the weighings that are believed."""
        sound = [spot.pct for spot in spots if not spot.doubted]
        highest = max([self.highest, *(pct + ROOM_PCT for pct in sound)])
        return replace(
            self, highest=highest, lowest=min([self.lowest, *(pct - ROOM_PCT for pct in sound)])
        )


def spots_of(story: Story, since: datetime) -> tuple[Spot, ...]:
    """The weighings since a moment whose own normal is known."""
    return tuple(spot for one in story.weighings if one.at >= since if (spot := _spot(one)))


def _spot(one: WeighIn) -> Spot | None:
    if one.own_normal is None or one.own_normal.mid <= 0:
        return None
    pct = (float(one.grams) / one.own_normal.mid - 1) * 100
    kind = one.alarm.kind if one.alarm.level > Urgency.NORMAL else None
    return Spot(one.at, pct, one.doubt is not None, kind.value if kind else "")


def small_plot(spots: Sequence[Spot], frame: Frame, words: str) -> SafeString:
    """The picture: its own normal, lines 5 and 10 per cent below, and its way along them."""
    picture = _Picture(frame)
    parts = [*picture.rules(), *picture.way(spots), *picture.signs(spots)]
    opening = (
        f'<svg class="small-plot" role="img" aria-label="{escape(words)}" '
        f'viewBox="0 0 {frame.width} {frame.height}">'
    )
    return SafeString("".join([opening, *parts, "</svg>"]))


class _Picture:
    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        self.left = NAMES_PX if frame.named else 0

    def x(self, at: datetime) -> float:
        share = (at - self.frame.begin) / ((self.frame.end - self.frame.begin) or timedelta(days=1))
        return self.left + MARGIN + share * (self.frame.width - self.left - 2 * MARGIN)

    def y(self, pct: float) -> float:
        high, low = self.frame.highest, self.frame.lowest
        share = (high - min(max(pct, low), high)) / (high - low)
        return MARGIN + share * (self.frame.height - 2 * MARGIN)

    def rules(self) -> Iterator[str]:
        for pct, css in RULES:
            y = self.y(pct)
            yield f'<path class="{css}" d="M{self.left} {y:.1f}H{self.frame.width}"/>'
            if self.frame.named:
                words = f"\u2212{-pct} %" if pct else "own normal"
                yield f'<text x="2" y="{y + 5:.1f}">{words}</text>'

    def way(self, spots: Sequence[Spot]) -> Iterator[str]:
        sound = [spot for spot in spots if not spot.doubted]
        if len(sound) > 1:
            points = " ".join(f"{self.x(s.at):.1f},{self.y(s.pct):.1f}" for s in sound)
            yield f'<polyline class="way" points="{points}"/>'

    def signs(self, spots: Sequence[Spot]) -> Iterator[str]:
        """The doubted ones, and the last one with its alarm."""
        for spot in spots:
            if spot.doubted:
                yield self._sign("doubted", DIAMOND, spot)
        for spot in [spot for spot in spots if not spot.doubted][-1:]:
            if spot.kind:
                yield self._sign("alarm", SHAPES[spot.kind], spot)
            else:
                yield self._sign("last", SHAPES["weigh_again"], spot, scale=0.75)

    def _sign(self, css: str, path: str, spot: Spot, scale: float = 1) -> str:
        move = f"translate({self.x(spot.at):.1f} {self.y(spot.pct):.1f}) scale({scale})"
        return f'<path class="{css}" transform="{move}" d="{path}"/>'
