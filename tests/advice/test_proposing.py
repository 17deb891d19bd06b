"""The planner has a process of its own; its end ends nothing else."""

import os

import pytest

from cavyround.advice import proposing
from cavyround.advice.proposing import BROKEN, TOO_LONG, Answer, propose_apart
from cavyround.engines.housing import House, Impossible, Proposal, propose
from cavyround.facts.housing import Health
from tests.engines.housing.made import boar, house, pen, sow


def abort(_house: House, _effort: float) -> Answer:
    os.abort()


def wait(_house: House, _effort: float) -> Answer:
    while True:
        os.sched_yield()


SMALL = house((sow("Fern", "1"), sow("Moss")), (pen("1"), pen("2")))


def test_it_answers_what_the_planner_answers() -> None:
    answer = propose_apart(SMALL, effort=1)
    assert isinstance(answer, Proposal)
    assert answer == propose(SMALL, effort=1)


def test_where_the_planner_dies_nobody_else_does() -> None:
    assert propose_apart(SMALL, effort=1, work=abort) is BROKEN


def test_it_does_not_wait_for_ever(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(proposing, "LONGEST_S", 1)
    assert propose_apart(SMALL, effort=1, work=wait) is TOO_LONG


def test_a_full_house_with_cases_among_residents_is_told_why_there_is_no_plan() -> None:
    """Four with ringworm, one small isolation pen: this once aborted the whole process."""
    well = [(boar if n % 2 == 0 else sow)(f"a{n}", f"p{n % 8}") for n in range(24)]
    caught = frozenset({"ringworm"})
    ill = [sow(f"s{n}", "p0", health=Health.ISOLATED, infections=caught) for n in range(4)]
    pens = [pen(f"p{n}", area=9800) for n in range(8)]
    pens.append(pen("iso", kind="isolation", room="w", area=7200))
    answer = propose_apart(house((*well, *ill), pens), effort=1)
    assert isinstance(answer, Impossible)
    assert answer.rules
