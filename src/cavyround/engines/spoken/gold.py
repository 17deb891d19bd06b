"""A read note as plain values, in the form of the worked notes."""

from decimal import Decimal
from typing import Any

from cavyround.engines.spoken.result import ReadAnimal, ReadNote, SaidCare, SaidFinding


def as_gold(note: ReadNote) -> list[dict[str, Any]]:
    """The animals of a note as plain values."""
    return [_animal(one) for one in note.animals]


def _animal(one: ReadAnimal) -> dict[str, Any]:
    return {
        "animal": one.name,
        "findings": [_finding(each) for each in one.findings],
        "care": [_care(each) for each in one.care],
        "blanket": "yes" if one.blanket else "no",
        "steps_named": list(one.steps_named),
        "steps_blanket": list(one.steps_blanket),
        "steps_not_covered": list(one.steps_not_covered),
        "steps_said_skipped": list(one.steps_skipped),
        "steps_not_scored": [],
    }


def _finding(one: SaidFinding) -> dict[str, Any]:
    said: dict[str, Any] = {
        "region": one.region,
        "side": one.side.value,
        "finding": one.finding,
        "status": one.status.value,
    }
    if one.grade is not None:
        said["grade"] = one.grade.value
    if one.value is not None:
        said["value"] = _number(one.value)
    if one.unit is not None:
        said["unit"] = one.unit
    if one.grams is not None:
        said["value_g"] = float(one.grams)
    if one.kinds:
        said["kind"] = min(one.kinds) if len(one.kinds) == 1 else sorted(one.kinds)
    return said


def _care(one: SaidCare) -> dict[str, Any]:
    said: dict[str, Any] = {"care": one.care, "side": one.side.value, "status": one.status}
    if one.product:
        said["product"] = one.product
    if one.value is not None:
        said["value"] = _number(one.value)
    if one.unit is not None:
        said["unit"] = one.unit
    return said


def _number(value: Decimal | str) -> int | float | str:
    if isinstance(value, str):
        return value
    return int(value) if value == value.to_integral_value() else float(value)
