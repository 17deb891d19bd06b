"""Births that may lie between two days; observations; the levels of urgency."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from cavyround.facts.animal import Born
from cavyround.facts.observation import Side, Status
from cavyround.knowledge.urgency import Urgency
from tests.builders import NOW, TODAY, an_observation


def test_a_birth_between_two_days_gives_a_youngest_and_an_oldest_age() -> None:
    born = Born(earliest=TODAY - timedelta(days=90), latest=TODAY - timedelta(days=60))
    assert (born.youngest_days(TODAY), born.oldest_days(TODAY)) == (60, 90)
    assert not born.is_exact


def test_an_exact_birth_has_one_age() -> None:
    born = Born(earliest=TODAY, latest=TODAY)
    assert born.is_exact
    assert born.youngest_days(TODAY) == born.oldest_days(TODAY) == 0


def test_an_unknown_birth_has_no_age() -> None:
    assert Born().youngest_days(TODAY) is None
    assert Born().oldest_days(TODAY) is None
    assert not Born().is_exact


def test_one_known_end_bounds_the_age_on_that_side_only() -> None:
    born = Born(latest=TODAY - timedelta(days=30))
    assert born.youngest_days(TODAY) == 30
    assert born.oldest_days(TODAY) is None


def test_a_birth_that_ends_before_it_begins_is_refused() -> None:
    with pytest.raises(ValueError, match="before the earliest"):
        Born(earliest=date(2026, 2, 1), latest=date(2026, 1, 1))


def test_an_observation_refuses_a_value_without_a_unit() -> None:
    with pytest.raises(ValueError, match="unit"):
        an_observation("lump", "flank", value=Decimal(8))


def test_an_observation_refuses_a_unit_without_a_value() -> None:
    with pytest.raises(ValueError, match="value"):
        an_observation("lump", "flank", unit="mm")


def test_a_doubt_counts_as_there() -> None:
    assert an_observation(status=Status.UNCERTAIN).is_there
    assert not an_observation(status=Status.ABSENT).is_there


def test_an_unknown_beginning_counts_as_long_enough() -> None:
    day = timedelta(hours=24)
    assert an_observation().has_lasted(day, NOW)
    assert not an_observation(began_at=NOW - timedelta(hours=23)).has_lasted(day, NOW)
    assert an_observation(began_at=NOW - day).has_lasted(day, NOW)


def test_left_and_right_are_different_places() -> None:
    assert an_observation(side=Side.LEFT).place != an_observation(side=Side.RIGHT).place


def test_an_urgency_goes_up_one_level_and_an_emergency_stays_one() -> None:
    assert [level.one_up() for level in Urgency] == [*list(Urgency)[1:], Urgency.EMERGENCY]


@pytest.mark.parametrize("level", list(Urgency))
def test_an_urgency_is_read_back_from_its_code(level: Urgency) -> None:
    assert Urgency.from_code(level.code) is level
