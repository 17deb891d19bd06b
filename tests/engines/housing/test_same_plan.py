"""The same house has the same plan: in whatever order it is told, and on any machine."""

import os
import subprocess
import sys
from dataclasses import replace
from random import Random

import pytest
from benchmarks.pen_plans import invented

from cavyround.engines.housing import House, Proposal, propose, solve
from cavyround.facts.housing import Ties
from cavyround.knowledge.book import Knowledge

# Sixteen animals in ten pens, of which several plans are as good as the best.
ANIMALS, PENS = 16, 10
TOLD = """
from benchmarks.pen_plans import invented
from cavyround.engines.housing import solve
from cavyround.knowledge.loading import load_knowledge
found = solve(invented(16, 10, load_knowledge()))
print(sorted(found.pen_of.items()))
"""


def shuffled(house: House, seed: int) -> House:
    random = Random(seed)  # noqa: S311 -- a test
    animals, pens, bonds = list(house.animals), list(house.pens), list(house.ties.bonds)
    for one in (animals, pens, bonds):
        random.shuffle(one)
    ties = Ties(bonds=tuple(bonds), quarrels=house.ties.quarrels)
    return replace(house, animals=tuple(animals), pens=tuple(pens), ties=ties)


@pytest.mark.parametrize("seed", range(4))
def test_the_order_in_which_animals_and_pens_are_told_changes_no_plan(
    seed: int, book: Knowledge
) -> None:
    asked = invented(ANIMALS, PENS, book)
    plan, again = solve(asked), solve(shuffled(asked, seed))
    assert plan is not None
    assert again is not None
    assert dict(plan.pen_of) == dict(again.pen_of)
    assert plan.cost == again.cost


def test_nor_any_reason(book: Knowledge) -> None:
    asked = invented(ANIMALS, PENS, book)
    plan, again = propose(asked), propose(shuffled(asked, 9))
    assert isinstance(plan, Proposal)
    assert plan == again


def test_nor_does_the_process_that_asks() -> None:
    """Sets of text are gone through in another order in every process of Python."""
    told = set()
    for seed in ("1", "2", "3"):
        run = subprocess.run(
            [sys.executable, "-c", TOLD],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        )
        told.add(run.stdout)
    assert len(told) == 1
