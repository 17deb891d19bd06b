"""How fast weights are read: the whole herd at once, beside other ways on the same weighings."""

import math
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import numpy as np
from statsmodels.tsa.statespace.kalman_filter import KalmanFilter

from benchmarks.report import Line
from benchmarks.timing import processor_seconds
from cavyround.engines.weight import read_herd
from cavyround.engines.weight.numbers import numbers_of
from cavyround.facts.animal import AnimalFacts, Sex, Weighing
from cavyround.knowledge.book import Knowledge

ANIMALS, WEIGHINGS, SEVERAL = 10_000, 100, 100
AIM_S = 2.0
NOISE, WANDER = 0.015**2, 0.0009**2
NOW = datetime(2026, 11, 30, 12, tzinfo=UTC)
NOTE = (
    f"Speed: {ANIMALS:,} animals with {WEIGHINGS} weighings each, a week apart, from facts in "
    f"memory to readings, in seconds of one core. Of the others {SEVERAL} series are run and the "
    "time is taken per series: the filter of statsmodels for one course (two states), a loop in "
    "plain Python over as many such filters as the engine has courses and nothing else, and the "
    "engine itself asked for one animal at a time."
)
Say = Callable[[str], None]


def lines(book: Knowledge, say: Say) -> list[Line]:
    """Seconds of a herd, and how many times as long others take for a series."""
    say(f"reading {ANIMALS:,} animals with {WEIGHINGS} weighings each")
    herd = _herd(ANIMALS)
    few = herd[:SEVERAL]
    courses = len(numbers_of(book).codes)
    whole = min(processor_seconds(lambda: read_herd(herd, now=NOW, book=book)) for _ in range(3))
    ours = whole / ANIMALS
    others = {
        "the filter of statsmodels, one course": lambda: _statsmodels(few),
        f"a plain Python loop, {courses} courses": lambda: _plain(few, courses),
        "the engine, one animal at a time": lambda: _alone(few, book),
    }
    return [
        Line(
            f"weights of {ANIMALS:,} animals with {WEIGHINGS} weighings",
            f"{whole:.2f} s",
            f"≤ {AIM_S:.0f} s",
            whole <= AIM_S,
        ),
        *(
            Line(
                f"{name}, per series",
                f"{processor_seconds(run) / len(few) / ours:.1f} times as long",
            )
            for name, run in others.items()
        ),
    ]


def _herd(animals: int) -> list[AnimalFacts]:
    rng = np.random.default_rng(1)
    several = []
    for number in range(animals):
        grams = 1000 * np.exp(np.cumsum(rng.normal(0, 0.003, WEIGHINGS)))
        grams = np.rint(grams * (1 + rng.normal(0, 0.015, WEIGHINGS)))
        weighings = tuple(
            Weighing(at=NOW - timedelta(days=7 * (WEIGHINGS - week)), grams=Decimal(int(shown)))
            for week, shown in enumerate(grams)
        )
        sex = Sex.SOW if number % 2 else Sex.BOAR
        several.append(AnimalFacts(id=str(number), sex=sex, weighings=weighings))
    return several


def _logs(facts: AnimalFacts) -> list[float]:
    return [math.log(float(one.grams)) for one in facts.weighings]


def _statsmodels(herd: Sequence[AnimalFacts]) -> None:
    for facts in herd:
        kalman = KalmanFilter(k_endog=1, k_states=2, k_posdef=2)
        kalman.bind(np.array(_logs(facts))[:, None])
        kalman["design"] = np.array([[1.0, 0.0]])
        kalman["obs_cov"] = np.array([[NOISE]])
        kalman["transition"] = np.array([[1.0, 0.0], [0.18, 0.82]])
        kalman["selection"] = np.eye(2)
        kalman["state_cov"] = np.diag([7 * WANDER, 1e-12])
        kalman.initialize_known(np.full(2, 6.9), np.eye(2) * 0.5)
        kalman.filter()


def _plain(herd: Sequence[AnimalFacts], courses: int) -> None:
    for facts in herd:
        logs = _logs(facts)
        for course in range(courses):
            _filtered(logs, -0.001 * course)


def _filtered(logs: Sequence[float], slope: float) -> tuple[float, float, float]:
    """Level, own normal and the logarithm of the likelihood of one course."""
    level, normal, vll, vln, vnn, likely = 6.9, 6.9, 0.5, 0.5, 0.5, 0.0
    follows = 1 - math.exp(-7 / 35)
    keeps = 1 - follows
    for shown in logs:
        normal += follows * (level - normal)
        level += 7 * slope
        vnn = follows**2 * vll + 2 * follows * keeps * vln + keeps**2 * vnn
        vln = follows * vll + keeps * vln
        vll += 7 * WANDER
        off, variance = shown - level, vll + NOISE
        likely -= 0.5 * (off * off / variance + math.log(2 * math.pi * variance))
        gain_l, gain_n = vll / variance, vln / variance
        level, normal = level + gain_l * off, normal + gain_n * off
        vnn -= gain_n * vln
        vln -= gain_l * vln
        vll -= gain_l * vll
    return level, normal, likely


def _alone(herd: Sequence[AnimalFacts], book: Knowledge) -> None:
    for facts in herd:
        read_herd([facts], now=NOW, book=book)
