"""Stays that cannot be as they were written are named, each with what to do, and kept."""

from datetime import UTC, datetime, timedelta

import pytest

from cavyround.facts.stays import Stay, StayFaultCode, faults_of

DAY0 = datetime(2026, 3, 1, tzinfo=UTC)


def stay(pen: str, began: float, ended: float | None, animal: str = "A") -> Stay:
    return Stay(
        animal=animal,
        pen=pen,
        room="shed",
        began_at=DAY0 + timedelta(days=began),
        ended_at=None if ended is None else DAY0 + timedelta(days=ended),
        id=f"{pen}{began}",
    )


def codes(*stays: Stay) -> list[StayFaultCode]:
    return [fault.code for fault in faults_of(stays)]


def test_one_stay_after_the_other_is_as_it_should_be() -> None:
    assert codes(stay("p", 0, 3), stay("q", 3, None)) == []


def test_two_pens_at_once_are_named_with_both_stays() -> None:
    (fault,) = faults_of([stay("p", 0, 5), stay("q", 3, None)])
    assert fault.code is StayFaultCode.OVERLAP
    assert [one.pen for one in fault.stays] == ["p", "q"]
    assert "when it left" in fault.do


def test_a_long_stay_does_not_hide_a_later_overlap() -> None:
    assert codes(stay("p", 0, None), stay("q", 1, 2), stay("r", 5, 6)) == [
        StayFaultCode.OVERLAP,
        StayFaultCode.OVERLAP,
    ]


def test_two_animals_in_one_pen_are_no_fault() -> None:
    assert codes(stay("p", 0, 5), stay("p", 0, 5, animal="B")) == []


def test_a_stay_written_backwards_is_named() -> None:
    assert codes(stay("p", 5, 2)) == [StayFaultCode.ENDS_BEFORE_START]


def test_a_stay_in_no_pen_is_named() -> None:
    assert codes(stay("", 0, 2)) == [StayFaultCode.NO_PEN]


def test_a_stay_holds_its_beginning_and_not_its_end() -> None:
    one = stay("p", 0, 3)
    assert one.holds_at(one.began_at)
    assert one.ended_at is not None
    assert not one.holds_at(one.ended_at)
    assert one.shared(stay("q", 3, 4)) is None


def test_a_moment_without_its_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="time zone"):
        Stay(animal="A", pen="p", began_at=datetime(2026, 3, 1))  # noqa: DTZ001
