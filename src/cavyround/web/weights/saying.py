"""What the weights of one animal say, in sentences."""

from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from operator import itemgetter

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.engines.weight.said import Band, Kind, Reading
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
    true_minus,
    when_again,
)

# Nearer to its own normal than this it is called the same: one step of kitchen scales.
SAME_PCT = 0.5
# From here on a way is called likely; see LIKELIHOODS.
LIKELY = 0.66
# A trend that goes neither way, and surely by less than this a week, is called steady. Per cent.
STEADY_PCT = 2.0
# What is said of these is no loss: a pup that gains too little has lost nothing.
NO_LOSS = (Kind.GAIN, Kind.GROWTH)
# Against what a weight is held, by the kind of the alarm.
HELD_AGAINST = {
    Kind.GROWTH: "what it should have grown to",
    Kind.PREGNANCY: "what is expected of her",
}
# Said where one or two weighings are all there is.
FEW = {1: "Said from one weighing only", 2: "Said from two weighings only"}


@dataclass(frozen=True, slots=True)
class Said:
    """One animal's weights in words.

    ``stale`` comes before anything else: the last weighing is too old to say how it is now.
    ``plain`` is the first line otherwise; ``headline`` is what the alarm says.
    """

    level: Urgency
    stale: str
    plain: str
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
        stale=stale_words(reading, now),
        plain=_plain(reading),
        headline=alarm.why[0] if alarmed else _calm(reading, now),
        against=_against(reading),
        trend=trend_words(reading),
        sure=reading.sure,
        chances=_chances(reading),
        ahead="" if stale_words(reading, now) else _ahead(reading),
        again=again_words(reading, now),
        why_again=reading.weigh_why,
        why=tuple(map(true_minus, alarm.why[1:])) if alarmed else (),
    )


def stale_words(reading: Reading, now: datetime) -> str:
    """That the last weighing is too old to say how it is now; empty where it is not."""
    if reading.last_at is None:
        return ""
    days = (timezone.localdate(now) - timezone.localdate(reading.last_at)).days
    if days <= book().number("not_weighed_days"):
        return ""
    return f"Last weighed {days} days ago: how it is now is not known."


def _plain(reading: Reading) -> str:
    """``88 g below its own normal, losing 24 g a week.``"""
    alarm, now, normal = reading.alarm, reading.now, reading.own_normal
    if alarm.kind is Kind.WEIGH_AGAIN and alarm.level > Urgency.NORMAL and alarm.why:
        return alarm.why[0]
    if not reading.weighings:
        return "Not weighed yet."
    if not reading.sure or now is None or normal is None or normal.mid <= 0:
        return "Too few weighings to say more."
    against = HELD_AGAINST.get(alarm.kind, "its own normal") if alarm.kind else "its own normal"
    off = now.mid - normal.mid
    words = f"{plain_grams(abs(off))} {'below' if off < 0 else 'above'} {against}"
    if abs(off) * 100 < SAME_PCT * normal.mid:
        words = f"At {against}"
    return f"{words}, {_goes(reading)}."


def _goes(reading: Reading) -> str:
    """Which way it goes: ``losing 24 g a week``, ``steady`` or ``no clear trend``."""
    trend, pct = reading.trend_g, reading.trend_pct
    if trend is None or pct is None:
        return "no trend yet"
    if way := _way(trend):
        return f"{way[0].lower()}{way[1:]} {plain_grams(abs(trend.mid))} a week"
    within = max(abs(pct.low), abs(pct.high)) <= STEADY_PCT
    return "steady" if within else "no clear trend"


def _calm(reading: Reading, now: datetime) -> str:
    if not reading.weighings:
        return "Not weighed yet."
    if stale := stale_words(reading, now):
        return stale
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
    """The trend for a row of a list: ``+1.2 % a week`` or ``steady``; empty where there is none."""
    if not reading.sure or reading.trend_pct is None:
        return ""
    if reading.trend_g is not None and not _way(reading.trend_g):
        return _goes(reading)
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
    if not reading.sure or reading.alarm.kind in NO_LOSS or _only_gains(reading):
        return ""
    said = [
        (pct, f"{likelihood(share)}, {in_hundred(share)}")
        for pct, share in sorted(reading.p_loss.items())
    ]
    parts = []
    for words, some in groupby(said, key=itemgetter(1)):
        *first, last = [str(pct) for pct, _ in some]
        pcts = f"{', '.join(first)} or {last}" if first else last
        parts.append(f"more than {pcts} %: {words}")
    return f"Below its own normal by {'; by '.join(parts)}." if parts else ""


def _only_gains(reading: Reading) -> bool:
    """Whether it gains and no alarm speaks of a loss before."""
    gains = reading.trend_g is not None and _way(reading.trend_g).lower().endswith("gaining")
    return gains and reading.alarm.kind is not Kind.LOSS


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
