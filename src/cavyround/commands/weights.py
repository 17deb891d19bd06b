"""``cavyround weights``: what the weights in a file would have said, each on its day."""

import argparse
import csv
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any, TextIO

from cavyround.engines.weight import read_days
from cavyround.engines.weight.said import WeighIn
from cavyround.facts.animal import AnimalFacts, Born, Event, Sex, Weighing
from cavyround.knowledge.loading import load_knowledge
from cavyround.knowledge.reading import KnowledgeFaultError
from cavyround.knowledge.urgency import Urgency

HELP = """\
Read weighings from a CSV file and write, for every one, what would have been said on that
day, knowing only what was known then.

The file has a header and these columns; blank means unknown:
  animal_id,sex,birth_date,date,weight_g,event
  P07,female,2025-11-02,2026-01-10,612,arrival
  P07,female,2025-11-02,2026-01-17,598,

  sex         female, male (or sow, boar), or blank
  birth_date  2025-11-02, or blank
  date        2026-01-10, or with the hour: 2026-01-10T09:30
  weight_g    grams: 612 or 612.5
  event       arrival, pregnant (noticed that day), birth, operation, diet, company,
              medicine; several with a semicolon between

Written are: animal_id,date,level,kind,score,weight_now_g,trend_pct_per_week,p_loss_5,
p_loss_10,why. `level` is empty where nothing is said; `kind` is loss, growth, pregnancy,
gain or weigh_again; `score` rises with concern and is 0 where an alarm begins (that a sow
gains as a pregnant one does is said too, and raises no score).
"""
COLUMNS = ("animal_id", "sex", "birth_date", "date", "weight_g", "event")
WRITTEN = (
    "animal_id",
    "date",
    "level",
    "kind",
    "score",
    "weight_now_g",
    "trend_pct_per_week",
    "p_loss_5",
    "p_loss_10",
    "why",
)
SEXES = {
    "female": Sex.SOW,
    "sow": Sex.SOW,
    "f": Sex.SOW,
    "male": Sex.BOAR,
    "boar": Sex.BOAR,
    "m": Sex.BOAR,
    "unknown": Sex.UNKNOWN,
    "": Sex.UNKNOWN,
}
EVENTS = {
    "arrival": "arrived",
    "pregnant": "found_pregnant",
    "birth": "gave_birth",
    "operation": "surgery",
    "surgery": "surgery",
    "diet": "new_food",
    "company": "new_company",
    "medicine": "medicine_course",
}
NOON = time(12, tzinfo=UTC)


class BadFileError(ValueError):
    """What in the file cannot be read, line by line, in words."""


@dataclass(frozen=True, slots=True)
class _Line:
    """One readable line; ``written`` is the date as it stood."""

    animal: str
    sex: Sex
    born: date | None
    at: datetime
    written: str
    grams: Decimal
    events: tuple[str, ...]


