"""``cavyround contacts``: who was exposed to the cases in a file of stays."""

import argparse
import csv
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from cavyround.commands.stay_lines import BadFileError, StayFile, read_stays, some_of
from cavyround.engines.contagion.cases import window_of
from cavyround.engines.contagion.settings import lasts_of, ways_of, widest_incubation
from cavyround.engines.contagion.tracing import Exposure, trace
from cavyround.facts.stays import StayFault
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.contagion import OutbreakKind
from cavyround.knowledge.loading import load_knowledge
from cavyround.knowledge.reading import KnowledgeFaultError

HELP = """\
Read where animals stayed from a CSV file and write who was exposed to the cases in it:
directly or through others, since when, until when, how strongly. In time order: an animal
that left before the case came was not exposed; one that met an exposed animal later may be.

The file has a header and these columns; blank means unknown:
  animal,room,pen,from,to,where,signs_on,case
  Juniper,Long Room,Chicory,2026-03-01,2026-03-20,,2026-03-18,confirmed
  Cob,Long Room,Chicory,2026-03-05T09:00,2026-03-12T17:30,,,
  Wisp,,,2026-03-06,2026-03-08,,,
  Cob,,brush 2,2026-03-19T10:00,,things,,

  animal    its name or number; one line for each stay
  room      animals in one room share their air
  pen       the pen; blank: it was here and nobody knows where
  from, to  2026-03-01, or with the hour: 2026-03-01T09:30 (UTC unless it says otherwise).
            A day without an hour counts whole, so two that changed places on one day may
            have met. `to` blank: it is still there
  where     blank or pen; or run, things, hands for what was shared outside the pen: then
            `pen` holds the run, the thing or the person, and `to` may be blank
  signs_on  the day of the first signs makes an animal a case
  case      suspected (as is blank), confirmed or ruled_out

Written are: animal,exposed,since,last,sure,through,way,place,chain,doubt.
`exposed` is one of
  case           a case itself
  close_direct   shared a pen or run with a case
  weak_direct    shared air, things, hands, or came into the pen after a case
  close_through  shared a pen or run with one that may have caught it before
  weak_through   as weak_direct, but with one that may have caught it before
  not_known      nobody knows where it, or the case, was
  none           not exposed by what the file says
`last` is the last contact with a case (of one exposed through others, that of the first of
those), blank while it lasts; `sure` is yes where it met a case that already showed
signs; `doubt` names the lines that contradict each other. Such stays count as if both were
true, are told on the error output (the first 20, and how many more), and make the command end
with 1 instead of 0.

It traces; it diagnoses nothing. What is done about it is for the vet to say.
"""
WRITTEN = (
    "animal",
    "exposed",
    "since",
    "last",
    "sure",
    "through",
    "way",
    "place",
    "chain",
    "doubt",
)


def add_to(commands: Any) -> None:
    """Add the command."""
    command = commands.add_parser(
        "contacts",
        help="read stays from a CSV file and say who was exposed to the cases in it",
        description=HELP,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    command.add_argument("file", type=Path, help="the CSV file with the stays")
    command.add_argument(
        "--of",
        default="not_known",
        metavar="WHAT",
        help="what it is: decides the ways it passes and its incubation (ringworm, mange, lice, "
        "fur_mites, airway, eyes, neck_abscess, gut, coccidia; default: not_known, all ways)",
    )
    command.add_argument(
        "--now", help="the moment up to which is reckoned, as 2026-03-20T12:00 (default: now)"
    )
    command.add_argument("--override", type=Path, help="lay your own vet's file on top")
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Write a CSV line for every animal, in the order of the file."""
    try:
        book = load_knowledge(override=arguments.override)
        kind = _kind(arguments.of, book)
        now = _now(arguments.now)
        with arguments.file.open(encoding="utf-8-sig", newline="") as file:
            read = read_stays(file, arguments.file.name)
        if not read.cases:
            msg = f"{arguments.file.name}: no line has a day in signs_on, so there is no case"
            raise BadFileError(msg)
    except (KnowledgeFaultError, OSError, BadFileError) as fault:
        print(fault, file=sys.stderr)
        return 2
    except UnicodeDecodeError:
        print(
            f"{arguments.file.name}: this is no text in UTF-8; save it as CSV UTF-8",
            file=sys.stderr,
        )
        return 2
    for line in some_of([_said(one, arguments.file.name) for one in read.faults]):
        print(line, file=sys.stderr)
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(WRITTEN)
    out.writerows(_rows(read, kind, now, book))
    return 1 if read.faults else 0


def _kind(name: str, book: Knowledge) -> OutbreakKind:
    kind = book.contagion.kind(name)
    if kind is None:
        known = ", ".join(one.id for one in book.contagion.outbreaks)
        msg = f"--of {name}: not known; known are {known}"
        raise BadFileError(msg)
    return kind


def _now(text: str | None) -> datetime:
    if text is None:
        return datetime.now(UTC)
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        msg = f"--now {text!r} is no moment; write it as 2026-03-20T12:00"
        raise BadFileError(msg) from None
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)


def _said(fault: StayFault, name: str) -> str:
    lines = " and ".join(str(stay.line) for stay in fault.stays)
    word = "lines" if len(fault.stays) > 1 else "line"
    return f"{name}: {word} {lines}: {fault.animal}: {fault.words} {fault.do}"


def _rows(
    read: StayFile, kind: OutbreakKind, now: datetime, book: Knowledge
) -> list[tuple[str, ...]]:
    shortest, longest = widest_incubation(kind, book)
    windows = [window_of(case, shortest, longest) for case in read.cases.values()]
    traced = trace(
        read.stays,
        read.uses,
        windows,
        now=now,
        lasts=lasts_of(kind, book),
        ways=ways_of(kind),
    )
    doubts: dict[str, list[str]] = {}
    for fault in read.faults:
        lines = " and ".join(str(stay.line) for stay in fault.stays)
        doubts.setdefault(fault.animal, []).append(f"{fault.code} in line {lines}")
    found = {one.animal: one for one in traced.exposures}
    counted = {case.animal for case in read.cases.values() if case.counts}
    return [
        _row(name, name in counted, found.get(name), "; ".join(doubts.get(name, ())))
        for name in read.animals
    ]


def _row(name: str, is_case: bool, one: Exposure | None, doubt: str) -> tuple[str, ...]:  # noqa: FBT001
    if is_case or one is None:
        return (name, "case" if is_case else "none", *[""] * (len(WRITTEN) - 3), doubt)
    last_step = one.chain[-1] if one.chain else None
    return (
        name,
        one.strength,
        _written(one.since),
        _written(one.last),
        "yes" if one.sure else "no",
        last_step.by if last_step else "",
        last_step.way or "" if last_step else "",
        last_step.place if last_step else "",
        " > ".join([one.chain[0].by, *(step.animal for step in one.chain)]) if one.chain else "",
        doubt,
    )


def _written(moment: datetime | None) -> str:
    """Blank where nobody knows, or where it goes back further than anything written down."""
    if moment is None or moment < datetime.min.replace(tzinfo=UTC) + timedelta(days=1):
        return ""
    return moment.astimezone(UTC).isoformat(timespec="minutes")
