"""What the weights of many animals say at one moment, all at once."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial

import numpy as np

from cavyround.engines.weight import ahead, telling
from cavyround.engines.weight.ahead import Coming
from cavyround.engines.weight.alarms import alarm_of, sign_of
from cavyround.engines.weight.columns import LONG_AGO, Columns, columns_of, day_of
from cavyround.engines.weight.concern import Circumstances, Spread, level_of
from cavyround.engines.weight.numbers import Flags, Floats, HerdNorms, Numbers, numbers_of
from cavyround.engines.weight.readout import Readout, expected_band, grams_band, readout
from cavyround.engines.weight.running import Known, Step, beginning, newly_met, ran
from cavyround.engines.weight.said import Alarm, Band, Expected, Kind, Reading
from cavyround.engines.weight.weighing_next import weigh_next
from cavyround.facts.animal import AnimalFacts, Sex
from cavyround.knowledge.book import Knowledge

WEEK = 7.0


@dataclass(frozen=True, eq=False)
class Herd:
    """Animals with their weighings as columns, ready to be run through the bank."""

    facts: Sequence[AnimalFacts]
    columns: Columns
    numbers: Numbers
    book: Knowledge

    @classmethod
    def of(cls, facts: Sequence[AnimalFacts], book: Knowledge, norms: HerdNorms | None) -> "Herd":
        """The weighings of ``facts``; ``norms`` is what the rescue's own herd has taught."""
        numbers = numbers_of(book, norms)
        within = float(book.number("reweigh_within_g"))
        return cls(facts, columns_of(facts, numbers, confirmed_within_g=within), numbers, book)

    def steps(self) -> Iterator[Step]:
        """Every row of weighings in turn."""
        return ran(self.columns, self.numbers)

    def alarm(self, read: Readout, column: int) -> Alarm:
        """The alarm of one animal, as it reads."""
        score, count = float(read.score[column]), int(read.count[column])
        carrying = bool(read.carrying[column])
        if score < 0 and not carrying:
            return Alarm(score=score)
        kind = Kind.GAIN if carrying else read.kind_of(column)
        losses = read.losses(column)
        sign = sign_of(kind, losses, self.book, sure=self.sure(count), carrying=carrying)
        why = telling.why(
            kind,
            read.now_g(column),
            read.normal_g(column),
            read.trend_g(column),
            tuple(losses.values()),
            count,
        )
        return alarm_of(score, kind, sign, why)

    def sure(self, count: int) -> bool:
        """Whether so many weighings may be spoken of with confidence."""
        return count >= self.numbers["sure_from_weighings"]


@dataclass(frozen=True, eq=False)
class Last:
    """What is believed after each animal's last weighing, and whether that was rather a slip."""

    known: Known
    doubted: Flags
    best: Spread


def last_of(held: Herd, steps: Iterable[Step]) -> Last:
    """What all steps come to."""
    known = beginning(held.columns, held.numbers)
    doubted = np.zeros(len(held.facts), dtype=bool)
    best, unsure = np.full(doubted.shape, -np.inf), np.zeros(doubted.shape)
    for row, step in enumerate(steps):
        known = step.known
        doubted = np.where(step.there, step.slipped > held.numbers["doubt_from"], doubted)
        level = level_of(known.bank)
        settled = step.there & (known.count >= held.numbers["sure_from_weighings"])
        settled &= ~held.columns.pregnant[row] & ~doubted
        higher = settled & (level.mean > best)
        best = np.where(higher, level.mean, np.where(held.columns.bore[row], -np.inf, best))
        unsure = np.where(higher, level.spread, unsure)
    return Last(known, doubted, Spread(best, unsure))


@dataclass(frozen=True, eq=False)
class _Now:
    """What is believed at one moment, and of the moments after it."""

    at: datetime
    read: Readout
    coming: Coming
    week_on: Spread
    doubted: Flags
    best: Spread


