"""Which steps were done and which were not: not checked is never normal."""

from collections.abc import Mapping
from dataclasses import dataclass

from cavyround.engines.check.plan import Plan
from cavyround.facts.sitting import StepMark, StepStatus


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """The planned steps by what was done about them."""

    normal: tuple[str, ...]
    found: tuple[str, ...]
    skipped: tuple[str, ...]
    not_checked: tuple[str, ...]

    @property
    def is_whole(self) -> bool:
        """Whether nothing planned is left unchecked."""
        return not self.not_checked


def coverage(plan: Plan, steps: Mapping[str, StepMark]) -> Coverage:
    """Sort the steps of a plan by what was done about them."""

    def of(status: StepStatus | None) -> tuple[str, ...]:
        return tuple(
            step.code
            for step in plan.steps
            if (steps[step.code].status if step.code in steps else None) is status
        )

    return Coverage(
        normal=of(StepStatus.NORMAL),
        found=of(StepStatus.FOUND),
        skipped=of(StepStatus.SKIPPED),
        not_checked=of(None),
    )
