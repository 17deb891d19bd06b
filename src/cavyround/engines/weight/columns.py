"""The weighings of many animals as columns: one animal a column, one weighing a row."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from operator import attrgetter, eq
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from cavyround.engines.weight.numbers import Flags, Floats, Numbers
from cavyround.facts.animal import AnimalFacts, Event, Known, Sex, Weighing

DAY = timedelta(days=1)
NOON = time(12, tzinfo=UTC)
EPOCH = datetime(2000, 1, 1, tzinfo=UTC)
# What stirs an animal so that its weight may dip for a while; see `stirred_days`.
STIRRING = frozenset(
    {"surgery", "new_food", "new_company", "antibiotic", "penicillin_by_mouth", "medicine_course"}
)
LONG_AGO = 1e6
AT, GRAMS, DOUBTED = attrgetter("at"), attrgetter("grams"), attrgetter("doubted")
Cell = TypeVar("Cell", bound=np.generic)


@dataclass(frozen=True, eq=False)
class Columns:
    """Weighings by row and animal, ``nan`` where an animal has fewer.

    ``weighings`` are they in order, oldest first. ``day`` counts days from the start of
    2000, ``grams`` what was read. The rows
    ``since_arrival``, ``since_birth`` and ``since_stir`` hold how many days ago that
    last was, a very large number where never; ``bore`` whether she gave birth since
    the weighing before; ``pregnant`` whether she was known to be pregnant. ``trust``
    is how far a slip is to be reckoned with: 1 as always, 0 read twice, and
    ``left_out`` marks what is kept but not reckoned with. ``sex`` is 1 for a boar, -1 for a
    sow, 0 unknown; ``may_carry`` marks sows of whom nobody knows that they cannot be
    pregnant; ``born`` the day of birth or ``nan``, ``born_spread`` in days.
    """

    ids: tuple[str, ...]
    weighings: tuple[Sequence[Weighing], ...]
    day: Floats
    grams: Floats
    sex: NDArray[np.int8]
    may_carry: Flags
    born: Floats
    born_spread: Floats
    since_arrival: Floats
    since_birth: Floats
    since_stir: Floats
    bore: Flags
    pregnant: Flags
    trust: Floats
    left_out: Flags

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and animals."""
        rows, animals = self.day.shape
        return rows, animals


def day_of(moment: datetime | date) -> float:
    """A moment in days from the start of 2000; a day counts at noon."""
    if not isinstance(moment, datetime):
        moment = datetime.combine(moment, NOON)
    return (moment - EPOCH) / DAY


def in_order(weighings: Sequence[Weighing]) -> Sequence[Weighing]:
    """Weighings oldest first; two of the same moment in the same order however they came."""
    ordered = sorted(weighings, key=AT)
    times = [*map(AT, ordered)]
    if any(map(eq, times, times[1:])):
        ordered.sort(key=lambda one: (one.at, one.grams, one.doubted, one.id or ""))
    return ordered


def columns_of(
    herd: Sequence[AnimalFacts], numbers: Numbers, *, confirmed_within_g: float
) -> Columns:
    """The weighings of a herd, oldest first for each animal."""
    weighed = tuple(in_order(facts.weighings) for facts in herd)
    read = _read(weighed, confirmed_within_g)
    events = [_events(facts, numbers) for facts in herd]
    born = [_born(facts) for facts in herd]
    return Columns(
        ids=tuple(facts.id for facts in herd),
        weighings=weighed,
        day=(_turned(read.seconds) - EPOCH.timestamp()) / DAY.total_seconds(),
        grams=_turned(read.grams),
        sex=np.array([_sex(facts) for facts in herd], dtype=np.int8),
        may_carry=np.array([_may_carry(facts) for facts in herd], dtype=bool),
        born=np.array([one[0] for one in born]),
        born_spread=np.array([one[1] for one in born]),
        since_arrival=_turned(_since(read.on, [one.arrived for one in events])),
        since_birth=_turned(_since(read.on, [one.bore for one in events])),
        since_stir=_turned(_since(read.on, [one.stirred for one in events])),
        bore=_turned(_fell_between(read.on, [one.bore for one in events])),
        pregnant=_turned(_during(read.on, [one.pregnant for one in events])),
        trust=_turned(read.trust),
        left_out=_turned(read.left_out),
    )


def _turned(by_animal: NDArray[Cell]) -> NDArray[Cell]:
    """A weighing a row, an animal a column; laid out so, for it is read row by row."""
    return np.ascontiguousarray(by_animal.T)


@dataclass(frozen=True, eq=False)
class _Read:
    """Weighings with an animal a row. ``on`` is the day in the zone of the weighing.

    It counts as ``date.toordinal``: events have a day and no hour, and the day is the
    rescue's own.
    """

    seconds: Floats
    on: Floats
    grams: Floats
    trust: Floats
    left_out: Flags


