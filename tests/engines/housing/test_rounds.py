"""The order of the round, split; introductions with their days.

Published: from the most vulnerable and healthy through quarantine to the sick (Association of
Shelter Veterinarians 2022, from memory); weighings at 52, 124 and 220 hours (Sachser 1993).
"""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cavyround.advice.book import book
from cavyround.engines.housing import (
    IntroductionFacts,
    IntroductionState,
    Stop,
    introduction_state,
    minutes_per_animal,
    split_round,
)
from cavyround.facts.animal import Weighing

GROUPS = ["isolation", "residents", "quarantine", "nursery", "sick_bay"]
ORDER = ["nursery", "residents", "quarantine", "sick_bay", "isolation"]
NOW = datetime(2026, 3, 3, 9, tzinfo=UTC)


def stops(times: list[int]) -> tuple[list[Stop], dict[str, float]]:
    made = [
        Stop(group=GROUPS[n % len(GROUPS)], pen=f"p{n}", animals=(f"a{n}",))
        for n in range(len(times))
    ]
    return made, {f"a{n}": float(time) for n, time in enumerate(times)}


TIMES = st.lists(st.integers(1, 30), min_size=1, max_size=7)


@settings(deadline=None, max_examples=60)
@given(TIMES, st.integers(1, 4))
def test_the_longest_stretch_is_as_short_as_any_cutting_of_the_round(
    times: list[int], people: int
) -> None:
    made, minutes = stops(times)
    names = [f"person {n}" for n in range(people)]
    split = split_round(made, names, minutes, book=book())
    order = [stop for one in split for stop in one.stops]
    assert [ORDER.index(stop.group) for stop in order] == sorted(
        ORDER.index(stop.group) for stop in made
    )
    assert sorted(a for stop in order for a in stop.animals) == sorted(minutes)
    taken = [minutes[stop.animals[0]] for stop in order]
    ends = range(len(taken) + 1)
    best = min(
        max(
            sum(taken[began:ended])
            for began, ended in zip((0, *cut), (*cut, len(taken)), strict=True)
        )
        for cut in combinations([e for e in ends for _ in range(people)], people - 1)
        if list(cut) == sorted(cut)
    )
    assert max(one.minutes for one in split) == pytest.approx(best)


def test_what_is_changed_is_said_before_each_group() -> None:
    made, minutes = stops([5, 5, 5, 5, 5])
    [one] = split_round(made, ["Ann"], minutes, book=book())
    assert [group.group for _, group in one.changes] == ORDER
    assert "gloves" in one.changes[2][1].before


def test_minutes_are_learned_and_an_interrupted_check_teaches_nothing() -> None:
    slow, quick = [12.0] * 20, [3.0] * 20
    learned = minutes_per_animal(
        {"slow": slow, "quick": quick, "torn": [400.0]}, ["slow", "quick", "torn", "new"], book()
    )
    assert learned["slow"] > 10
    assert learned["quick"] < 4
    assert learned["torn"] == learned["new"]
    assert minutes_per_animal({}, ["new"], book()) == {"new": pytest.approx(5)}


def introduced(*weighed: tuple[str, int, int]) -> IntroductionState:
    """Begun two days ago; weighings as animal, days after it began, grams."""
    began = NOW - timedelta(days=2)
    weighings = {
        name: [
            Weighing(at=began + timedelta(days=d, hours=1 if d >= 0 else 0), grams=Decimal(g))
            for n, d, g in weighed
            if n == name
        ]
        for name in ("a", "b")
    }
    told = IntroductionFacts(id="i", animals=("a", "b"), began_at=began)
    return introduction_state(told, weighings, now=NOW, zone=UTC, book=book())


def test_both_are_weighed_on_the_published_days() -> None:
    state = introduced()
    assert [d.day.day for d in state.days if d.day.weigh] == [0, 2, 5, 9, 14]
    hours = [52, 124, 220]
    assert [round(h / 24) for h in hours] == [2, 5, 9]


def test_one_that_lost_five_per_cent_is_parted() -> None:
    lost = introduced(("a", -1, 1000), ("a", 1, 950), ("b", -1, 1000), ("b", 1, 990))
    assert lost.part_them
    kept = introduced(("a", -1, 1000), ("a", 1, 960))
    assert not kept.part_them
