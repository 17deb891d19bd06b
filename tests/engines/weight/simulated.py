"""Invented animals whose weight we know: not the engine's own equations, and other scatter.

True weight goes in grams: the grown keep to a slow wave through the year, the young follow a
Gompertz curve. What is read adds gut fill that lasts from one day into the next, the hour of the
day, and a wriggle of Student's t with four degrees of freedom; the scale shows whole grams.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import numpy as np
from numpy.typing import NDArray

from cavyround.facts.animal import AnimalFacts, Born, Sex, Weighing

FIRST = datetime(2025, 1, 6, 9, tzinfo=UTC)
Floats = NDArray[np.float64]
Grams = Callable[[Floats], Floats]
Rng = np.random.Generator


@dataclass(frozen=True)
class Invented:
    """An animal with the truth behind its weighings: one value a weighing.

    ``slips`` marks what was misread; ``lost_pct`` is what it has truly lost.
    """

    facts: AnimalFacts
    days: Floats
    true_g: Floats
    lost_pct: Floats
    slips: NDArray[np.bool_]
    kinds: Sequence[str] = field(default=())


def weekly(rng: Rng, weeks: int) -> Floats:
    """Days of weighing: about weekly, one in ten left out, some hour of the day."""
    days = 7.0 * np.arange(weeks) + rng.integers(-1, 2, weeks)
    days += rng.uniform(-0.2, 0.3, weeks)
    kept = rng.random(weeks) > 0.1
    kept[0] = True
    since: Floats = days[kept] - days[0]
    return since


def scatter(rng: Rng, days: Floats, spread: float) -> Floats:
    """What a reading is off, as a share: gut fill, the hour, a wriggle; ``spread`` in all."""
    fill = np.empty(days.size)
    last = rng.normal()
    for at, gap in enumerate(np.diff(days, prepend=days[0])):
        kept = np.exp(-gap / 1.5)
        last = kept * last + np.sqrt(1 - kept**2) * rng.normal()
        fill[at] = last
    hour = np.sin(2 * np.pi * days) * 0.5
    wriggle = rng.standard_t(4, days.size) / np.sqrt(2)
    off: Floats = spread * (0.65 * fill + 0.3 * hour + 0.72 * wriggle)
    return off


def grown_g(rng: Rng) -> Grams:
    """A grown animal: a slow wave of about a hundredth through the year."""
    full, phase = 1050 * np.exp(rng.normal(0, 0.15)), rng.uniform(0, 2 * np.pi)
    return lambda days: full * (1 + 0.01 * np.sin(2 * np.pi * days / 365 + phase))


def young_g(rng: Rng, age: float) -> Grams:
    """A young one by Gompertz's curve; its full weight and its pace are its own."""
    full, pace = 950 * np.exp(rng.normal(0, 0.12)), 0.019 * np.exp(rng.normal(0, 0.08))
    start = np.log(full / (0.1 * full))
    return lambda days: full * np.exp(-start * np.exp(-pace * (days + age)))


def falling(days: Floats, onset: float, pct_a_week: float) -> Floats:
    """The share kept by an animal that loses so much a week, in even steps, from ``onset`` on."""
    return 1 - np.clip(days - onset, 0, None) * pct_a_week / 700


def animal(
    name: str,
    rng: Rng,
    grams: Grams,
    days: Floats,
    kept: Floats | None = None,
    *,
    spread: float = 0.015,
    born: date | None = None,
    slip: float = 0.0,
) -> Invented:
    """An animal with its weighings; ``kept`` is the share of its weight it has not lost."""
    share = np.ones(days.size) if kept is None else kept
    true = grams(days) * share
    read = np.rint(true * (1 + scatter(rng, days, spread)))
    slips = rng.random(days.size) < slip
    slips[:4] = False
    kinds = ["" for _ in days]
    for at in np.flatnonzero(slips):
        kinds[at], read[at] = misread(rng, int(read[at]))
    sex = Sex.SOW if rng.random() < 0.5 else Sex.BOAR
    weighings = tuple(
        Weighing(at=FIRST + timedelta(days=float(day)), grams=Decimal(int(shown)))
        for day, shown in zip(days, read, strict=True)
    )
    facts = AnimalFacts(
        id=name, sex=sex, born=Born(earliest=born, latest=born), weighings=weighings
    )
    return Invented(facts, days, true, 100 * (1 - share), slips, kinds)


def misread(rng: Rng, grams: int) -> tuple[str, int]:
    """What a hand or an eye may make of a weight, all of it far off."""
    text = str(grams)
    made = {
        "swapped": int(text[1] + text[0] + text[2:]),
        "missing": int(text[:-1]),
        "extra": int(text + "0"),
        "ounces": round(grams / 28.349523125),
        "carrier": grams + int(rng.integers(200, 500)),
        "hundred": grams + (200 if rng.random() < 0.5 else -200),
        "other": round(grams * (0.7 if rng.random() < 0.5 else 1.4)),
    }
    kinds = [kind for kind, shown in made.items() if abs(shown - grams) > 0.12 * grams]
    kind = kinds[int(rng.integers(len(kinds)))]
    return kind, made[kind]
