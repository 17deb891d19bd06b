"""Fold the touches of one check into what they come to.

Pure: the same touches in any order of arrival give the same sitting, because
they are put into the order of their ids, which sort by the time they were made.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import datetime
from enum import StrEnum
from typing import Generic, TypeVar
from uuid import UUID

from cavyround.facts.entries import (
    Answered,
    AnyTouch,
    Cared,
    Corrected,
    Finished,
    Found,
    HoldNormal,
    MadeTouch,
    Marked,
    Noted,
    PutDown,
    Said,
    StepNormal,
    StepSkipped,
    TakenBack,
    Told,
    Weighed,
)

T = TypeVar("T")


class StepStatus(StrEnum):
    """What was done about a step. A step that is missing was not checked."""

    NORMAL = "normal"
    FOUND = "found"
    SKIPPED = "skipped"


@dataclass(frozen=True, slots=True)
class Kept(Generic[T]):
    """A touch that stands, with who made it and whether it was corrected since."""

    id: UUID
    at: datetime
    by: int
    touch: T
    corrected: bool = False


@dataclass(frozen=True, slots=True)
class StepMark:
    """The state of one step and the touch it comes from."""

    status: StepStatus
    id: UUID
    at: datetime
    by: int


@dataclass(frozen=True, slots=True)
class Sitting:
    """What one check came to. ``steps`` holds only steps somebody did something about."""

    steps: dict[str, StepMark] = field(default_factory=dict)
    found: tuple[Kept[Found], ...] = ()
    weights: tuple[Kept[Weighed], ...] = ()
    care: tuple[Kept[Cared], ...] = ()
    told: tuple[Kept[Told], ...] = ()
    marked: tuple[Kept[Marked], ...] = ()
    notes: tuple[Kept[Noted], ...] = ()
    said: tuple[Kept[Said], ...] = ()
    answers: tuple[Kept[Answered], ...] = ()
    put_down_at: datetime | None = None
    finished_at: datetime | None = None


WEIGHT_STEP = "weight"


@dataclass(frozen=True, slots=True)
class Mends:
    """By the id of an entry: what took it back, and which of its corrections stands."""

    gone: dict[UUID, MadeTouch]
    stands: dict[UUID, MadeTouch]
    put_right: frozenset[UUID]


def mends_of(touches: Iterable[MadeTouch]) -> Mends:
    """What became of each entry since.

    What is put right afterwards stands over what was said at the table, whichever came
    first: the ids of the table are as late as its phone's clock makes them, and the table
    does not know what was put right elsewhere. Among their own kind the later id stands:
    a phone's own ids never go back, and what is put right afterwards has its id from us.
    """
    in_order = _in_order(touches)
    gone = {made.touch.entry: made for made in in_order if isinstance(made.touch, TakenBack)}
    stands: dict[UUID, MadeTouch] = {}
    put_right = set()
    for made in in_order:
        touch = made.touch
        if not isinstance(touch, Corrected) or made.id in gone:
            continue
        if not touch.more:
            put_right.add(touch.entry)
        before = stands.get(touch.entry)
        if before is None or _at_table(before) or not touch.at_table:
            stands[touch.entry] = made
    return Mends(gone, stands, frozenset(put_right))


def _in_order(touches: Iterable[MadeTouch]) -> list[MadeTouch]:
    return sorted({made.id: made for made in touches}.values(), key=lambda made: made.id)


def _at_table(made: MadeTouch) -> bool:
    return isinstance(made.touch, Corrected) and made.touch.at_table


def standing(touches: Iterable[MadeTouch]) -> list[Kept[AnyTouch]]:
    """The touches that stand: each once, taken-back ones gone, corrected ones replaced."""
    in_order = _in_order(touches)
    mends = mends_of(in_order)
    kept: list[Kept[AnyTouch]] = []
    for made in in_order:
        if made.id in mends.gone or isinstance(made.touch, TakenBack | Corrected):
            continue
        mend = mends.stands.get(made.id)
        if mend is None:
            as_made: Kept[AnyTouch] = Kept(made.id, made.made_at, made.by, made.touch)
            kept.append(as_made)
        elif isinstance(mend.touch, Corrected) and mend.touch.data is not None:
            corrected = made.id in mends.put_right
            kept.append(Kept(made.id, made.made_at, mend.by, mend.touch.data, corrected))
    return kept


def fold(touches: Iterable[MadeTouch]) -> Sitting:
    """What the touches of one check come to.

    A finding outranks "as it should be" for its step whatever came first: a
    blanket touch never hides what was found.
    """
    kept = standing(touches)
    sitting = Sitting(
        found=_of(kept, Found),
        weights=_of(kept, Weighed),
        care=_of(kept, Cared),
        told=_of(kept, Told),
        marked=_of(kept, Marked),
        notes=_of(kept, Noted),
        said=_of(kept, Said),
        answers=_of(kept, Answered),
        put_down_at=_last_moment(kept, PutDown),
        finished_at=_last_moment(kept, Finished),
    )
    return replace(sitting, steps=_steps(kept))


def _of(kept: list[Kept[AnyTouch]], wanted: type[T]) -> tuple[Kept[T], ...]:
    return tuple(
        Kept(one.id, one.at, one.by, one.touch, one.corrected)
        for one in kept
        if isinstance(one.touch, wanted)
    )


def _last_moment(kept: list[Kept[AnyTouch]], wanted: type[AnyTouch]) -> datetime | None:
    moments = [one.at for one in kept if isinstance(one.touch, wanted)]
    return max(moments, default=None)


def _steps(kept: list[Kept[AnyTouch]]) -> dict[str, StepMark]:
    steps: dict[str, StepMark] = {}
    for one in kept:
        for step, status in _said_of_steps(one.touch):
            before = steps.get(step)
            if before and before.status is StepStatus.FOUND:
                continue
            steps[step] = StepMark(status, one.id, one.at, one.by)
    return steps


def _said_of_steps(touch: AnyTouch) -> list[tuple[str, StepStatus]]:
    match touch:
        case HoldNormal(steps=steps):
            return [(step, StepStatus.NORMAL) for step in steps]
        case StepNormal(step=step):
            return [(step, StepStatus.NORMAL)]
        case StepSkipped(step=step):
            return [(step, StepStatus.SKIPPED)]
        case Found(step=step):
            return [(step, StepStatus.FOUND)] if step else []
        case Weighed():
            return [(WEIGHT_STEP, StepStatus.NORMAL)]
        case _:
            return []
