"""From a story of weighings to what is drawn of it: days, grams, and where the scale ends."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from django.utils import timezone

from cavyround.engines.weight.said import Ahead, Band, Kind, Story, WeighIn
from cavyround.knowledge.urgency import Urgency

# Of the height between the lightest and the heaviest, left free above and below.
EDGE_SHARE, SMALLEST_EDGE_G = 0.14, 25.0
# A band may widen the scale by this share of it; a wider one runs to the edge.
BAND_SHARE = 0.5
# The steps below the own normal drawn as lines, in per cent; the same as the chances are said for.
STEPS_PCT = (5, 10)
FEWEST_STROKES = 3
# How far ahead the picture looks: a share of what it shows of the past, and two weeks at least.
AHEAD_SHARE, SHORTEST_AHEAD = 0.25, timedelta(days=14)
# Marks nearer to each other than this share of the days would be written over each other.
NEAR_SHARE = 0.08


@dataclass(frozen=True, slots=True)
class Dot:
    """One weighing. ``grams`` is where it is drawn, ``true_g`` what was weighed."""

    at: str
    grams: float
    true_g: float
    doubted: bool = False
    alarm: str = ""
    level: int = 0
    begins: bool = False

    @property
    def off_scale(self) -> bool:
        """Whether it lies beyond the scale and is drawn at its edge."""
        return self.grams != self.true_g


@dataclass(frozen=True, slots=True)
class Slice:
    """A band at one moment, in grams."""

    at: str
    low: float
    mid: float
    high: float


@dataclass(frozen=True, slots=True)
class Mark:
    """Something that happened, as an upright line."""

    at: str
    words: str


@dataclass(frozen=True, slots=True)
class Step:
    """How far a loss of so many per cent against the own normal would reach."""

    pct: int
    line: tuple[Slice, ...]


@dataclass(frozen=True, slots=True)
class Window:
    """All that one plot shows, in the rescue's own time. Equal windows give equal pictures."""

    dots: tuple[Dot, ...]
    level: tuple[Slice, ...]
    normal: tuple[Slice, ...]
    ahead: tuple[Slice, ...]
    marks: tuple[Mark, ...]
    steps: tuple[Step, ...]
    now: str
    low: float
    high: float

    @property
    def first(self) -> str:
        """Where the days begin."""
        least = (_moment(self.now) - SHORTEST_AHEAD).isoformat(timespec="seconds")
        return min([least, *(dot.at for dot in self.dots)])

    @property
    def last(self) -> str:
        """Where they end."""
        return max([self.now, *(one.at for one in self.ahead), *(dot.at for dot in self.dots)])

    @property
    def days(self) -> float:
        """How many days it spans."""
        return (_moment(self.last) - _moment(self.first)) / timedelta(days=1)

    def ahead_at(self, of_all: int) -> tuple[Slice, ...]:
        """What lies ahead at even distances, ``of_all`` of which would fill the whole plot."""
        if not self.ahead:
            return ()
        known = [_moment(one.at).timestamp() for one in self.ahead]
        span = timedelta(seconds=known[-1] - known[0])
        strokes = max(FEWEST_STROKES, round(of_all * (span / timedelta(days=self.days or 1))))
        at = np.linspace(known[0], known[-1], strokes + 1)
        low, mid, high = (
            np.interp(at, known, [getattr(one, part) for one in self.ahead])
            for part in ("low", "mid", "high")
        )
        begin = _moment(self.ahead[0].at)
        return tuple(
            Slice(
                (begin + timedelta(seconds=round(float(at[i] - at[0])))).isoformat(),
                float(low[i]),
                float(mid[i]),
                float(high[i]),
            )
            for i in range(strokes + 1)
        )


def local(moment: datetime) -> str:
    """A moment as the rescue's clock shows it, in the form a plot reads, to the full hour.

    No finer: else a plot would be another one a minute later, and be drawn again.
    """
    hour = timezone.localtime(moment).replace(tzinfo=None, minute=0, second=0, microsecond=0)
    return hour.isoformat(timespec="seconds")


def _whole(grams: float) -> float:
    """To half a gram, for the same reason."""
    return round(grams * 2) / 2


def _moment(text: str) -> datetime:
    return datetime.fromisoformat(text)


def shown_of(story: Story, since: datetime | None) -> list[WeighIn]:
    """The weighings the plot shows: from ``since`` on, or the last one."""
    later = [one for one in story.weighings if since is None or one.at >= since]
    return later or list(story.weighings[-1:])


