"""A dose of the day with all that is known of it, before it is put in words for the phone."""

from dataclasses import dataclass

from cavyround.advice.medicines.running import RunningCourse
from cavyround.advice.medicines.working import WorkedDose
from cavyround.engines.courses import Slot
from cavyround.engines.courses.dose_round import DoseToGive
from cavyround.engines.dosing import Syringe


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """One due dose with what was worked out for it; ``sitting`` None: done today.

    ``advised`` says why the vet is rung before it: advice given since the vet ordered it, or
    something that does not fit about the dose before.
    """

    to_give: DoseToGive
    running: RunningCourse
    worked: WorkedDose | None
    sitting: int | None
    syringes: dict[str, Syringe]
    advised: str = ""

    @property
    def slot(self) -> Slot:
        """The due dose."""
        return self.to_give.slot

    @property
    def key(self) -> str:
        """What names the due dose on the phone: the same as long as it is due."""
        return f"{self.running.course.id}:{self.slot.number}"