def add_to(commands: Any) -> None:
    """Add the command."""
    command = commands.add_parser(
        "weights",
        help="read weighings from a CSV file and say what each would have said on its day",
        description=HELP,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    command.add_argument("file", type=Path, help="the CSV file with the weighings")
    command.add_argument("--override", type=Path, help="lay your own vet's file on top")
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Write a CSV line for every weighing, in the order of the file's animals."""
    try:
        book = load_knowledge(override=arguments.override)
        with arguments.file.open(encoding="utf-8-sig", newline="") as file:
            lines = read_lines(file, arguments.file.name)
    except (KnowledgeFaultError, OSError, BadFileError) as fault:
        print(fault, file=sys.stderr)
        return 2
    except UnicodeDecodeError:
        print(
            f"{arguments.file.name}: this is no text in UTF-8; save it as CSV UTF-8",
            file=sys.stderr,
        )
        return 2
    animals, written = herd_of(lines)
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(WRITTEN)
    for facts, weighings in read_days(animals, book=book):
        for one in weighings:
            out.writerow(_row(facts.id, written[one.id or ""], one))
    return 0


def read_lines(file: TextIO, name: str) -> list[_Line]:
    """Every line of a file; raises BadFileError with all that cannot be read."""
    reader = csv.DictReader(file)
    missing = [
        one for one in ("animal_id", "date", "weight_g") if one not in (reader.fieldnames or ())
    ]
    if missing:
        msg = (
            f"{name}: the columns {', '.join(missing)} are missing; "
            f"the first line names {','.join(COLUMNS)}"
        )
        raise BadFileError(msg)
    lines, faults = [], []
    for row in reader:
        try:
            lines.append(_line(row))
        except ValueError as fault:
            faults.append(f"{name}: line {reader.line_num}: {fault}")
    if faults:
        raise BadFileError("\n".join(faults))
    return lines


def _line(row: dict[str, str | None]) -> _Line:
    told = {column: (row.get(column) or "").strip() for column in COLUMNS}
    if not told["animal_id"]:
        msg = "it names no animal"
        raise ValueError(msg)
    sex = told["sex"].lower()
    if sex not in SEXES:
        msg = f"sex {sex!r} is not female, male or blank"
        raise ValueError(msg)
    events = [one.strip().lower() for one in told["event"].split(";") if one.strip()]
    for one in events:
        if one not in EVENTS:
            msg = f"event {one!r} is not known; known are {', '.join(EVENTS)}"
            raise ValueError(msg)
    born = told["birth_date"]
    at = _moment(told["date"])
    if born and _day("birth_date", born) > at.date():
        msg = f"birth_date {born} lies after the weighing on {told['date']}"
        raise ValueError(msg)
    return _Line(
        animal=told["animal_id"],
        sex=SEXES[sex],
        born=_day("birth_date", born) if born else None,
        at=at,
        written=told["date"],
        grams=_grams(told["weight_g"]),
        events=tuple(EVENTS[one] for one in events),
    )


def _day(field: str, text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        msg = f"{field} {text!r} is no day; write it as 2026-01-10"
        raise ValueError(msg) from None


def _moment(text: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        msg = f"date {text!r} is no day; write it as 2026-01-10"
        raise ValueError(msg) from None
    if "T" not in text and " " not in text:
        return datetime.combine(moment.date(), NOON)
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)


def _grams(text: str) -> Decimal:
    try:
        grams = Decimal(text)
    except InvalidOperation:
        grams = Decimal("NaN")
    if not grams.is_finite() or grams <= 0:
        msg = f"weight_g {text!r} is no weight in grams; write it as 912 or 912.5"
        raise ValueError(msg)
    return grams


def herd_of(lines: Iterable[_Line]) -> tuple[list[AnimalFacts], dict[str, str]]:
    """The animals of the lines, and by weighing id the date as it stood."""
    by_animal: dict[str, list[_Line]] = {}
    for line in lines:
        by_animal.setdefault(line.animal, []).append(line)
    written: dict[str, str] = {}
    animals = []
    for name, own in by_animal.items():
        own.sort(key=lambda one: one.at)
        weighings = []
        for index, line in enumerate(own):
            written[f"{name}/{index}"] = line.written
            weighings.append(Weighing(at=line.at, grams=line.grams, id=f"{name}/{index}"))
        born = next((one.born for one in own if one.born), None)
        sex = next((one.sex for one in own if one.sex is not Sex.UNKNOWN), Sex.UNKNOWN)
        animals.append(
            AnimalFacts(
                id=name,
                sex=sex,
                born=Born(earliest=born, latest=born),
                weighings=tuple(weighings),
                events=tuple(_events(own)),
            )
        )
    return animals, written


def _events(own: Iterable[_Line]) -> Iterator[Event]:
    for line in own:
        yield from (Event(what=what, on=line.at.date()) for what in line.events)


def _row(animal: str, written: str, one: WeighIn) -> tuple[str, ...]:
    alarm, doubted = one.alarm, one.doubt is not None
    least = Urgency.CARER_RECHECK if doubted else Urgency.NORMAL
    level = max(alarm.level, least) if doubted or alarm.kind else least
    why = (one.doubt.words,) if one.doubt else alarm.why
    return (
        animal,
        written,
        level.code if level else "",
        "weigh_again" if doubted else alarm.kind.value if alarm.kind else "",
        f"{alarm.score:.3f}",
        f"{one.level.mid:.1f}" if one.level else "",
        f"{one.trend_pct.mid:.2f}" if one.trend_pct else "",
        f"{one.p_loss[5]:.4f}",
        f"{one.p_loss[10]:.4f}",
        " ".join(why),
    )
