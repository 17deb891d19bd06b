"""What changed in an outbreak between two moments."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from cavyround.engines.contagion.outbreak_said import OutbreakStands
from cavyround.engines.contagion.tracing import STRENGTHS


class ChangeKind(StrEnum):
    """What sort of change."""

    NEW_CASE = "new_case"
    CASE_OVER = "case_over"
    RULED_OUT = "ruled_out"
    NEWLY_EXPOSED = "newly_exposed"
    MORE_STRONGLY = "more_strongly"
    NO_LONGER = "no_longer"
    LOOKED_AT = "looked_at"


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change, of one animal."""

    kind: ChangeKind
    animal: str


def changes(before: OutbreakStands | None, after: OutbreakStands) -> tuple[Change, ...]:
    """What is otherwise now; with nothing before, everything is new."""
    found = [*_of_cases(before, after), *_of_exposed(before, after), *_of_looks(before, after)]
    order = list(ChangeKind)
    return tuple(sorted(found, key=lambda one: (order.index(one.kind), one.animal)))


def _of_cases(before: OutbreakStands | None, after: OutbreakStands) -> Iterator[Change]:
    was = {one.case.animal: one.case for one in before.windows} if before else {}
    for window in after.windows:
        case, earlier = window.case, was.get(window.case.animal)
        counted = earlier is not None and earlier.counts
        if case.counts and not counted:
            yield Change(kind=ChangeKind.NEW_CASE, animal=case.animal)
        elif not case.counts and counted:
            yield Change(kind=ChangeKind.RULED_OUT, animal=case.animal)
        if case.over_at is not None and (earlier is None or earlier.over_at is None):
            yield Change(kind=ChangeKind.CASE_OVER, animal=case.animal)


def _of_exposed(before: OutbreakStands | None, after: OutbreakStands) -> Iterator[Change]:
    was = {one.animal: one.strength for one in before.traced.exposures} if before else {}
    now = {one.animal: one.strength for one in after.traced.exposures}
    cases = {one.case.animal for one in after.windows if one.case.counts}
    for animal, strength in now.items():
        if animal not in was:
            yield Change(kind=ChangeKind.NEWLY_EXPOSED, animal=animal)
        elif STRENGTHS.index(strength) < STRENGTHS.index(was[animal]):
            yield Change(kind=ChangeKind.MORE_STRONGLY, animal=animal)
    for animal in was:
        if animal not in now and animal not in cases:
            yield Change(kind=ChangeKind.NO_LONGER, animal=animal)


def _of_looks(before: OutbreakStands | None, after: OutbreakStands) -> Iterator[Change]:
    done = {(one.animal, one.on) for one in before.check_days if one.done} if before else set()
    looked = {
        one.animal for one in after.check_days if one.done and (one.animal, one.on) not in done
    }
    yield from (Change(kind=ChangeKind.LOOKED_AT, animal=animal) for animal in looked)
