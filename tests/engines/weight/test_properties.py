"""What holds of any weights at all, however wild."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from math import isfinite
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cavyround.engines.weight import doubt_of, learn, read_herd, read_stories
from cavyround.engines.weight.said import Band, Reading, WeighIn
from cavyround.facts.animal import AnimalFacts, Born, Event, Sex, Weighing
from tests.engines.weight.made import START, at, facts, reading, steady, the_book, weekly, weighed

MINUTES_OF_YEARS = 60 * 24 * 365 * 3
LATER_THAN_ALL = at(10 * 365 * 3)
EVENTS = ("arrived", "found_pregnant", "gave_birth", "surgery", "medicine_course")


def about(numbers: Any) -> Any:
    """The same but for the order in which sums were made."""
    return pytest.approx(numbers, rel=1e-6, abs=1e-6)


@st.composite
def wild_weighings(draw: st.DrawFn, most: int = 9) -> tuple[Weighing, ...]:
    """From a gram to twenty kilograms, from the same minute to years apart."""
    moment, several = START, []
    for _ in range(draw(st.integers(0, most))):
        moment += timedelta(minutes=draw(st.integers(0, MINUTES_OF_YEARS)))
        grams = draw(st.one_of(st.integers(10, 200_000), st.integers(8000, 12000)))
        doubted = draw(st.booleans())
        several.append(Weighing(at=moment, grams=Decimal(grams) / 10, doubted=doubted))
    return tuple(several)


@st.composite
def calm_weighings(draw: st.DrawFn) -> tuple[Weighing, ...]:
    """Of a grown animal that scatters and drifts, some days apart."""
    day, level, several = 0.0, float(draw(st.integers(600, 1500))), []
    for _ in range(draw(st.integers(4, 12))):
        level *= 1 + draw(st.integers(-15, 10)) / 1000
        several.append(weighed(round(level * (1 + draw(st.integers(-15, 15)) / 1000)), day))
        day += draw(st.integers(1, 14))
    return tuple(several)


@st.composite
def wild_animals(draw: st.DrawFn) -> AnimalFacts:
    day = START.date() + timedelta(days=draw(st.integers(-900, 300)))
    events = draw(st.lists(st.tuples(st.sampled_from(EVENTS), st.integers(-60, 900)), max_size=4))
    return facts(
        draw(wild_weighings()),
        sex=draw(st.sampled_from(list(Sex))),
        born=Born(earliest=day, latest=day) if draw(st.booleans()) else Born(),
        events=tuple(
            Event(what=what, on=START.date() + timedelta(days=days)) for what, days in events
        ),
    )


def bands(said: Reading | WeighIn) -> list[Band]:
    names = ("now", "week_ahead", "level", "own_normal", "trend_g", "trend_pct", "best")
    found = [getattr(said, name, None) for name in names]
    if said.expected is not None:
        found += [said.expected.likely, said.expected.plausible]
    return [one for one in found if one is not None]


@given(wild_animals(), st.integers(0, MINUTES_OF_YEARS))
@settings(deadline=None)
def test_any_weights_are_read_without_a_crash_and_all_numbers_hold_together(
    animal: AnimalFacts, later: int
) -> None:
    last = max((one.at for one in animal.weighings), default=START)
    now = last + timedelta(minutes=later)
    [story] = read_stories([animal], now=now, book=the_book())
    assert len(story.weighings) == len(animal.weighings)
    everything: list[Reading | WeighIn] = [story.reading, *story.weighings]
    for said in everything:
        for band in bands(said):
            assert isfinite(band.low)
            assert isfinite(band.high)
            assert band.low <= band.mid <= band.high
        if said.p_loss:
            assert 1 >= said.p_loss[3] >= said.p_loss[5] >= said.p_loss[10] >= 0
        assert isfinite(said.alarm.score)
        assert bool(said.alarm.kind) == bool(said.alarm.why)
    assert learn([animal], book=the_book()).weighings <= len(animal.weighings)


@given(wild_animals(), st.decimals(1, 20_000, places=1))
@settings(deadline=None)
def test_any_weight_typed_is_taken_or_asked_for_again_with_words(
    animal: AnimalFacts, grams: Decimal
) -> None:
    now = max((one.at for one in animal.weighings), default=START) + timedelta(days=7)
    expected = read_herd([animal], now=now, book=the_book())[animal.id].expected
    assert expected is not None
    found = doubt_of(grams, expected, {"mate": expected}, book=the_book())
    assert found is None or found.words


def as_numbers(said: Reading) -> dict[str, float]:
    """A reading without its moments, to be compared with another."""
    numbers = {str(key): value for key, value in said.p_loss.items()}
    numbers["score"] = said.alarm.score
    for which, band in enumerate(bands(said)):
        numbers |= {
            f"{which} low": band.low,
            f"{which} mid": band.mid,
            f"{which} high": band.high,
        }
    return numbers


def same(said: Reading, other: Reading) -> None:
    assert as_numbers(said) == about(as_numbers(other))
    assert (said.alarm.kind, said.alarm.sign) == (other.alarm.kind, other.alarm.sign)


@given(wild_weighings(), st.randoms(use_true_random=False))
@settings(deadline=None)
def test_the_order_in_which_weighings_are_given_does_not_matter(
    several: tuple[Weighing, ...], dice: Any
) -> None:
    shuffled = list(several)
    dice.shuffle(shuffled)
    assert reading(shuffled, now=LATER_THAN_ALL) == reading(several, now=LATER_THAN_ALL)


@given(wild_animals(), st.integers(-5000, 5000))
@settings(deadline=None)
def test_the_same_weights_on_other_days_say_the_same(animal: AnimalFacts, days: int) -> None:
    by = timedelta(days=days)
    moved = replace(
        animal,
        weighings=tuple(replace(one, at=one.at + by) for one in animal.weighings),
        events=tuple(replace(one, on=one.on + by) for one in animal.events if one.on),
        born=Born(
            earliest=animal.born.earliest and animal.born.earliest + by,
            latest=animal.born.latest and animal.born.latest + by,
        ),
    )
    now = max((one.at for one in animal.weighings), default=START)
    ours = read_herd([animal], now=now, book=the_book())[animal.id]
    theirs = read_herd([moved], now=now + by, book=the_book())[animal.id]
    same(ours, theirs)


@given(calm_weighings(), st.integers(1005, 1060))
@settings(deadline=None)
def test_a_somewhat_larger_animal_that_does_the_same_is_told_the_same_in_per_cent(
    several: tuple[Weighing, ...], per_mille: int
) -> None:
    """Nearly: a slip of a digit or of a hundred is one of grams, and what an animal of unknown
    age and sex may weigh at first and when grown is given in grams too."""
    scale = Decimal(per_mille) / 1000
    larger = [replace(one, grams=one.grams * scale) for one in several]
    ours, theirs = reading(several), reading(larger)
    for pct in (3, 5, 10):
        assert theirs.p_loss[pct] == pytest.approx(ours.p_loss[pct], abs=0.12)
    assert ours.trend_pct is not None
    assert theirs.trend_pct is not None
    assert theirs.trend_pct.mid == pytest.approx(ours.trend_pct.mid, abs=0.6)


@given(calm_weighings(), st.integers(3, 45))
@settings(deadline=None)
def test_one_more_much_lower_weighing_never_lowers_the_probability_of_a_loss(
    several: tuple[Weighing, ...], lower_pct: int
) -> None:
    """Beside what it was, or what the weighing that was expected would leave of it.

    One so low that it is rather a slip tells nothing, and then it stays as it was.
    """
    next_day = several[-1].at + timedelta(days=1)
    before = reading(several)
    expected = reading(several, now=next_day).expected
    assert expected is not None
    mid = expected.likely.mid
    held = reading((*several, weighed_at(mid, next_day)))
    fell = reading((*several, weighed_at(mid * (1 - lower_pct / 100), next_day)))
    for pct in (3, 5, 10):
        least = min(before.p_loss[pct], held.p_loss[pct])
        assert fell.p_loss[pct] >= least - 1e-9


def weighed_at(grams: float, moment: datetime) -> Weighing:
    return Weighing(at=moment, grams=Decimal(str(round(grams, 1))))


@given(st.lists(wild_animals(), min_size=1, max_size=4), wild_animals())
@settings(deadline=None)
def test_another_animal_in_the_herd_changes_nothing_for_the_others(
    herd: Sequence[AnimalFacts], other: AnimalFacts
) -> None:
    named = [replace(one, id=str(number)) for number, one in enumerate(herd)]
    alone = read_herd(named, now=LATER_THAN_ALL, book=the_book())
    among = [replace(other, id="other"), *named]
    together = read_herd(among, now=LATER_THAN_ALL, book=the_book())
    assert set(together) == {*alone, "other"}
    for name, said in alone.items():
        same(said, together[name])


def test_the_lighter_the_last_weighings_the_more_is_probably_lost() -> None:
    """Three weeks running, up to a fifth in all."""
    lost = []
    for pct in range(21):
        fall = weekly(*(1000 * (1 - pct / 300 * step) for step in (1, 2, 3)), since=84)
        lost.append(reading((*steady(1000, 12), *fall)).p_loss[5])
    assert max(lost[:3]) < 0.05
    assert min(lost[9:]) > 0.9
    assert all(more >= less - 0.02 for less, more in pairwise(lost))


@given(calm_weighings())
@settings(deadline=None)
def test_what_was_said_on_a_day_is_what_would_have_been_said_on_that_day(
    several: tuple[Weighing, ...],
) -> None:
    """Nothing that came later reaches back."""
    [story] = read_stories([facts(several)], now=several[-1].at, book=the_book())
    for known, day in enumerate(story.weighings, start=1):
        then = reading(several[:known])
        assert dict(day.p_loss) == about(dict(then.p_loss))
        assert day.alarm.score == about(then.alarm.score)
        assert (day.alarm.kind, day.alarm.why) == (then.alarm.kind, then.alarm.why)