def read_herd(
    herd: Sequence[AnimalFacts], *, now: datetime, book: Knowledge, norms: HerdNorms | None = None
) -> Mapping[str, Reading]:
    """What the weights of each animal say at ``now``, by its id.

    An animal of unknown sex is read as a boar and as a sow too, and the most worrying of the
    three is said: not knowing never calms.
    """
    read = partial(_read, now=now, book=book, norms=norms)
    said = dict(read(herd))
    unsexed = [facts for facts in herd if facts.sex is Sex.UNKNOWN]
    for sex in (Sex.BOAR, Sex.SOW) if unsexed else ():
        for animal, other in read([replace(facts, sex=sex) for facts in unsexed]).items():
            said[animal] = max(said[animal], other, key=lambda one: one.alarm.level)
    return said


def _read(
    herd: Sequence[AnimalFacts], *, now: datetime, book: Knowledge, norms: HerdNorms | None
) -> Mapping[str, Reading]:
    held = Herd.of(herd, book, norms)
    return readings(held, last_of(held, held.steps()), now)


def readings(held: Herd, last: Last, now: datetime) -> Mapping[str, Reading]:
    """The same of a herd whose weighings were run already."""
    around = around_last(held.columns)
    known = _met_by(held, last.known, now)
    days = days_since(known, now)
    said = _Now(
        at=now,
        read=readout(last.known, around, held.numbers),
        coming=ahead.coming(known, held.numbers, days, around.pregnant),
        week_on=ahead.level_after(known, held.numbers, days + WEEK, around.pregnant),
        doubted=last.doubted,
        best=last.best,
    )
    return {facts.id: _reading(held, said, column) for column, facts in enumerate(held.facts)}


def days_since(known: Known, now: datetime) -> Floats:
    """Days since each animal's last weighing; none where there was none."""
    days: Floats = np.maximum(np.nan_to_num(day_of(now) - known.day), 0.0)
    return days


def around_last(columns: Columns) -> Circumstances:
    """The circumstances of each animal's last weighing."""
    rows, animals = columns.shape
    if not rows:
        never = np.full(animals, LONG_AGO)
        return Circumstances(np.zeros(animals, dtype=bool), columns.may_carry, never, never)
    last = np.maximum(np.isfinite(columns.grams).sum(0) - 1, 0)
    every = np.arange(animals)
    return Circumstances(
        columns.pregnant[last, every],
        columns.may_carry,
        columns.since_birth[last, every],
        columns.since_arrival[last, every],
    )


def _met_by(held: Herd, known: Known, now: datetime) -> Known:
    """What is believed, of an animal never weighed too."""
    at = np.full(known.started.shape, day_of(now))
    return newly_met(known, held.columns, held.numbers, at, ~known.started)


def _of_stranger(expected: Expected, numbers: Numbers) -> Expected:
    """What an animal of unknown age may weigh that was never weighed: a pup's or a giant's."""
    least, most = numbers["stranger_least_g"], numbers["stranger_most_g"]
    likely = replace(expected.likely, high=min(expected.likely.high, most))
    return replace(expected, likely=likely, plausible=Band(least, likely.mid, most))


def _reading(held: Herd, said: _Now, column: int) -> Reading:
    facts, read = held.facts[column], said.read
    count = int(read.count[column])
    expected = expected_band(
        said.coming.weighing, said.coming.believed, column, known=bool(facts.weighings)
    )
    if not facts.weighings:
        if not np.isfinite(held.columns.born[column]):
            expected = _of_stranger(expected, held.numbers)
        return Reading(at=said.at, expected=expected, weigh_why="never weighed")
    last = held.columns.weighings[column][-1]
    alarm, sure = held.alarm(read, column), held.sure(count)
    known_at_all = count > 1 or not said.doubted[column]
    gap, why = weigh_next(
        alarm,
        facts,
        held.book,
        sure=sure,
        doubted=bool(said.doubted[column]),
        carrying=bool(read.carrying[column]),
        today=said.at.date(),
    )
    return Reading(
        at=said.at,
        weighings=len(facts.weighings),
        last_at=last.at,
        last_g=last.grams,
        now=grams_band(said.coming.level, column) if known_at_all else None,
        week_ahead=grams_band(said.week_on, column),
        own_normal=grams_band(said.coming.normal, column),
        trend_g=read.trend_g(column),
        trend_pct=read.trend_pct(column),
        p_loss=read.losses(column),
        alarm=alarm,
        sure=sure,
        weigh_again_in=gap,
        weigh_why=why,
        expected=expected,
        best=grams_band(said.best, column) if np.isfinite(said.best.mean[column]) else None,
    )
