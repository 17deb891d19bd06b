"""An introduction as a plan: what is done on which day, who is weighed, when to part them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from decimal import Decimal

from cavyround.facts.animal import Weighing
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.living import IntroductionDay


@dataclass(frozen=True, slots=True, kw_only=True)
class IntroductionFacts:
    """Animals put together at a moment; over once somebody said how it went."""

    id: str
    animals: tuple[str, ...]
    began_at: datetime
    over: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DayOfIt:
    """One day of the plan: whether it is past, and who was not weighed on it though due."""

    day: IntroductionDay
    on: date
    is_due: bool
    not_weighed: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost:
    """How much one lost since before it began, in per cent (positive: lost)."""

    animal: str
    percent: Decimal
    part_them: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class IntroductionState:
    """How an introduction stands."""

    days: tuple[DayOfIt, ...]
    lost: tuple[Lost, ...]
    next_weighing: date | None

    @property
    def part_them(self) -> bool:
        """Whether one lost so much that they are to be parted and looked at."""
        return any(one.part_them for one in self.lost)


def introduction_state(
    told: IntroductionFacts,
    weighings: Mapping[str, Sequence[Weighing]],
    *,
    now: datetime,
    zone: tzinfo,
    book: Knowledge,
) -> IntroductionState:
    """The days of the plan with what is due, and what the weighings say so far."""
    began, today = told.began_at.astimezone(zone).date(), now.astimezone(zone).date()
    days = [_day(one, began, today, told, weighings, zone) for one in book.living.introduction]
    ahead = [one.on for one in days if one.day.weigh and (one.not_weighed or one.on > today)]
    lost = (_lost(animal, told, weighings.get(animal, ()), book) for animal in told.animals)
    return IntroductionState(
        days=tuple(days),
        lost=tuple(one for one in lost if one is not None),
        next_weighing=None if told.over or not ahead else min(ahead),
    )


def _day(
    day: IntroductionDay,
    began: date,
    today: date,
    told: IntroductionFacts,
    weighings: Mapping[str, Sequence[Weighing]],
    zone: tzinfo,
) -> DayOfIt:
    on = began + timedelta(days=day.day)
    due = on <= today
    missing = [
        a for a in told.animals if due and day.weigh and not _weighed(a, on, weighings, zone)
    ]
    return DayOfIt(day=day, on=on, is_due=due, not_weighed=tuple(missing))


def _weighed(
    animal: str, on: date, weighings: Mapping[str, Sequence[Weighing]], zone: tzinfo
) -> bool:
    """On the day or since: a weighing that came late is better than none and asks for no more."""
    return any(
        not one.doubted and one.at.astimezone(zone).date() >= on
        for one in weighings.get(animal, ())
    )


def _lost(
    animal: str, told: IntroductionFacts, own: Sequence[Weighing], book: Knowledge
) -> Lost | None:
    sound = [one for one in own if not one.doubted]
    before = [one for one in sound if one.at <= told.began_at]
    since = [one for one in sound if one.at > told.began_at]
    if not before or not since:
        return None
    percent = (before[-1].grams - since[-1].grams) / before[-1].grams * 100
    limit = book.number("introduction_stop_loss_pct")
    return Lost(animal=animal, percent=percent, part_them=percent >= limit)
