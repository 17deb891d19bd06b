"""Invented animals by scenario, each with its weighings and the truth behind them."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from benchmarks.weighed import lives, readings
from benchmarks.weighed.lives import Course, Floats, Illness, Rng
from benchmarks.weighed.readings import House
from cavyround.facts.animal import AnimalFacts, Born, Event, Sex, Weighing

BEGAN = datetime(2025, 1, 6, tzinfo=UTC)
LASTS = 300.0
# Own normal takes some weighings to be known; nothing befalls an animal before.
KNOWN_AFTER = 45.0
FOUND_AFTER = 12.0


@dataclass(frozen=True)
class Lived:
    """An animal with the truth behind its weighings, one value a weighing.

    ``well_g`` is what it would truly weigh if nothing had befallen it, ``lost`` the share of
    that it has lost, ``slips`` which slip was made or nothing; ``bore`` the day of a birth.
    """

    scenario: str
    facts: AnimalFacts
    days: Floats
    grams: Floats
    well_g: Floats
    lost: Floats
    slips: NDArray[np.str_]
    spread: float
    illness: Illness | None
    course: Course
    bore: float | None

    @property
    def slipped(self) -> NDArray[np.bool_]:
        """Which weighings were misread."""
        slipped: NDArray[np.bool_] = self.slips != ""
        return slipped

    @property
    def until(self) -> float:
        """The day up to which it is well."""
        return float(self.days[-1]) if self.illness is None else self.illness.onset


@dataclass(frozen=True)
class _Life:
    """What one scenario draws for one animal."""

    course: Course
    days: Floats
    illness: Illness | None = None
    age: float | None = None
    sex: Sex | None = None
    events: tuple[tuple[str, float], ...] = ()
    ends: float | None = None


Scenario = Callable[[Rng, House], _Life]


def healthy_adult(rng: Rng, house: House) -> _Life:
    """A grown animal that is well."""
    return _Life(lives.grown(rng), readings.weekly(rng, house, LASTS))


def healthy_young(rng: Rng, house: House) -> _Life:
    """A young one of three to ten weeks that grows as it should."""
    age = rng.uniform(21, 70)
    return _Life(lives.young(rng, age), readings.weekly(rng, house, LASTS), age=age)


def arrival_dip(rng: Rng, house: House) -> _Life:
    """A newcomer that dips and comes back; weighed daily at first in every second house."""
    course = lives.dipping(rng, lives.grown(rng), 0.0)
    days = readings.weekly(rng, house, LASTS)
    if rng.random() < 0.5:
        days = readings.also_daily(rng, days, 0, float(rng.integers(4, 11)))
    return _Life(course, days, events=(("arrived", 0.0),))


def filling_out(rng: Rng, house: House) -> _Life:
    """A newcomer that came thin and fills out."""
    course = lives.filling_out(rng, lives.grown(rng), 0.0)
    return _Life(course, readings.weekly(rng, house, LASTS), events=(("arrived", 0.0),))


def pregnant(rng: Rng, house: House) -> _Life:
    """A sow that has young; half the time it is noticed before, some three weeks in or later."""
    conceived = rng.uniform(20, 160)
    course = lives.carrying(rng, lives.grown(rng), conceived)
    events = [("gave_birth", conceived + lives.TERM)]
    if rng.random() < 0.5:
        events.append(("found_pregnant", conceived + rng.uniform(22, 45)))
    days = readings.weekly(rng, house, LASTS)
    return _Life(course, days, sex=Sex.SOW, events=tuple(events))


def irregular_adult(rng: Rng, _house: House) -> _Life:
    """A grown animal that is well and is weighed now and then."""
    return _Life(lives.grown(rng), readings.now_and_then(rng, LASTS))


def slow_loss(rng: Rng, house: House) -> _Life:
    """1 to 3 % a week."""
    illness = lives.losing_slowly(rng, rng.uniform(KNOWN_AFTER, LASTS - 60))
    days = readings.weekly(rng, house, min(LASTS, illness.onset + illness.over))
    return _Life(lives.grown(rng), days, illness)


def irregular_loss(rng: Rng, _house: House) -> _Life:
    """The same, weighed now and then."""
    illness = lives.losing_slowly(rng, rng.uniform(KNOWN_AFTER, LASTS - 60))
    days = readings.now_and_then(rng, min(LASTS, illness.onset + illness.over) + 30)
    return _Life(lives.grown(rng), days, illness)


def fast_loss(rng: Rng, house: House) -> _Life:
    """5 to 10 % in days; every second carer sees it eat little and weighs it daily from then."""
    illness = lives.losing_fast(rng, rng.uniform(KNOWN_AFTER, LASTS - 60))
    days = readings.weekly(rng, house, LASTS)
    if rng.random() < 0.5:
        seen = illness.onset + rng.uniform(1, 4)
        days = readings.also_daily(rng, days, seen, seen + 10)
    return _Life(lives.grown(rng), days, illness)


def fluid_gain(rng: Rng, house: House) -> _Life:
    """1 to 2 % gained a week for months, as fluid or fat does."""
    illness = lives.filling_with_fluid(rng, rng.uniform(KNOWN_AFTER, LASTS - 130))
    return _Life(lives.grown(rng), readings.weekly(rng, house, LASTS), illness)


def stalled_growth(rng: Rng, house: House) -> _Life:
    """A young one that stops growing at five to thirteen weeks."""
    age = rng.uniform(21, 45)
    course = lives.young(rng, age)
    illness = lives.growing_no_more(rng, rng.uniform(14, 50), course)
    days = readings.weekly(rng, house, illness.onset + illness.over)
    return _Life(course, days, illness, age=age)


def failing_pregnancy(rng: Rng, house: House) -> _Life:
    """A sow noticed to be with young that gains no more and then loses."""
    conceived = rng.uniform(20, 120)
    noticed = conceived + rng.uniform(22, 36)
    course = lives.carrying(rng, lives.grown(rng), conceived)
    illness = lives.failing(rng, rng.uniform(noticed + 3, conceived + 56), course)
    days = readings.weekly(rng, house, min(illness.onset + illness.over, conceived + 67))
    return _Life(course, days, illness, sex=Sex.SOW, events=(("found_pregnant", noticed),))


HEALTHY: dict[str, Scenario] = {
    "healthy adult": healthy_adult,
    "healthy young": healthy_young,
    "arrival dip": arrival_dip,
    "filling out": filling_out,
    "pregnant": pregnant,
    "irregular weighing": irregular_adult,
}
# How the healthy are mixed: rescues keep mostly grown animals.
MIX = {
    "healthy adult": 0.45,
    "healthy young": 0.20,
    "arrival dip": 0.10,
    "filling out": 0.05,
    "pregnant": 0.10,
    "irregular weighing": 0.10,
}
ILL: dict[str, Scenario] = {
    "slow loss": slow_loss,
    "slow loss, irregular weighing": irregular_loss,
    "fast loss": fast_loss,
    "stalled growth": stalled_growth,
    "failing pregnancy": failing_pregnancy,
    "fluid gain": fluid_gain,
}


def healthy_herd(animals: int, seed: int) -> list[Lived]:
    """So many healthy animals, mixed as a rescue has them."""
    return [
        one
        for name, share in MIX.items()
        for one in _several(name, HEALTHY[name], round(animals * share), seed)
    ]


def ill_herd(scenario: str, animals: int, seed: int) -> list[Lived]:
    """So many animals that one thing befalls."""
    return list(_several(scenario, ILL[scenario], animals, seed))


def _several(name: str, scenario: Scenario, animals: int, seed: int) -> Iterator[Lived]:
    rng = np.random.default_rng([seed, crc32(name.encode())])
    for number in range(animals):
        house = House.some(rng)
        yield _lived(f"{name} {number}", name, rng, house, scenario(rng, house))


def _lived(name: str, scenario: str, rng: Rng, house: House, life: _Life) -> Lived:
    days = life.days
    well = life.course.true(days)
    lost = np.zeros(days.size) if life.illness is None else life.illness.at(days)
    spread = house.spread * np.exp(rng.normal(0, 0.22))
    read = well * (1 - lost) * (1 + readings.off_by(rng, days, spread))
    grams = np.maximum(np.rint(read / house.step) * house.step, 1.0)
    slips = _slip(rng, grams)
    return Lived(
        scenario=scenario,
        facts=_facts(name, rng, life, grams),
        days=days,
        grams=grams,
        well_g=well,
        lost=lost,
        slips=slips,
        spread=float(spread),
        illness=life.illness,
        course=life.course,
        bore=next((day for what, day in life.events if what == "gave_birth"), None),
    )


def _slip(rng: Rng, grams: Floats) -> NDArray[np.str_]:
    """Misreads some of the grams in place, never the first two, and says which and how."""
    slips = np.full(grams.size, "", dtype="<U10")
    others = [float(grams[0] * np.exp(rng.normal(0, 0.25))) for _ in range(3)]
    for at in np.flatnonzero(rng.random(grams.size) < readings.MISREAD):
        kind, found = readings.misread(rng, float(grams[at]), others)
        if at > 1 and round(found) != round(grams[at]):
            slips[at], grams[at] = kind, round(found, 1)
    return slips


def _facts(name: str, rng: Rng, life: _Life, grams: Floats) -> AnimalFacts:
    born = Born()
    if life.age is not None and rng.random() < 0.7:
        day = (BEGAN - timedelta(days=round(life.age))).date()
        born = Born(earliest=day, latest=day)
    at = [BEGAN + timedelta(days=float(day)) for day in life.days]
    return AnimalFacts(
        id=name,
        sex=life.sex or (Sex.SOW if rng.random() < 0.5 else Sex.BOAR),
        born=born,
        weighings=tuple(
            Weighing(at=moment, grams=Decimal(str(round(shown, 1))))
            for moment, shown in zip(at, grams.tolist(), strict=True)
        ),
        events=tuple(
            Event(what=what, on=(BEGAN + timedelta(days=day)).date())
            for what, day in life.events
            if day < life.days[-1]
        ),
    )
