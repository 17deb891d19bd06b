"""The tables of the record. Clinical entries are only ever added; see ``entries``."""

from cavyround.record.models.advice import AdviceGiven, VetAnswer, VetQuestion
from cavyround.record.models.alone import LivesAlone, LivesAloneEnd
from cavyround.record.models.animals import Animal, AnimalStatement, Arrival, Departure, Move
from cavyround.record.models.checks import Check, CheckEntry
from cavyround.record.models.contagion import (
    MoveCorrected,
    Outbreak,
    OutbreakCase,
    OutbreakClosed,
    OutbreakSaid,
    PenCleaned,
    QuarantineEnd,
    QuarantineSet,
    SharedUse,
)
from cavyround.record.models.courses import Course, CourseLook, CourseStopped
from cavyround.record.models.days_off import DayOff, DayOffTakenBack
from cavyround.record.models.doses import (
    DoseAnswer,
    DoseAnswerTakenBack,
    DoseCorrection,
    DoseEntry,
)
from cavyround.record.models.entries import Append, ChangeRefusedError
from cavyround.record.models.labour import Labour, LabourOver, LabourSeen, LabourTakenBack
from cavyround.record.models.living import (
    Castration,
    Introduced,
    Introduction,
    IntroductionOutcome,
    Litter,
    LitterPup,
    LivingTakenBack,
    PupsFelt,
    Sexing,
    Tie,
    TieKind,
)
from cavyround.record.models.orders import (
    Allergy,
    AllergyEnded,
    Order,
    OrderStopped,
    ReasonSetAside,
    SetAsideEnded,
    StandingDeclined,
)
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
from cavyround.record.models.shelf import Lot, Product, ShelfStatement, StockMovement
from cavyround.record.models.weights import HerdTaught, WeightSaid

__all__ = [
    "AdviceGiven",
    "Allergy",
    "AllergyEnded",
    "Animal",
    "AnimalStatement",
    "Append",
    "Arrival",
    "BodyPlace",
    "CareDone",
    "Castration",
    "ChangeRefusedError",
    "Check",
    "CheckEntry",
    "Course",
    "CourseLook",
    "CourseStopped",
    "DayOff",
    "DayOffTakenBack",
    "Departure",
    "DoseAnswer",
    "DoseAnswerTakenBack",
    "DoseCorrection",
    "DoseEntry",
    "FollowUp",
    "FollowUpOutcome",
    "Happened",
    "HerdTaught",
    "Introduced",
    "Introduction",
    "IntroductionOutcome",
    "Labour",
    "LabourOver",
    "LabourSeen",
    "LabourTakenBack",
    "Litter",
    "LitterPup",
    "LivesAlone",
    "LivesAloneEnd",
    "LivingTakenBack",
    "Lot",
    "Move",
    "MoveCorrected",
    "Observed",
    "Order",
    "OrderStopped",
    "Outbreak",
    "OutbreakCase",
    "OutbreakClosed",
    "OutbreakSaid",
    "Pen",
    "PenCleaned",
    "PenKind",
    "Person",
    "Photo",
    "Product",
    "PupsFelt",
    "QuarantineEnd",
    "QuarantineSet",
    "ReasonSetAside",
    "Role",
    "Room",
    "SetAsideEnded",
    "Sexing",
    "SharedUse",
    "ShelfStatement",
    "StandingDeclined",
    "StandingMark",
    "StandingMarkEnd",
    "StepState",
    "StockMovement",
    "Tie",
    "TieKind",
    "VetAnswer",
    "VetNumber",
    "VetQuestion",
    "WeighIn",
    "WeightSaid",
]
