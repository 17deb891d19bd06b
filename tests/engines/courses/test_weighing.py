"""Each dose asks for a current weight; how old it may be is the order's word or the knowledge's."""

from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from cavyround.engines.courses import DoseWeight, Weight, weight_for
from cavyround.facts.animal import AnimalFacts, Born, Weighing
from cavyround.facts.schedules import days, hours
from cavyround.knowledge.book import Knowledge
from tests.engines.courses.made import FIRST, LONDON, a_course, at, every, given

GROWN = Born(earliest=FIRST - timedelta(days=900), latest=FIRST - timedelta(days=900))
PUP = Born(earliest=FIRST - timedelta(days=60), latest=FIRST - timedelta(days=60))


def weighed(*pairs: tuple[float, float], doubted: bool = False) -> tuple[Weighing, ...]:
    """Weighings as (days after the first day, grams); the last one doubted or not."""
    return tuple(
        Weighing(
            at=at(0) + timedelta(days=day),
            grams=Decimal(str(grams)),
            doubted=doubted and place == len(pairs) - 1,
        )
        for place, (day, grams) in enumerate(pairs)
    )


def weight(
    book: Knowledge,
    *pairs: tuple[float, float],
    now: datetime | None = None,
    born: Born = GROWN,
    doubted: bool = False,
    **said: Any,
) -> DoseWeight:
    animal = AnimalFacts(id="sow", born=born, weighings=weighed(*pairs, doubted=doubted))
    course = a_course(every(10), **said)
    return weight_for(course, animal, now=now or at(10), zone=LONDON, book=book)


def test_an_animal_never_weighed_is_weighed_first(book: Knowledge) -> None:
    found = weight(book)
    assert found.standing is Weight.NONE
    assert found.asks_to_weigh
    assert found.grams is None


def test_a_course_not_by_weight_asks_for_none(book: Knowledge) -> None:
    found = weight(book, by_weight=False)
    assert found.standing is Weight.NOT_NEEDED
    assert not found.asks_to_weigh


@pytest.mark.parametrize(
    ("age", "said", "standing"),
    [
        # the order's own word
        (0, {"weight_age": days(0)}, Weight.CURRENT),
        (1, {"weight_age": days(0)}, Weight.TOO_OLD),
        (3, {"weight_age": days(3)}, Weight.CURRENT),
        (4, {"weight_age": days(3)}, Weight.TOO_OLD),
        (0.25, {"weight_age": hours(6)}, Weight.CURRENT),
        (0.3, {"weight_age": hours(6)}, Weight.TOO_OLD),
        # a week for a grown animal, two days for a young one
        (7, {}, Weight.CURRENT),
        (8, {}, Weight.TOO_OLD),
        (2, {"born": PUP}, Weight.CURRENT),
        (3, {"born": PUP}, Weight.TOO_OLD),
    ],
)
def test_how_old_the_weight_may_be(
    book: Knowledge, age: float, said: dict[str, Any], standing: Weight
) -> None:
    found = weight(book, (10 - age, 900), **said)
    assert found.standing is standing
    assert found.asks_to_weigh is (standing is Weight.TOO_OLD)


def test_an_animal_of_unknown_age_and_light_counts_as_young(book: Knowledge) -> None:
    assert weight(book, (7, 500), born=Born()).standing is Weight.TOO_OLD
    assert weight(book, (7, 900), born=Born()).standing is Weight.CURRENT


def test_a_weight_that_changes_fast_must_be_of_today_or_yesterday(book: Knowledge) -> None:
    """1000 to 940 is 6 % within a week; 1000 to 960 is 4 %."""
    fast = weight(book, (3, 1000), (8, 940))
    slow = weight(book, (3, 1000), (8, 960))
    assert (fast.standing, fast.said_by) == (Weight.TOO_OLD, "its weight changes fast")
    assert slow.standing is Weight.CURRENT


def test_days_of_age_are_civil_days(book: Knowledge) -> None:
    """Weighed late in the evening, it is yesterday's weight in the morning."""
    late = weight(book, (9.6, 900), now=at(10, 0, 30), weight_age=days(0))
    assert late.standing is Weight.TOO_OLD


def test_a_doubted_weighing_asks_to_weigh_again(book: Knowledge) -> None:
    assert weight(book, (10, 90), doubted=True).standing is Weight.DOUBTED
    found = weight(book, (9, 900), (10, 90), doubted=True)
    assert found.standing is Weight.DOUBTED
    assert found.grams == 900


def test_a_weighing_after_the_moment_is_not_known_yet(book: Knowledge) -> None:
    assert weight(book, (11, 900)).standing is Weight.NONE


@pytest.mark.parametrize(
    ("now_g", "change", "again"),
    [(900, "-10.0", True), (901, "-9.9", False), (1100, "10.0", True), (1000, "0.0", False)],
)
def test_each_dose_is_worked_out_anew_and_a_great_change_is_checked(
    book: Knowledge, now_g: int, change: str, again: bool
) -> None:
    doses = given(at(0), weight_g=Decimal(1000), weighed_at=at(0, 8))
    found = weight(book, (10, now_g), doses=doses)
    assert found.grams == now_g
    assert found.change_pct == Decimal(change)
    assert found.check_again is again


def test_without_a_weight_of_the_last_dose_there_is_no_change(book: Knowledge) -> None:
    found = weight(book, (10, 900), doses=given(at(0)))
    assert (found.change_pct, found.check_again) == (None, False)
