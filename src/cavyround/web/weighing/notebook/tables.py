"""A table with headers: the columns are found by their names, and a header may say the unit."""

import csv
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from cavyround.web.weighing.notebook.amounts import Amount, Unit, whole_amount
from cavyround.web.weighing.notebook.days import Day, whole_day
from cavyround.web.weighing.notebook.written import Notes, Written

DELIMITERS = "\t;,|"
WHO = ("animal_id", "id", "animal", "name", "guinea pig", "microchip", "chip")
DAYS = ("date", "day", "on", "weighed on", "weighed at", "at", "datetime", "moment")
WEIGHTS: Mapping[str, Unit | None] = {
    "weight": None,
    "g": Unit.G,
    "gram": Unit.G,
    "grams": Unit.G,
    "kg": Unit.KG,
    "lb": Unit.LB,
    "lbs": Unit.LB,
    "pounds": Unit.LB,
    "oz": Unit.OZ,
    "ounces": Unit.OZ,
}


@dataclass(frozen=True, slots=True)
class _Columns:
    """Where each thing stands; ``unused`` are the headers nothing is read from."""

    who: tuple[int, ...]
    day: int | None
    weight: int
    unit: Unit | None
    ounces: int | None
    unused: tuple[str, ...]
    count: int


def read_table(text: str) -> Notes | None:
    """The rows of a table; None where the text does not begin with headers."""
    lines = text.splitlines()
    first = next((number for number, line in enumerate(lines) if line.strip()), None)
    if first is None:
        return None
    for delimiter in DELIMITERS:
        headers = _cells(lines[first], delimiter)
        columns = _columns(headers)
        if columns:
            rows = _rows(lines, first + 1, delimiter)
            return Notes(tuple(_written(columns, *row) for row in rows), columns.unused)
    return None


def _cells(line: str, delimiter: str) -> list[str]:
    return next(csv.reader([line], delimiter=delimiter, skipinitialspace=True))


def _columns(headers: Sequence[str]) -> _Columns | None:
    names = [_name(header) for header in headers]
    who = tuple(names.index(name) for name in WHO if name in names)
    weights = [(at, _unit(name)) for at, name in enumerate(names) if _is_weight(name)]
    if not who or not weights:
        return None
    pounds = next((at for at, unit in weights if unit is Unit.LB), None)
    ounces = next((at for at, unit in weights if unit is Unit.OZ), None)
    in_two = pounds is not None and ounces is not None
    weight, unit = (pounds, Unit.LB) if in_two and pounds is not None else weights[0]
    day = next((names.index(name) for name in DAYS if name in names), None)
    used = {*who, day, weight, ounces if in_two else weight}
    unused = tuple(header.strip() for at, header in enumerate(headers) if at not in used)
    return _Columns(who, day, weight, unit, ounces if in_two else None, unused, len(headers))


def _name(header: str) -> str:
    return re.sub(r"[\s_]+", " ", header.strip().strip("﻿").lower()).replace(" id", "_id")


def _is_weight(name: str) -> bool:
    return name in WEIGHTS or re.match(r"(weight|mass)\b", name) is not None


def _unit(name: str) -> Unit | None:
    """The unit a header names: ``weight_g``, ``Weight (g)``, ``oz``."""
    last = re.split(r"[^a-z]+", name.rstrip(" )]"))[-1]
    return WEIGHTS.get(last)


def _rows(lines: Sequence[str], start: int, delimiter: str) -> Iterator[tuple[int, str, list[str]]]:
    for number, line in enumerate(lines[start:], start=start + 1):
        if line.strip(f" {delimiter}"):
            yield number, line.strip(), _cells(line, delimiter)


def _written(columns: _Columns, number: int, line: str, cells: list[str]) -> Written:
    if len(cells) != columns.count:
        why = f"It has {len(cells)} columns, and the headers are {columns.count}."
        return Written(line=number, text=line, why=why)
    said = [cells[at].strip() for at in columns.who if cells[at].strip()]
    weight = cells[columns.weight].strip()
    if not weight and not (columns.ounces is not None and cells[columns.ounces].strip()):
        return Written(line=number, text=line, empty="There is no weight on this row.")
    if not said:
        return Written(line=number, text=line, why="There is no animal on this row.")
    amount = _amount(columns, cells)
    day = _day(cells[columns.day].strip()) if columns.day is not None else None
    why = day.why if day and day.why else "" if amount else f"“{weight}” is no weight."
    return Written(line=number, text=line, who=said[0], day=day, amount=amount, why=why)


def _amount(columns: _Columns, cells: Sequence[str]) -> Amount | None:
    text = cells[columns.weight].strip()
    if columns.ounces is not None:
        ounces = cells[columns.ounces].strip() or "0"
        return whole_amount(f"{text} lb {ounces} oz" if text else f"{ounces} oz")
    amount = whole_amount(text)
    if amount is None or amount.unit is not None or columns.unit is None:
        return amount
    return Amount(number=amount.number, unit=columns.unit, written=f"{text} {columns.unit}")


def _day(text: str) -> Day | None:
    """The day of a row; an empty one is not said."""
    if not text:
        return None
    return whole_day(text) or Day(
        why=f"“{text}” is no day: write 2026-03-04, 4/3/2026 (day first) or 4 March 2026."
    )
