"""Read off a check's entries what they come to, into rows that can be asked questions of."""

from collections.abc import Iterable, Mapping
from datetime import timedelta
from typing import Any

from cavyround.facts.entries import MadeTouch, read_touch
from cavyround.facts.sitting import Kept, Sitting, fold
from cavyround.record.models import (
    BodyPlace,
    CareDone,
    Check,
    CheckEntry,
    Happened,
    Observed,
    StandingMark,
    StepState,
    WeighIn,
)
from cavyround.record.models.entries import new_id

READINGS = (Observed, WeighIn, StepState, CareDone, Happened, BodyPlace)


def touches_of(check: Check) -> list[MadeTouch]:
    """All touches of a check, as values."""
    return [as_made(entry) for entry in CheckEntry.objects.filter(check_in=check)]


def as_made(entry: CheckEntry) -> MadeTouch:
    """An entry as a value."""
    touch = read_touch(entry.data)
    return MadeTouch(id=entry.id, made_at=entry.made_at, by=entry.made_by_id, touch=touch)


def sitting_of(check: Check) -> Sitting:
    """What a check came to, folded from its entries."""
    return fold(touches_of(check))


def read_off(check: Check) -> Sitting:
    """Make the rows of a check anew from its entries; call inside a transaction."""
    sitting = sitting_of(check)
    for reading in READINGS:
        reading.objects.filter(check_in=check).delete()
    Observed.objects.bulk_create(_observed(check, sitting))
    WeighIn.objects.bulk_create(
        _rows(WeighIn, check, sitting.weights, ("grams", "as_typed", "doubted"))
    )
    CareDone.objects.bulk_create(
        _rows(CareDone, check, sitting.care, ("care", "side", "status", "product", "detail"))
    )
    Happened.objects.bulk_create(_rows(Happened, check, sitting.told, ("what", "on", "note")))
    BodyPlace.objects.bulk_create(_places(check, sitting))
    StepState.objects.bulk_create(
        StepState(
            id=new_id(),
            animal_id=check.animal_id,
            check_in=check,
            at=mark.at,
            by_id=mark.by,
            step=step,
            state=mark.status,
        )
        for step, mark in sitting.steps.items()
    )
    check.finished_at = sitting.finished_at
    check.put_down_at = sitting.put_down_at
    check.save(update_fields=["finished_at", "put_down_at"])
    return sitting


def _shared(check: Check, kept: Kept[Any]) -> dict[str, Any]:
    return {
        "id": kept.id,
        "animal_id": check.animal_id,
        "check_in": check,
        "at": kept.at,
        "by_id": kept.by,
        "corrected": kept.corrected,
    }


def _rows(
    model: type[Any], check: Check, kept: Iterable[Kept[Any]], fields: tuple[str, ...]
) -> list[Any]:
    return [
        model(**_shared(check, one), **{name: getattr(one.touch, name) for name in fields})
        for one in kept
    ]


def _observed(check: Check, sitting: Sitting) -> list[Observed]:
    marks = _known_marks(check)
    rows = []
    for one in sitting.found:
        touch = one.touch
        began = None
        if touch.hours is not None:
            began = one.at - timedelta(hours=float(touch.hours))
        rows.append(
            Observed(
                **_shared(check, one),
                step=touch.step,
                region=touch.region,
                side=touch.side,
                finding=touch.finding,
                status=touch.status,
                grade=touch.grade or "",
                kinds=list(touch.kinds),
                value=touch.value,
                unit=touch.unit or "",
                began_at=began,
                mark=marks.get(touch.mark),
            )
        )
    return rows


def _known_marks(check: Check) -> Mapping[Any, StandingMark]:
    return {mark.id: mark for mark in StandingMark.objects.filter(animal_id=check.animal_id)}


def _places(check: Check, sitting: Sitting) -> list[BodyPlace]:
    return [
        BodyPlace(
            **_shared(check, one),
            view=one.touch.view,
            x=one.touch.x,
            y=one.touch.y,
            size_mm=one.touch.size_mm,
            words=one.touch.words,
            observation_id=one.touch.observation,
        )
        for one in sitting.marked
    ]
