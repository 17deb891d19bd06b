"""The tables of the record. Clinical entries are only ever added; see ``entries``."""

from cavyround.record.models.advice import AdviceGiven, VetAnswer, VetQuestion
from cavyround.record.models.animals import Animal, AnimalStatement, Arrival, Departure, Move
from cavyround.record.models.checks import Check, CheckEntry
from cavyround.record.models.entries import Append, ChangeRefusedError
from cavyround.record.models.people import Person, Role, VetNumber
from cavyround.record.models.photos import Photo
from cavyround.record.models.places import Pen, PenKind, Room
from cavyround.record.models.promises import (
    FollowUp,
    FollowUpOutcome,
    StandingMark,
    StandingMarkEnd,
)
from cavyround.record.models.readings import (
    BodyPlace,
    CareDone,
    Happened,
    Observed,
    StepState,
    WeighIn,
)
from cavyround.record.models.weights import HerdTaught, WeightSaid

__all__ = [
    "AdviceGiven",
    "Animal",
    "AnimalStatement",
    "Append",
    "Arrival",
    "BodyPlace",
    "CareDone",
    "ChangeRefusedError",
    "Check",
    "CheckEntry",
    "Departure",
    "FollowUp",
    "FollowUpOutcome",
    "Happened",
    "HerdTaught",
    "Move",
    "Observed",
    "Pen",
    "PenKind",
    "Person",
    "Photo",
    "Role",
    "Room",
    "StandingMark",
    "StandingMarkEnd",
    "StepState",
    "VetAnswer",
    "VetNumber",
    "VetQuestion",
    "WeighIn",
    "WeightSaid",
]