def window_of(
    story: Story, marks: Iterable[Mark] = (), *, since: datetime | None = None
) -> Window | None:
    """What is drawn of a story since a moment; None where nothing was weighed.

    With nothing weighed since then, the last weighing is drawn all the same.
    """
    weighed = shown_of(story, since)
    if not weighed:
        return None
    reading = story.reading
    level = [(one.at, one.level) for one in weighed] + [(reading.at, reading.now)]
    # One or two weighings make no normal of its own: it would be that of any animal.
    known = [(one.at, one.own_normal) for one in weighed] + [(reading.at, reading.own_normal)]
    normal = known if reading.sure else []
    coming = _coming(story, weighed[0].at)
    ahead = [(reading.at, reading.now), *((one.at, one.level) for one in coming)]
    parts = [
        list(_slices(level)),
        list(_slices(normal)),
        list(_slices(ahead)) if coming else [],
    ]
    low, high = _bounds(weighed, parts)
    cut = [tuple(_cut(one, low, high) for one in part) for part in parts]
    first = local(weighed[0].at)
    return Window(
        dots=tuple(_dots(weighed, low, high)),
        level=cut[0],
        normal=cut[1],
        ahead=cut[2],
        marks=tuple(mark for mark in _joined(marks, first, local(reading.at))),
        steps=tuple(_steps(tuple(parts[1]), low, high)),
        now=local(reading.at),
        low=low,
        high=high,
    )


def _coming(story: Story, first: datetime) -> list[Ahead]:
    """What lies ahead, as far as it leaves room for what was; nothing while nothing is sure."""
    at = story.reading.at
    if not story.reading.sure:
        return []
    reach = max(SHORTEST_AHEAD, (at - first) * AHEAD_SHARE)
    return [one for one in story.ahead if at < one.at <= at + reach]


def _slices(bands: Iterable[tuple[datetime, Band | None]]) -> Iterator[Slice]:
    for at, band in bands:
        if band is not None:
            yield Slice(local(at), *map(_whole, (band.low, band.mid, band.high)))


def _bounds(weighed: list[WeighIn], parts: list[list[Slice]]) -> tuple[float, float]:
    """The scale spans what is believed, so that one slip of a finger does not flatten it."""
    sound = [float(one.grams) for one in weighed if one.doubt is None]
    believed = [one.mid for part in parts for one in part]
    core = (sound + believed) or [float(one.grams) for one in weighed]
    edge = max((max(core) - min(core)) * EDGE_SHARE, SMALLEST_EDGE_G)
    low, high = min(core) - edge, max(core) + edge
    room = (high - low) * BAND_SHARE
    lowest = min((one.low for part in parts for one in part), default=low)
    highest = max((one.high for part in parts for one in part), default=high)
    return max(0.0, min(low, max(lowest, low - room))), max(high, min(highest, high + room))


def _cut(one: Slice, low: float, high: float) -> Slice:
    """A band that runs beyond the scale ends at its edge."""
    mid = min(max(one.mid, low), high)
    return Slice(one.at, min(max(one.low, low), high), mid, min(max(one.high, low), high))


def _dots(weighed: list[WeighIn], low: float, high: float) -> Iterator[Dot]:
    before: Kind | None = None
    for one in weighed:
        grams = float(one.grams)
        rung = one.alarm.level > Urgency.NORMAL and one.alarm.kind is not None
        kind = one.alarm.kind if rung else None
        yield Dot(
            at=local(one.at),
            grams=min(max(grams, low), high),
            true_g=grams,
            doubted=one.doubt is not None,
            alarm=kind.value if kind else "",
            level=int(one.alarm.level) if kind else 0,
            begins=kind is not None and kind is not before,
        )
        before = kind


def _joined(marks: Iterable[Mark], first: str, last: str) -> Iterator[Mark]:
    """Marks within the days shown; those too near each other to be read become one."""
    near = (_moment(last) - _moment(first)) * NEAR_SHARE
    waiting: Mark | None = None
    for mark in sorted(marks, key=lambda one: (one.at, one.words)):
        if not first[:10] <= mark.at[:10] <= last[:10]:
            continue
        if waiting is None:
            waiting = mark
        elif _moment(mark.at) - _moment(waiting.at) <= near:
            both = dict.fromkeys([*waiting.words.split(", "), mark.words])
            waiting = Mark(waiting.at, ", ".join(both))
        else:
            yield waiting
            waiting = mark
    if waiting is not None:
        yield waiting


def _steps(normal: tuple[Slice, ...], low: float, high: float) -> Iterator[Step]:
    """The lines below the own normal that lie within the scale, as far as they do."""
    for pct in STEPS_PCT:
        share = 1 - pct / 100
        line = [Slice(one.at, 0.0, one.mid * share, 0.0) for one in normal]
        inside = tuple(one for one in line if low < one.mid < high)
        if inside and inside[-1].at == normal[-1].at:
            yield Step(pct, inside)
