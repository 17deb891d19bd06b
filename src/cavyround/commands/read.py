"""``cavyround read``: spoken notes from a file, read into findings."""

import argparse
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from cavyround.engines.spoken import ReadNote, Span, as_gold, read_note
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge
from cavyround.knowledge.reading import KnowledgeFaultError
from cavyround.knowledge.trained import trained_weights

HELP = """\
Read spoken notes, one a line as JSON, and print one answer a line:

  {"id": "A1", "text": "Otter nine eight five, eyes clear, no discharge", "animals": ["Otter"]}

`animals` holds the names in the pen and may be left out. Nothing is recorded.
A file that is WebVTT or SubRip is one note.
"""


def add_to(commands: Any) -> None:
    """Add the command."""
    command = commands.add_parser(
        "read",
        help="read spoken notes from a file into findings, care and steps",
        description=HELP,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    command.add_argument("file", type=Path, help="the notes: JSON lines, WebVTT or SubRip")
    command.add_argument(
        "--explain", action="store_true", help="show each finding with the words it came from"
    )
    command.add_argument(
        "--by-rules",
        action="store_true",
        help="leave out the trained second reading: each answer then follows from written rules",
    )
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print one answer a line."""
    try:
        book = load_knowledge()
        notes = list(read_file(arguments.file))
    except (KnowledgeFaultError, OSError, ValueError) as fault:
        print(fault, file=sys.stderr)
        return 2
    trained = None if arguments.by_rules else trained_weights()
    for note in notes:
        read = read_note(note["text"], book=book, pen=note["animals"], trained=trained)
        if arguments.explain:
            print(explained(note, read, book))
        else:
            print(json.dumps({"id": note["id"], "animals": as_gold(read)}, ensure_ascii=False))
    return 0


def read_file(path: Path) -> Iterator[dict[str, Any]]:
    """The notes of a file; raises ValueError naming the line that is none."""
    text = path.read_text(encoding="utf-8-sig")
    if "-->" in text and not text.lstrip().startswith("{"):
        yield {"id": path.stem, "text": text, "animals": ()}
        return
    for number, line in enumerate(text.splitlines(), 1):
        if line.strip():
            yield _note(line, f"{path.name}, line {number}")


def _note(line: str, where: str) -> dict[str, Any]:
    try:
        data = json.loads(line)
    except json.JSONDecodeError as fault:
        msg = f"{where}: this is no JSON ({fault.msg}); each line holds one note"
        raise ValueError(msg) from None
    if not isinstance(data, dict) or not isinstance(data.get("text"), str):
        msg = f"{where}: a note needs `text`, the words that were spoken"
        raise ValueError(msg)
    names = data.get("animals") or ()
    # A worked note holds its answers under the same key: they are not looked at.
    pen = [name for name in names if isinstance(name, str)] if isinstance(names, list) else []
    return {"id": data.get("id", where), "text": data["text"], "animals": pen}


def explained(note: dict[str, Any], read: ReadNote, book: Knowledge) -> str:
    """A note as a carer reads it: each finding with its words, and what was left out."""
    text = note["text"]
    lines = [f"{note['id']}: {text}"]
    lines += [
        f"  EMERGENCY SIGN, {flag.animal}: {flag.says} (rule {flag.rule})"
        for flag in read.red_flags
    ]
    for animal in read.animals:
        lines.append(f"  {animal.name}")
        for finding in animal.findings:
            doubt = f" ({finding.why_unsure})" if finding.why_unsure else ""
            amount = f" {finding.value} {finding.unit or ''}".rstrip() if finding.value else ""
            place = book.place_words(finding.region, finding.side)
            lines.append(
                f"    {place}: {finding.finding} {finding.status.value}{amount}{doubt}"
                f"  <- {_quoted(text, finding.spans)}"
            )
        for care in animal.care:
            amount = f" {care.value} {care.unit or '(unit not said)'}" if care.value else ""
            lines.append(
                f"    care {care.care} {care.status} {care.product}{amount}".rstrip()
                + f"  <- {_quoted(text, care.spans)}"
            )
        if animal.blanket:
            lines.append(
                f"    a blanket word, no look: {', '.join(animal.steps_blanket)}"
                f"  <- {_quoted(text, animal.blanket_spans)}"
            )
        lines += [f"    ask: {ask.words}" for ask in animal.asks]
    left = [
        f"{text[word.span.start : word.span.end]}({word.left_out})"
        for word in read.words
        if word.left_out
    ]
    if left:
        lines.append(f"  left out: {' '.join(left)}")
    return "\n".join(lines)


def _quoted(text: str, spans: tuple[Span, ...]) -> str:
    return " … ".join(f'"{text[span.start : span.end]}"' for span in spans)
