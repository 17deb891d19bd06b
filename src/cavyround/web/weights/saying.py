"""What the weights of one animal say, in sentences."""

from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from operator import itemgetter

from cavyround.engines.weight.said import Band, Reading
from cavyround.knowledge.urgency import Urgency
from cavyround.web.weights.measures import (
    chance_below_nought,
    grams_and_ounces,
    grams_span,
    in_hundred,
    likelihood,
    lost_or_gained,
    plain_grams,
    signed,
    span,
    when_again,
)

# Nearer to its own normal than this it is called the same: one step of kitchen scales.
SAME_PCT = 0.5
# From here on a way is called likely; see LIKELIHOODS.
LIKELY = 0.66
# Said where one or two weighings are all there is.
FEW = {1: "Said from one weighing only", 2: "Said from two weighings only"}


@dataclass(frozen=True, slots=True)
class Said:
    """One animal's weights in words. ``headline`` stands beside the urgency of ``level``."""

    level: Urgency
    headline: str
    against: str
    trend: str
    sure: bool
    chances: str
    ahead: str
    again: str
    why_again: str
    why: tuple[str, ...]

    @property
    def alarmed(self) -> bool:
        """Whether there is anything to worry about."""
        return self.level > Urgency.NORMAL


def said_of(reading: Reading, now: datetime) -> Said:
    """The sentences of a reading; what is not sure is said so."""
    alarm = reading.alarm
    alarmed = alarm.level > Urgency.NORMAL and bool(alarm.why)
    return Said(
        level=alarm.level,
        headline=alarm.why[0] if alarmed else _calm(reading),
        against=_against(reading),
        trend=trend_words(reading),
        sure=reading.sure,
        chances=_chances(reading),
        ahead=_ahead(reading),
        again=again_words(reading, now),
        why_again=reading.weigh_why,
        why=alarm.why[1:] if alarmed else (),
    )


def _calm(reading: Reading) -> str:
    if not reading.weighings:
        return "Not weighed yet."
    if not reading.sure:
        return "Too few weighings to say more."
    return "Nothing in the weights to worry about."


def _against(reading: Reading) -> str:
    """What it is believed to weigh now, beside its own normal."""
    now, normal = reading.now, reading.own_normal
    if now is None:
        return ""
    words = f"Now about {plain_grams(now.mid)}"
    if normal is None or normal.mid <= 0 or not reading.sure:
        return f"{words} ({grams_span(now)})."
    off = now.mid - normal.mid
    if abs(off) * 100 < SAME_PCT * normal.mid:
        return f"{words}, as its own normal of {plain_grams(normal.mid)}."
    side = "below" if off < 0 else "above"
    share = f"{abs(off) * 100 / normal.mid:.1f} %"
    return (
        f"{words}: {grams_and_ounces(off)}, {share}, {side} its own normal "
        f"of {plain_grams(normal.mid)}."
    )


def trend_words(reading: Reading) -> str:
    """The trend in grams, ounces and per cent a week with its interval, or why there is none."""
    grams, pct = reading.trend_g, reading.trend_pct
    if reading.weighings in FEW:
        return f"{FEW[reading.weighings]}: no trend yet."
    if not reading.sure or grams is None or pct is None:
        return "" if not reading.weighings else "Too few weighings lately for a trend."
    between = f"between {lost_or_gained(grams)} ({span(pct, 1)} %)"
    way = _way(grams)
    if not way:
        return f"No clear trend: {between} a week."
    share = f"{abs(pct.mid):.1f} %"
    return f"{way} {grams_and_ounces(grams.mid)}, {share}, a week: {between}."


def _way(trend: Band) -> str:
    """Losing or gaining, with how likely where that is not plain; empty where it is neither."""
    chance = chance_below_nought(trend)
    word, chance = ("losing", chance) if trend.mid < 0 else ("gaining", 1 - chance)
    if trend.low > 0 or trend.high < 0:
        return word.capitalize()
    return f"{likelihood(chance).capitalize()} {word}" if chance >= LIKELY else ""


def trend_short(reading: Reading) -> str:
    """The trend for a row of a list: ``+1.2 % a week``; empty where there is none."""
    if not reading.sure or reading.trend_pct is None:
        return ""
    return f"{signed(reading.trend_pct.mid, 1)} % a week"


def trend_arrow(reading: Reading) -> str:
    """Which way it goes: down, up, or level where neither is likely; empty without a trend."""
    if not reading.sure or reading.trend_g is None:
        return ""
    if not _way(reading.trend_g):
        return "→"
    return "↓" if reading.trend_g.mid < 0 else "↑"


def _chances(reading: Reading) -> str:
    """How likely it is truly so far below its own normal; equal words are said once.

    Not "lost": a pup that gains too little is below what it should have grown to.
    """
    if not reading.sure:
        return ""
    said = [
        (pct, f"{likelihood(share)} ({in_hundred(share)})")
        for pct, share in sorted(reading.p_loss.items())
    ]
    parts = []
    for words, some in groupby(said, key=itemgetter(1)):
        *first, last = [str(pct) for pct, _ in some]
        pcts = f"{', '.join(first)} or {last}" if first else last
        parts.append(f"more than {pcts} %: {words}")
    return f"Below its own normal by {'; by '.join(parts)}." if parts else ""


def _ahead(reading: Reading) -> str:
    if reading.week_ahead is None or not reading.sure:
        return ""
    week = reading.week_ahead
    return f"In a week, if nothing changes: {plain_grams(week.mid)} ({grams_span(week)})."


def due_at(reading: Reading) -> datetime | None:
    """When the next weighing is due; None for one never weighed: that is at once."""
    if reading.last_at is None or reading.weigh_again_in is None:
        return None
    return reading.last_at + reading.weigh_again_in


def again_words(reading: Reading, now: datetime) -> str:
    """When to weigh again."""
    due = due_at(reading)
    return when_again(due, now) if due else "now"
