"""The weighings of many animals as columns: one animal a column, one weighing a row."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

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


@dataclass(frozen=True, eq=False)
class Columns:
    """Weighings by row and animal, ``nan`` where an animal has fewer.

    ``day`` counts days from the start of 2000, ``grams`` what was read. The rows
    ``since_arrival``, ``since_birth`` and ``since_stir`` hold how many days ago that
    last was, a very large number where never; ``bore`` whether she gave birth since
    the weighing before; ``pregnant`` whether she was known to be pregnant. ``trust``
    is how far a slip is to be reckoned with: 1 as always, 0 read twice, and
    ``left_out`` marks what is kept but not reckoned with. ``sex`` is 1 for a boar, -1 for a
    sow, 0 unknown; ``born`` the day of birth or ``nan``, ``born_spread`` in days.
    """

    ids: tuple[str, ...]
    day: Floats
    grams: Floats
    sex: NDArray[np.int8]
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


def moment_of(day: float) -> datetime:
    """The moment a count of days stands for, in UTC."""
    return EPOCH + day * DAY


def columns_of(
    herd: Sequence[AnimalFacts], numbers: Numbers, *, confirmed_within_g: float
) -> Columns:
    """The weighings of a herd, oldest first for each animal."""
    weighed = [sorted(facts.weighings, key=lambda one: one.at) for facts in herd]
    rows, animals = max((len(one) for one in weighed), default=0), len(herd)
    day = np.full((rows, animals), np.nan)
    grams = np.full((rows, animals), np.nan)
    trust = np.ones((rows, animals))
    left_out = np.zeros((rows, animals), dtype=bool)
    for column, own in enumerate(weighed):
        count = len(own)
        day[:count, column] = [(one.at - EPOCH) / DAY for one in own]
        grams[:count, column] = [float(one.grams) for one in own]
        if any(one.doubted for one in own):
            trust[:count, column], left_out[:count, column] = _doubted(own, confirmed_within_g)
    events = [_events(facts, numbers) for facts in herd]
    born = [_born(facts) for facts in herd]
    return Columns(
        ids=tuple(facts.id for facts in herd),
        day=day,
        grams=grams,
        sex=np.array([_sex(facts) for facts in herd], dtype=np.int8),
        born=np.array([one[0] for one in born]),
        born_spread=np.array([one[1] for one in born]),
        since_arrival=_since(day, [one.arrived for one in events]),
        since_birth=_since(day, [one.bore for one in events]),
        since_stir=_since(day, [one.stirred for one in events]),
        bore=_fell_between(day, [one.bore for one in events]),
        pregnant=_during(day, [one.pregnant for one in events]),
        trust=trust,
        left_out=left_out,
    )


@dataclass(frozen=True, slots=True)
class _Events:
    arrived: tuple[float, ...]
    bore: tuple[float, ...]
    stirred: tuple[float, ...]
    pregnant: tuple[tuple[float, float], ...]


def _events(facts: AnimalFacts, numbers: Numbers) -> _Events:
    arrived = {day_of(facts.arrived_on)} if facts.arrived_on else set()
    arrived |= set(_days(facts.events, {"arrived"}))
    bore = _days(facts.events, {"gave_birth", "abortion"})
    return _Events(
        tuple(sorted(arrived)),
        bore,
        _days(facts.events, STIRRING),
        _pregnancies(facts, bore, numbers),
    )


def _days(events: Sequence[Event], what: frozenset[str] | set[str]) -> tuple[float, ...]:
    return tuple(sorted(day_of(one.on) for one in events if one.what in what and one.on))


def _pregnancies(
    facts: AnimalFacts, bore: Sequence[float], numbers: Numbers
) -> tuple[tuple[float, float], ...]:
    """From when each pregnancy was known until she gave birth or must have done so."""
    noticed = list(_days(facts.events, {"found_pregnant"}))
    lasts = numbers["pregnancy_days"]
    if facts.pregnant is Known.YES and facts.due_from is not None and not noticed:
        noticed.append(day_of(facts.due_from) - lasts / 2)
    spans = []
    for start in noticed:
        end = min((day for day in bore if day >= start), default=start + lasts)
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


def _doubted(own: Sequence[Weighing], within_g: float) -> tuple[list[float], list[bool]]:
    """What was read twice is so; what was doubted and never read again is left out."""
    near = timedelta(days=2)
    twice = [
        any(
            (one.doubted or other.doubted)
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


def _since(day: Floats, happened: Sequence[Sequence[float]]) -> Floats:
    """Days since something last happened to each animal, at each of its weighings."""
    since = np.full(day.shape, LONG_AGO)
    for column, own in enumerate(happened):
        for when in own:
            passed = np.floor(day[:, column]) - np.floor(when)
            since[:, column] = np.where(passed >= 0, passed, since[:, column])
    return since


def _fell_between(day: Floats, happened: Sequence[Sequence[float]]) -> Flags:
    """Whether something happened after the weighing before and up to this one."""
    fell = np.zeros(day.shape, dtype=bool)
    for column, own in enumerate(happened):
        for when in own:
            later = np.flatnonzero(np.floor(day[:, column]) >= np.floor(when))
            if later.size:
                fell[later[0], column] = True
    return fell


def _during(day: Floats, spans: Sequence[Sequence[tuple[float, float]]]) -> Flags:
    during = np.zeros(day.shape, dtype=bool)
    for column, own in enumerate(spans):
        for start, end in own:
            at = np.floor(day[:, column])
            during[:, column] |= (at > np.floor(start)) & (at < np.floor(end))
    return during
