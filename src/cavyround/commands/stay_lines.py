"""Read stays, shared uses and cases from the lines of a CSV file."""

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, time, timedelta
from typing import TextIO

from cavyround.engines.contagion.cases import Case, Sure
from cavyround.facts.stays import SharedUse, Stay, StayFault, UseKind, faults_of

COLUMNS = ("animal", "room", "pen", "from", "to", "where", "signs_on", "case")
NEEDED = ("animal", "pen", "from")
WHERE = {"": None, "pen": None, "run": UseKind.RUN, "things": UseKind.THINGS}
WHERE |= {"hands": UseKind.HANDS}
SURE = {"": Sure.SUSPECTED, "suspected": Sure.SUSPECTED, "confirmed": Sure.CONFIRMED}
SURE |= {"ruled_out": Sure.RULED_OUT}
A_DAY = timedelta(days=1)
# Other programs write 9999-12-31 for "still there": that is no day to reckon with.
EARLIEST, LATEST = 1990, 2200
MOST_TOLD = 20


class BadFileError(ValueError):
    """What in the file cannot be read, line by line, in words."""


@dataclass(slots=True)
class StayFile:
    """What a file said.

    ``faults`` are stays that contradict themselves or each other; they are in ``stays`` all
    the same. ``animals`` are in the order of the file.
    """

    stays: list[Stay] = field(default_factory=list)
    uses: list[SharedUse] = field(default_factory=list)
    cases: dict[str, Case] = field(default_factory=dict)
    faults: tuple[StayFault, ...] = ()
    animals: dict[str, None] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Moment:
    at: datetime
    is_day: bool


def some_of(lines: Sequence[str]) -> list[str]:
    """The first of many lines, and how many more there are: nobody reads thousands."""
    more = len(lines) - MOST_TOLD
    return [*lines[:MOST_TOLD], f"and {more} more"] if more > 0 else list(lines)


def read_stays(file: TextIO, name: str) -> StayFile:
    """Everything in a file; raises BadFileError with all lines that cannot be read."""
    reader = csv.DictReader(file)
    try:
        named = reader.fieldnames or ()
    except csv.Error as fault:
        msg = f"{name}: line 1: this is no line of a CSV file: {fault}"
        raise BadFileError(msg) from None
    missing = [one for one in NEEDED if one not in named]
    if missing:
        msg = (
            f"{name}: the columns {', '.join(missing)} are missing; "
            f"the first line names {','.join(COLUMNS)}"
        )
        raise BadFileError(msg)
    read, strict, wrong = StayFile(), [], []
    try:
        for row in reader:
            told = {column: (row.get(column) or "").strip() for column in COLUMNS}
            try:
                strict += _take(read, told, reader.line_num)
            except ValueError as fault:
                wrong.append(f"{name}: line {reader.line_num}: {fault}")
    except csv.Error as fault:
        # What follows cannot be told apart any more.
        wrong.append(f"{name}: line {reader.line_num + 1}: this is no line of a CSV file: {fault}")
    if wrong:
        raise BadFileError("\n".join(some_of(wrong)))
    read.faults = faults_of(strict)
    return read


def _take(read: StayFile, told: Mapping[str, str], line: int) -> list[Stay]:
    """Add one line; the stays as they are tried for faults, where a day is its beginning."""
    animal = told["animal"]
    if not animal:
        msg = "it names no animal"
        raise ValueError(msg)
    if told["where"] not in WHERE:
        msg = f"where {told['where']!r} is not {', '.join(one for one in WHERE if one)} or blank"
        raise ValueError(msg)
    began = _moment("from", told["from"])
    ended = _moment("to", told["to"]) if told["to"] else None
    read.animals.setdefault(animal)
    _take_case(read, told)
    wide_end = None if ended is None else ended.at + (A_DAY if ended.is_day else timedelta())
    kind = WHERE[told["where"]]
    if kind is not None:
        if not told["pen"]:
            msg = f"a shared {told['where']} needs its name in the column pen"
            raise ValueError(msg)
        use_end = began.at if ended is None and kind is not UseKind.RUN else wide_end
        read.uses.append(
            SharedUse(
                id=f"line {line}",
                animal=animal,
                kind=kind,
                name=told["pen"],
                began_at=began.at,
                ended_at=use_end,
            )
        )
        return []
    strict = Stay(
        animal=animal,
        began_at=began.at,
        ended_at=None if ended is None else ended.at,
        pen=told["pen"],
        room=told["room"],
        id=f"line {line}",
        line=line,
    )
    read.stays.append(
        Stay(
            animal=animal,
            began_at=began.at,
            ended_at=strict.ended_at if strict.runs_backwards else wide_end,
            pen=told["pen"],
            room=told["room"],
            id=strict.id,
            line=line,
        )
    )
    return [strict]


def _take_case(read: StayFile, told: Mapping[str, str]) -> None:
    if told["case"] not in SURE:
        msg = f"case {told['case']!r} is not {', '.join(one for one in SURE if one)} or blank"
        raise ValueError(msg)
    if not told["signs_on"]:
        if told["case"]:
            msg = "a case needs the day of its first signs in signs_on"
            raise ValueError(msg)
        return
    case = Case(
        animal=told["animal"],
        signs_at=_moment("signs_on", told["signs_on"]).at,
        sure=SURE[told["case"]],
    )
    known = read.cases.setdefault(told["animal"], case)
    if known != case:
        msg = f"{told['animal']} is a case in another line with another day or word"
        raise ValueError(msg)


def _moment(column: str, text: str) -> _Moment:
    if not text:
        msg = f"{column} is blank: a stay needs the day it began, as 2026-03-01"
        raise ValueError(msg)
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        msg = f"{column} {text!r} is no day; write it as 2026-03-01 or 2026-03-01T09:30"
        raise ValueError(msg) from None
    if not EARLIEST <= moment.year <= LATEST:
        msg = f"{column} {text!r}: the year cannot be; leave `to` blank for a stay that lasts"
        raise ValueError(msg)
    if "T" not in text and " " not in text:
        return _Moment(datetime.combine(moment.date(), time(tzinfo=UTC)), is_day=True)
    return _Moment(moment if moment.tzinfo else moment.replace(tzinfo=UTC), is_day=False)
