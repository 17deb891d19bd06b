"""What to check on this animal today: steps in holds, in an order that turns it least."""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class CarriedOver:
    """Something known from before, asked as the same, bigger or gone."""

    region: str
    finding: str
    side: str
    words: str
    size_mm: Decimal | None = None
    mark_id: str | None = None
    since: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedStep:
    """One step; ``why_more`` says why it matters more for this animal, ``why_also`` the rest.

    ``promised`` is what somebody promised to look at again here.
    """

    code: str
    words: str
    why_more: tuple[str, ...] = ()
    why_also: tuple[str, ...] = ()
    left_out: str = ""
    sore: bool = False
    normal: tuple[str, ...] = ()
    promised: tuple[str, ...] = ()
    carried: tuple[CarriedOver, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedHold:
    """The steps done in one hold. ``not_now`` says why the hold is not used today."""

    code: str
    words: str
    how: str
    steps: tuple[PlannedStep, ...]
    cautions: tuple[str, ...] = ()
    not_now: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The whole check for one animal, and the kit to lay out for it."""

    animal: str
    holds: tuple[PlannedHold, ...]
    promised: tuple[str, ...] = ()
    kit: tuple[str, ...] = ()

    @property
    def steps(self) -> tuple[PlannedStep, ...]:
        """All steps in order."""
        return tuple(step for hold in self.holds for step in hold.steps)