def _read(weighed: Sequence[Sequence[Weighing]], confirmed_within_g: float) -> _Read:
    shape = len(weighed), max((len(own) for own in weighed), default=0)
    seconds, on, grams = (np.full(shape, np.nan) for _ in range(3))
    trust, left_out = np.ones(shape), np.zeros(shape, dtype=bool)
    for row, own in enumerate(weighed):
        # A million weighings pass here: what is mapped takes half as long as what is looped.
        count, times = len(own), [*map(AT, own)]
        seconds[row, :count] = [*map(datetime.timestamp, times)]
        on[row, :count] = [*map(datetime.toordinal, times)]
        grams[row, :count] = [*map(float, map(GRAMS, own))]
        if any(map(DOUBTED, own)):
            trust[row, :count], left_out[row, :count] = _doubted(own, confirmed_within_g)
    return _Read(seconds, on, grams, trust, left_out)


@dataclass(frozen=True, slots=True)
class _Events:
    """On which days what bears on weight happened, as ``date.toordinal``."""

    arrived: tuple[int, ...]
    bore: tuple[int, ...]
    stirred: tuple[int, ...]
    pregnant: tuple[tuple[float, float], ...]


def _events(facts: AnimalFacts, numbers: Numbers) -> _Events:
    arrived = {facts.arrived_on.toordinal()} if facts.arrived_on else set()
    arrived |= set(_days(facts.events, {"arrived"}))
    bore = _days(facts.events, {"gave_birth", "abortion"})
    return _Events(
        tuple(sorted(arrived)),
        bore,
        _days(facts.events, STIRRING),
        _pregnancies(facts, bore, numbers),
    )


def _days(events: Sequence[Event], what: frozenset[str] | set[str]) -> tuple[int, ...]:
    return tuple(sorted(one.on.toordinal() for one in events if one.what in what and one.on))


def _pregnancies(
    facts: AnimalFacts, bore: Sequence[int], numbers: Numbers
) -> tuple[tuple[float, float], ...]:
    """From when each pregnancy was known until she gave birth or must have done so."""
    noticed: list[float] = list(_days(facts.events, {"found_pregnant"}))
    lasts = numbers["pregnancy_days"]
    if facts.pregnant is Known.YES and facts.due_from is not None and not noticed:
        noticed.append(facts.due_from.toordinal() - lasts / 2)
    spans = []
    for start in noticed:
        end: float = min((day for day in bore if day >= start), default=start + lasts)
        spans.append((start, end))
    return tuple(spans)


def _born(facts: AnimalFacts) -> tuple[float, float]:
    """The middle of when it may have been born and how far off that may be; nan if unknown."""
    early, late = facts.born.earliest, facts.born.latest
    if early is None or late is None:
        return np.nan, 0.0
    first, last = day_of(early), day_of(late)
    return (first + last) / 2, (last - first) / 2


def _sex(facts: AnimalFacts) -> int:
    return {Sex.BOAR: 1, Sex.SOW: -1}.get(facts.sex, 0)


def _may_carry(facts: AnimalFacts) -> bool:
    surely_not = facts.neutered is Known.YES or facts.pregnant is Known.NO
    return facts.sex is Sex.SOW and not surely_not


def _doubted(own: Sequence[Weighing], within_g: float) -> tuple[list[float], list[bool]]:
    """What was read twice is so; what was doubted and never read again is left out."""
    near = timedelta(days=2)
    twice = [
        any(
            one.doubted != other.doubted  # two doubts confirm nothing: a tub stays on the scale
            and other is not one
            and abs(other.at - one.at) <= near
            and abs(other.grams - one.grams) <= within_g
            for other in own
        )
        for one in own
    ]
    return (
        [0.0 if so else 1.0 for so in twice],
        [one.doubted and not so for one, so in zip(own, twice, strict=True)],
    )


def _since(on: Floats, happened: Sequence[Sequence[float]]) -> Floats:
    """Days since something last happened to each animal, at each of its weighings."""
    since = np.full(on.shape, LONG_AGO)
    for row, own in enumerate(happened):
        for when in own:
            passed = on[row] - when
            since[row] = np.where(passed >= 0, passed, since[row])
    return since


def _fell_between(on: Floats, happened: Sequence[Sequence[float]]) -> Flags:
    """Whether something happened after the weighing before and up to this one."""
    fell = np.zeros(on.shape, dtype=bool)
    for row, own in enumerate(happened):
        for when in own:
            later = np.flatnonzero(on[row] >= when)
            if later.size:
                fell[row, later[0]] = True
    return fell


def _during(on: Floats, spans: Sequence[Sequence[tuple[float, float]]]) -> Flags:
    during = np.zeros(on.shape, dtype=bool)
    for row, own in enumerate(spans):
        for start, end in own:
            during[row] |= (on[row] > start) & (on[row] < end)
    return during
