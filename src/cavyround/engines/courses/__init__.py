"""Courses: what is due when, how it ends, and what a course needs around it."""

from cavyround.engines.courses.after import Answered, Asking, QuestionAfter, questions_after
from cavyround.engines.courses.cycles import (
    CycleCheck,
    CycleWarning,
    cycle_checks,
    cycle_checks_as_given,
)
from cavyround.engines.courses.dose_round import (
    DoseRound,
    DoseToGive,
    PenOfRound,
    PenStop,
    SameTreatment,
    Sitting,
    dose_round,
)
from cavyround.engines.courses.due import due, due_until
from cavyround.engines.courses.shelf import NotCounted, OnShelf, WontLast
from cavyround.engines.courses.slots import (
    PHASE_WORDS,
    STATE_WORDS,
    Act,
    CourseDue,
    LookAgain,
    Phase,
    Slot,
    State,
)
from cavyround.engines.courses.supply import (
    DoseAhead,
    PerDose,
    ProductAhead,
    SupplyPlan,
    plan_supply,
)
from cavyround.engines.courses.together import Treated, TreatedTogether, treated_together
from cavyround.engines.courses.weighing import DoseWeight, Weight, weight_for

__all__ = [
    "PHASE_WORDS",
    "STATE_WORDS",
    "Act",
    "Answered",
    "Asking",
    "CourseDue",
    "CycleCheck",
    "CycleWarning",
    "DoseAhead",
    "DoseRound",
    "DoseToGive",
    "DoseWeight",
    "LookAgain",
    "NotCounted",
    "OnShelf",
    "PenOfRound",
    "PenStop",
    "PerDose",
    "Phase",
    "ProductAhead",
    "QuestionAfter",
    "SameTreatment",
    "Sitting",
    "Slot",
    "State",
    "SupplyPlan",
    "Treated",
    "TreatedTogether",
    "Weight",
    "WontLast",
    "cycle_checks",
    "cycle_checks_as_given",
    "dose_round",
    "due",
    "due_until",
    "plan_supply",
    "questions_after",
    "treated_together",
    "weight_for",
]
