"""From a vet's order, a weight and a bottle to a mark on a syringe, or a refusal with reasons."""

from cavyround.engines.dosing.drug import never_given
from cavyround.engines.dosing.energy import resting_energy_kcal
from cavyround.engines.dosing.given import (
    AlsoKnown,
    KnownWeight,
    Running,
    SetAside,
    Syringe,
    known_weight,
    syringe_in_hand,
)
from cavyround.engines.dosing.said import (
    Caution,
    ComparedRange,
    Comparison,
    Dilution,
    Direction,
    Dose,
    Measure,
    Reason,
    Refusal,
    Standing,
    Verdict,
    WeightUsed,
)
from cavyround.engines.dosing.weighing import may_be_young
from cavyround.engines.dosing.working import InHand, work_out

__all__ = [
    "AlsoKnown",
    "Caution",
    "ComparedRange",
    "Comparison",
    "Dilution",
    "Direction",
    "Dose",
    "InHand",
    "KnownWeight",
    "Measure",
    "Reason",
    "Refusal",
    "Running",
    "SetAside",
    "Standing",
    "Syringe",
    "Verdict",
    "WeightUsed",
    "known_weight",
    "may_be_young",
    "never_given",
    "resting_energy_kcal",
    "syringe_in_hand",
    "work_out",
]
