"""Which steps were done and which were not: not checked is never normal."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from cavyround.facts.sitting import StepMark, StepStatus


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """The planned steps by what was done about them."""

    normal: tuple[str, ...]
    found: tuple[str, ...]
    skipped: tuple[str, ...]
    not_checked: tuple[str, ...]


def coverage(planned: Sequence[str], steps: Mapping[str, StepMark]) -> Coverage:
    """Sort the planned steps, in their order, by what was done about them."""

    def of(status: StepStatus | None) -> tuple[str, ...]:
        return tuple(
            code for code in planned if (steps[code].status if code in steps else None) is status
        )

    return Coverage(
        normal=of(StepStatus.NORMAL),
        found=of(StepStatus.FOUND),
        skipped=of(StepStatus.SKIPPED),
        not_checked=of(None),
    )
