"""Signs read from a row of weighings by published and common rules.

These are the plain rules a carer knows, computed alike for every animal. They
speak of differences between weighings and never of a trend with confidence.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from decimal import Decimal
from itertools import pairwise

from cavyround.facts.animal import DAYS_PER_MONTH, AnimalFacts, Known, Weighing
from cavyround.facts.weight_signs import WeightSigns
from cavyround.knowledge.book import Knowledge

HUNDRED = Decimal(100)
WEEK = timedelta(days=7)
# A weighing due weekly may come a day late and is still the week's.
WEEK_WITH_SLACK = timedelta(days=8)
# A second reading confirms the first within this time; later it may have changed. Our judgement.
CONFIRMED_WITHIN = timedelta(days=2)


@dataclass(frozen=True, slots=True)
class _Row:
    """The weighings reckoned with, oldest first, and what they are measured against."""

    sound: Sequence[Weighing]
    now: datetime
    book: Knowledge
    facts: AnimalFacts

    @property
    def last(self) -> Weighing:
        return self.sound[-1]

    @property
    def youngest(self) -> int | None:
        return self.facts.born.youngest_days(self.now.date())

    @property
    def oldest(self) -> int | None:
        return self.facts.born.oldest_days(self.now.date())

    def number(self, key: str) -> Decimal:
        return self.book.number(key)

    def since(self, span: timedelta) -> list[Weighing]:
        """Weighings before the last one, within ``span`` of it."""
        return [w for w in self.sound[:-1] if self.last.at - w.at <= span]


def plain_signs(facts: AnimalFacts, *, now: datetime, book: Knowledge) -> WeightSigns:
    """The signs of the plain rules that hold, each in words with its grams, percent and days.

    Doubted weighings are left out, unless a second one agrees: what was weighed
    twice is so, however unlikely. A last weighing no animal can have reached from
    the one before gives ``weight_doubtful`` and nothing else: an error of the
    scale is never read as a loss.
    """
    sound = _sound(facts.weighings, book)
    words = _left_in_doubt(facts.weighings, sound)
    if not sound:
        return WeightSigns(words={"not_weighed": "not weighed yet", **words})
    row = _Row(sound, now, book, facts)
    if doubtful := _doubtful(row):
        words |= _before_it(row) | _as_doubtful(row, doubtful)
        return WeightSigns(words=words)
    for read in (_light_for_grown, _losses, _slow_loss, _running, _gain, _growth):
        words.update(read(row))
    return WeightSigns(words=words)


def weight_doubt(facts: AnimalFacts, grams: Decimal, *, now: datetime, book: Knowledge) -> str:
    """Why a weight just read should be read again, or nothing. It is never refused for this."""
    tried = Weighing(at=now, grams=grams)
    return _doubtful(_Row([*_sound(facts.weighings, book), tried], now, book, facts))


def _sound(weighings: Sequence[Weighing], book: Knowledge) -> list[Weighing]:
    """The weighings to reckon with, oldest first: not doubted, or confirmed by another."""
    near = book.number("reweigh_within_g")
    ordered = sorted(weighings, key=lambda w: w.at)
    return [
        one
        for one in ordered
        if not one.doubted
        or any(
            other is not one
            and abs(other.at - one.at) <= CONFIRMED_WITHIN
            and abs(other.grams - one.grams) <= near
            for other in ordered
        )
    ]


def _before_it(row: _Row) -> dict[str, str]:
    """What the weighings before a doubtful last one say: a slip silences no alarm that stood."""
    earlier = replace(row, sound=row.sound[:-1])
    if not earlier.sound or _doubtful(earlier):
        return {}
    words: dict[str, str] = {}
    for read in (_light_for_grown, _losses, _slow_loss, _running, _gain, _growth):
        words |= read(earlier)
    return words


def _as_doubtful(row: _Row, why: str) -> dict[str, str]:
    """A doubt; a fall is told apart, for a starving animal may really have fallen so far."""
    words = {"weight_doubtful": why}
    if len(row.sound) > 1 and row.last.grams < row.sound[-2].grams:
        words["weight_doubtful_down"] = why
    return words


def _light_for_grown(row: _Row) -> dict[str, str]:
    """Little for a grown animal; where nobody knows that it is none, that too is said."""
    youngest, oldest = row.youngest, row.oldest
    grown = row.number("light_grown_from_months") * DAYS_PER_MONTH
    if row.last.grams >= row.number("light_grown_g"):
        return {}
    weighs = f"weighs {row.last.grams:.0f} g"
    if youngest is None and (oldest is None or oldest >= grown):
        said = f"{weighs}: right for a pup, far too little for a grown animal, and no age is known"
        return {"light_age_unknown": said}
    if youngest is None or youngest < grown:
        return {}
    return {"light_for_grown": f"{weighs}, little for a grown animal"}


def _left_in_doubt(weighings: Sequence[Weighing], sound: Sequence[Weighing]) -> dict[str, str]:
    """A last weighing that was kept with a doubt and never confirmed: weigh again."""
    last = max(weighings, key=lambda w: w.at, default=None)
    if last is None or last in sound:
        return {}
    return {"weight_doubtful": f"{last.grams:.0f} g was kept with a doubt: weigh again"}


def _change(row: _Row, earlier: Weighing) -> Decimal:
    return (row.last.grams - earlier.grams) * HUNDRED / earlier.grams


def _said(row: _Row, earlier: Weighing) -> str:
    grams = row.last.grams - earlier.grams
    days = (row.last.at - earlier.at).days
    verb = "lost" if grams < 0 else "gained"
    return (
        f"{verb} {abs(grams):.0f} g ({abs(_change(row, earlier)):.1f} %) in {max(days, 1)} "
        f"day{'' if days <= 1 else 's'}: {earlier.grams:.0f} g to {row.last.grams:.0f} g"
    )


def _doubtful(row: _Row) -> str:
    plausible = row.book.span("plausible_g")
    if not plausible.low <= row.last.grams <= plausible.high:
        return (
            f"{row.last.grams:.0f} g lies outside {plausible.low} to {plausible.high} g: "
            "weigh again"
        )
    span = timedelta(days=int(row.number("doubtful_change_days")))
    near = row.since(span)
    if not near:
        return _doubtful_for_age(row)
    if _birth_between(row, near[-1]):
        return ""
    grown = row.youngest is not None and not _may_be_growing(row)
    limit = row.number("doubtful_change_pct_adult" if grown else "doubtful_change_pct_young")
    change = _change(row, near[-1])
    if abs(change) > limit:
        return f"{_said(row, near[-1])}. More than an animal changes: weigh again"
    return ""


def _doubtful_for_age(row: _Row) -> str:
    youngest = row.youngest
    adult = row.number("doubtful_grown_from_months") * DAYS_PER_MONTH
    lightest = row.number("doubtful_grown_weight_below_g")
    if youngest is not None and youngest >= adult and row.last.grams < lightest:
        said = f"{row.last.grams:.0f} g is no grown animal's weight (from {lightest} g)"
        return f"{said}: weigh again"
    earlier = row.sound[:-1]
    if earlier and row.last.grams * 2 < earlier[-1].grams:
        return f"{_said(row, earlier[-1])}. Less than half: weigh again"
    return ""


def _may_be_growing(row: _Row) -> bool:
    return row.youngest is not None and row.youngest < row.book.span("growth_watch_days").high


def _may_be_grown(row: _Row) -> bool:
    """Known to be younger than a grown animal, it gains because it grows."""
    grown = row.number("light_grown_from_months") * DAYS_PER_MONTH
    return row.oldest is None or row.oldest >= grown


def _birth_between(row: _Row, earlier: Weighing) -> bool:
    """A known birth is not weight loss."""
    return any(
        event.what == "gave_birth"
        and (event.on is None or earlier.at.date() <= event.on <= row.last.at.date())
        for event in row.facts.events
    )


def _losses(row: _Row) -> dict[str, str]:
    words = {}
    week = [w for w in row.since(WEEK_WITH_SLACK) if not _birth_between(row, w)]
    if not week:
        return {}
    top = max(week, key=lambda w: w.grams)
    change = _change(row, top)
    if change <= -row.number("loss_any_pct"):
        words["loss_any"] = _said(row, top)
    if change <= -row.number("loss_5_in_week"):
        words["loss_5_in_week"] = _said(row, top)
    if change <= -row.number("loss_10_in_week"):
        words["loss_10_in_week"] = words["loss_10"] = _said(row, top)
    return words


def _slow_loss(row: _Row) -> dict[str, str]:
    span = timedelta(days=int(row.number("loss_slow_days")))
    longer = [
        w
        for w in row.since(span)
        if row.last.at - w.at > WEEK_WITH_SLACK and not _birth_between(row, w)
    ]
    if not longer:
        return {}
    top = _level(longer)
    change = _change(row, top)
    words = {}
    if change <= -row.number("loss_any_pct"):
        words["loss_any"] = _said(row, top)
    if change <= -row.number("loss_slow_pct"):
        words["loss_5_slow"] = _said(row, top)
    if change <= -row.number("loss_10_pct"):
        words["loss_10"] = _said(row, top)
    return words


def _level(several: list[Weighing]) -> Weighing:
    """The level to fall from: of many weighings not the single highest, which is mostly chance."""
    highest_first = sorted(several, key=lambda w: w.grams, reverse=True)
    return highest_first[min(2, (len(several) - 1) // 3)]


def _running(row: _Row) -> dict[str, str]:
    count = int(row.number("three_running_falls"))
    least = row.number("three_running_min_pct")
    if len(row.sound) < count + 1:
        return {}
    several = row.sound[-(count + 1) :]
    falling = all(later.grams < earlier.grams for earlier, later in pairwise(several))
    far = several[-1].at - several[0].at >= WEEK and not _birth_between(row, several[0])
    if falling and far and _change(row, several[0]) <= -least:
        return {"loss_three_running": f"lighter {count} times running: {_said(row, several[0])}"}
    return {}


def _gain(row: _Row) -> dict[str, str]:
    span = timedelta(days=int(row.number("gain_sudden_days")))
    near = row.since(span)
    if not near or _may_be_growing(row) or not _may_be_grown(row):
        return {}
    if row.facts.pregnant is Known.YES:
        return {}  # she is to gain; what is behind or falls is told of her apart
    low = min(near, key=lambda w: w.grams)
    if _change(row, low) >= row.number("gain_sudden_pct"):
        return {"gain_sudden": _said(row, low)}
    return {}


def _growth(row: _Row) -> dict[str, str]:
    """What concerns the young; where nobody knows the age, the weight tells who may be one."""
    words = {}
    earlier = row.since(WEEK_WITH_SLACK)
    top = max(earlier, key=lambda w: w.grams, default=row.last)
    if _may_be_younger(row, row.number("pup_until_days"), "doubtful_grown_weight_below_g"):
        if row.last.grams < row.number("pup_very_light_g"):
            words["pup_very_light"] = f"a pup of {row.last.grams:.0f} g"
        past_first_days = row.oldest is None or row.oldest > row.number("pup_may_lose_days")
        if row.last.grams < top.grams and past_first_days:
            words["pup_losing"] = _said(row, top)
    watched = Decimal(row.book.span("growth_watch_days").high)
    if _may_be_younger(row, watched, "growing_weight_below_g"):
        week_ago = [w for w in earlier if row.last.at - w.at >= timedelta(days=6)]
        if week_ago and row.last.grams - week_ago[0].grams < row.number("growth_least_g_per_week"):
            words["growth_stalled"] = f"a young animal not gaining: {_said(row, week_ago[0])}"
    return words


def _may_be_younger(row: _Row, days: Decimal, weight_below: str) -> bool:
    """Known to be at most so old; or of an age nobody knows, and no heavier than the young are."""
    if row.oldest is not None and row.oldest <= days:
        return True
    if row.youngest is not None and row.youngest > days:
        return False
    return row.last.grams < row.number(weight_below)
