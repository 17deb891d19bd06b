"""The check: which steps, in which hold and order; coverage; what changed since last time."""

from cavyround.engines.check.coverage import Coverage, coverage
from cavyround.engines.check.plan import CarriedOver, Plan, PlannedHold, PlannedStep
from cavyround.engines.check.planning import changed_since, plan_check

__all__ = [
    "CarriedOver",
    "Coverage",
    "Plan",
    "PlannedHold",
    "PlannedStep",
    "changed_since",
    "coverage",
    "plan_check",
]
