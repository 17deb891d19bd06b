"""The order of the moves: nobody comes in before those it must not meet have left."""

from collections.abc import Mapping

import pytest
from hypothesis import given, settings

from cavyround.engines.housing import House, Step, in_steps, solve
from cavyround.facts.housing import Health
from tests.engines.housing.made import boar, fought, house, pen, sow
from tests.engines.housing.test_planning import houses


def said(asked: House, plan: Mapping[str, str]) -> list[tuple[list[tuple[str, str]], list[str]]]:
    return [
        ([(one.animal, one.pen) for one in step.moves], list(step.held))
        for step in in_steps(asked, plan)
    ]


def test_who_must_not_be_met_leaves_before_the_next_comes_in() -> None:
    asked = house([sow("Ann", "a"), boar("Bob", "b")], [pen("a"), pen("b"), pen("c")])
    assert said(asked, {"Ann": "b", "Bob": "c"}) == [([("Bob", "c")], []), ([("Ann", "b")], [])]
    first, second = in_steps(asked, {"Ann": "b", "Bob": "c"})
    assert first.after == ()
    assert second.after == ("Bob",)


def test_two_that_change_places_are_one_step_and_one_waits_in_a_carrier() -> None:
    asked = house([sow("Ann", "a"), boar("Bob", "b")], [pen("a"), pen("b")])
    [step] = in_steps(asked, {"Ann": "b", "Bob": "a"})
    assert step.held == ("Ann",)
    assert [one.animal for one in step.moves] == ["Bob", "Ann"]


def test_where_nobody_minds_the_other_nobody_waits() -> None:
    asked = house([sow("Ann", "a"), sow("Eve", "b")], [pen("a"), pen("b")])
    assert [held for _, held in said(asked, {"Ann": "b", "Eve": "a"})] == [[], []]


def test_where_the_floor_takes_no_more_one_waits_too() -> None:
    """120 by 60 cm for two: a third comes in only after one has left."""
    full = [sow("Ann", "a"), sow("Amy", "a"), sow("Eve", "b"), sow("Eda", "b")]
    asked = house(full, [pen("a", area=7200), pen("b", area=7200)])
    [step] = in_steps(asked, {"Ann": "b", "Amy": "a", "Eve": "a", "Eda": "b"})
    assert len(step.held) == 1
    assert {one.animal for one in step.moves} == {"Ann", "Eve"}


def test_a_plan_that_breaks_a_hard_rule_has_no_order() -> None:
    asked = house([sow("Ann", "a"), boar("Bob", "b")], [pen("a"), pen("b")])
    with pytest.raises(ValueError, match="hard rule"):
        in_steps(asked, {"Ann": "b", "Bob": "b"})


def test_a_ring_of_three_needs_one_carrier() -> None:
    quarrels = [fought(*pair, blood=True) for pair in ("AB", "BC", "AC")]
    asked = house(
        [sow("A", "a"), sow("B", "b"), sow("C", "c")], [pen("a"), pen("b"), pen("c")], (), quarrels
    )
    [step] = in_steps(asked, {"A": "b", "B": "c", "C": "a"})
    assert len(step.held) == 1
    assert len(step.moves) == 3


def test_bonded_ones_go_in_one_step() -> None:
    asked = house([sow("Ann", "a"), sow("Eve", "a")], [pen("a"), pen("b")], [("Ann", "Eve")])
    [step] = in_steps(asked, {"Ann": "b", "Eve": "b"})
    assert {one.animal for one in step.moves} == {"Ann", "Eve"}


def test_a_pen_left_by_one_that_may_be_catching_is_cleaned_before_the_next_comes() -> None:
    ill = sow("Ill", "a", health=Health.ISOLATED)
    asked = house(
        [ill, sow("Ann", "b")], [pen("a"), pen("b"), pen("i", "isolation", room="wash house")]
    )
    steps = in_steps(asked, {"Ill": "i", "Ann": "a"})
    assert [step.clean for step in steps] == [(), ("a",)]


@settings(max_examples=60)
@given(houses())
def test_played_through_every_move_keeps_the_rules_and_leads_to_the_plan(asked: House) -> None:
    found = solve(asked)
    if found is None:
        return
    where = {one.id: one.pen for one in asked.animals}
    for step in in_steps(asked, found.pen_of):
        play(asked, where, step)
    assert where == dict(found.pen_of)


def play(asked: House, where: dict[str, str], step: Step) -> None:
    where |= dict.fromkeys(step.held, "")
    placed: set[str] = set()
    for one in step.moves:
        together = {each.animal for each in step.moves if each.pen == one.pen}
        where[one.animal] = one.pen
        placed.add(one.animal)
        there = {name for name, at in where.items() if at == one.pen and name != one.animal}
        assert not any(frozenset({one.animal, other}) in asked.conflicts for other in there)
        heads = sum(asked.is_head(asked.by_id[name]) for name in there | {one.animal})
        assert heads <= asked.capacity[one.pen] or there & together - placed
