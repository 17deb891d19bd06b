"""Housing: who may share, the pen plan, introductions, the order of the round."""

from cavyround.engines.housing.costs import Cost, broken, cost_of
from cavyround.engines.housing.fitting import KIND_WORDS, Fitting
from cavyround.engines.housing.introducing import (
    IntroductionFacts,
    IntroductionState,
    introduction_state,
)
from cavyround.engines.housing.moving import parts_them, speaks_against
from cavyround.engines.housing.planning import (
    Elsewhere,
    Impossible,
    NoPlace,
    NotFound,
    Placement,
    Proposal,
    as_it_is,
    cost_now,
    propose,
    why_impossible,
    why_not_there,
)
from cavyround.engines.housing.problem import House
from cavyround.engines.housing.rounds import (
    Stop,
    Stretch,
    in_order,
    minutes_per_animal,
    split_round,
)
from cavyround.engines.housing.sharing import Sharing, Why
from cavyround.engines.housing.solving import Solved, is_possible, solve
from cavyround.engines.housing.steps import OneMove, Step, in_steps

__all__ = [
    "KIND_WORDS",
    "Cost",
    "Elsewhere",
    "Fitting",
    "House",
    "Impossible",
    "IntroductionFacts",
    "IntroductionState",
    "NoPlace",
    "NotFound",
    "OneMove",
    "Placement",
    "Proposal",
    "Sharing",
    "Solved",
    "Step",
    "Stop",
    "Stretch",
    "Why",
    "as_it_is",
    "broken",
    "cost_now",
    "cost_of",
    "in_order",
    "in_steps",
    "introduction_state",
    "is_possible",
    "minutes_per_animal",
    "parts_them",
    "propose",
    "solve",
    "speaks_against",
    "split_round",
    "why_impossible",
    "why_not_there",
]
