"""Every weighing as it was on its day, knowing only what was known then."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime, timedelta
from decimal import Decimal

from cavyround.engines.weight import ahead
from cavyround.engines.weight.ahead import believed
from cavyround.engines.weight.concern import Circumstances, Spread
from cavyround.engines.weight.doubting import doubt_of
from cavyround.engines.weight.herd import Herd, around_last, days_since, last_of, readings
from cavyround.engines.weight.numbers import HerdNorms
from cavyround.engines.weight.readout import Readout, expected_band, grams_band, readout
from cavyround.engines.weight.running import Step
from cavyround.engines.weight.said import Ahead, Doubt, Expected, Story, WeighIn
from cavyround.engines.weight.together import with_plain_signs
from cavyround.facts.animal import AnimalFacts, Weighing
from cavyround.knowledge.book import Knowledge

# How far a picture looks ahead, in days.
LOOKS_AHEAD = (0, 7, 14, 21, 28)
LEFT_IN_DOUBT = "Kept with a doubt and never weighed again."


def read_story(
    facts: AnimalFacts, *, now: datetime, book: Knowledge, norms: HerdNorms | None = None
) -> Story:
    """All weighings of one animal, and what they say at ``now``."""
    return next(read_stories([facts], now=now, book=book, norms=norms))


def read_stories(
    herd: Sequence[AnimalFacts], *, now: datetime, book: Knowledge, norms: HerdNorms | None = None
) -> Iterator[Story]:
    """The same of several animals, in their order."""
    held = Herd.of(herd, book, norms)
    steps = list(held.steps())
    last = last_of(held, steps)
    said = readings(held, last, now)
    around, since = around_last(held.columns), days_since(last.known, now)
    levels = [
        (
            now + timedelta(days=days),
            ahead.level_after(last.known, held.numbers, since + days, around.pregnant),
        )
        for days in LOOKS_AHEAD
    ]
    for column, (facts, weighings) in enumerate(_days(held, steps)):
        coming = tuple(Ahead(at=at, level=grams_band(level, column)) for at, level in levels)
        yield Story(
            weighings=weighings,
            reading=with_plain_signs(said[facts.id], facts, now=now, book=book),
            ahead=coming if facts.weighings else (),
        )


def read_days(
    herd: Sequence[AnimalFacts], *, book: Knowledge, norms: HerdNorms | None = None
) -> Iterator[tuple[AnimalFacts, tuple[WeighIn, ...]]]:
    """Every weighing of every animal as it would have been said on its day."""
    held = Herd.of(herd, book, norms)
    return _days(held, held.steps())


def _days(held: Herd, steps: Iterable[Step]) -> Iterator[tuple[AnimalFacts, tuple[WeighIn, ...]]]:
    rows = [
        _Row(step, readout(step.known, Circumstances.of(held.columns, row), held.numbers), held)
        for row, step in enumerate(steps)
    ]
    for column, facts in enumerate(held.facts):
        own = held.columns.weighings[column]
        yield facts, tuple(rows[row].said(one, column) for row, one in enumerate(own))


class _Row:
    """One row of weighings, ready to be told animal by animal."""

    def __init__(self, step: Step, read: Readout, held: Herd) -> None:
        self.step, self.read, self.held = step, read, held
        self.foretold = Spread(step.foretold.mean, step.foretold.spread)
        self.edges = believed(step.foretold_bank, step.noise, held.numbers)

    def said(self, weighing: Weighing, column: int) -> WeighIn:
        """What one weighing said on its day."""
        read = self.read
        known = read.count[column] > 1
        expected = expected_band(self.foretold, self.edges, column, known=bool(known))
        doubt = self._doubt(weighing, expected, column)
        alarm = self.held.alarm(read, column)
        return WeighIn(
            at=weighing.at,
            grams=weighing.grams,
            id=weighing.id,
            expected=expected,
            level=read.now_g(column),
            own_normal=read.normal_g(column),
            doubt=doubt,
            alarm=alarm,
            trend_g=read.trend_g(column),
            trend_pct=read.trend_pct(column),
            p_loss=read.losses(column),
            sure=self.held.sure(int(read.count[column])),
        )

    def _doubt(self, weighing: Weighing, expected: Expected, column: int) -> Doubt | None:
        if self.step.slipped[column] <= self.held.numbers["doubt_from"]:
            return None
        if self.held.columns.left_out[:, column].any() and weighing.doubted:
            return Doubt(reason="far", words=LEFT_IN_DOUBT)
        found = doubt_of(Decimal(weighing.grams), expected, {}, book=self.held.book)
        return found or Doubt(reason="far", words="Far from what this animal should weigh.")
