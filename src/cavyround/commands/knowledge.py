"""``cavyround knowledge``: all the knowledge with its sources, or whether the files are sound."""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from cavyround.commands.medicine_entries import medicine_entries
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import DATA, load_knowledge
from cavyround.knowledge.reading import KnowledgeFaultError
from cavyround.knowledge.rules import Rule


def add_to(commands: Any) -> None:
    """Add the command."""
    command = commands.add_parser(
        "knowledge",
        help="show the steps, findings, rules, infections and medicines with their sources",
        description="Show all the knowledge with its sources, or search it, or check the files.",
    )
    command.add_argument("words", nargs="*", help="show only entries that hold all these words")
    command.add_argument("--check", action="store_true", help="only check the files")
    command.add_argument("--folder", type=Path, default=DATA, help="read other knowledge files")
    command.add_argument("--override", type=Path, help="lay your own vet's file on top")
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Show, search or check."""
    try:
        book = load_knowledge(arguments.folder, arguments.override)
    except KnowledgeFaultError as fault:
        print(f"{len(fault.faults)} faults:\n{fault}", file=sys.stderr)
        return 2
    if arguments.check:
        print(
            f"knowledge {book.version}: {len(book.steps)} steps, {len(book.rules)} rules, "
            f"{len(book.infections)} parasites and infections, {len(book.thresholds)} thresholds, "
            f"{len(book.questions)} questions, {len(book.medicines.formulary)} medicines, "
            f"{len(book.medicines.dangers)} dangers, {len(book.sources)} sources; no faults"
        )
        return 0
    wanted = [word.lower() for word in arguments.words]
    shown = 0
    for entry in _entries(book):
        if all(word in entry.lower() for word in wanted):
            print(entry, end="\n\n")
            shown += 1
    if not shown:
        print(f"Nothing holds all of: {' '.join(arguments.words)}", file=sys.stderr)
        return 1
    return 0


def _entries(book: Knowledge) -> Iterator[str]:
    for step in book.steps:
        lines = [f"STEP {step.code}: {step.words} ({step.why})"]
        lines += [f"  look: {words}" for words in step.look]
        lines += [f"  feel: {words}" for words in step.feel]
        lines += [f"  smell: {words}" for words in step.smell]
        lines += [f"  normal: {words}" for words in step.normal]
        lines += [f"  varies with {one.with_}: {one.words}" for one in step.varies]
        lines += [f"  care: {one.words}" for one in step.care]
        lines += [f"  never: {words}" for words in step.never]
        yield "\n".join([*lines, _sources(book, step.sources)])
    yield from (_rule(book, rule) for rule in book.rules)
    for infection in book.infections:
        lines = [f"{infection.kind.upper()} {infection.id}: {infection.name}"]
        for name in ("cycle", "incubation", "infectious", "off_host", "retreat"):
            span = getattr(infection, name)
            if span is not None:
                said = f"  {name.replace('_', ' ')}: {span.words}"
                lines.append(f"{said} {span.note} [{', '.join(span.sources)}]")
        lines += [f"  no number found: {what}" for what in infection.not_found]
        yield "\n".join([*lines, _sources(book, infection.sources)])
    for name, limit in book.thresholds.items():
        yield (
            f"THRESHOLD {name}: {limit.words}, for {limit.holds_for}. {limit.note}\n"
            + _sources(book, limit.sources)
        )
    for fact in book.trade:
        yield f"FACT {fact.id}: {fact.words}\n{_sources(book, fact.sources)}"
    for caution in book.cautions:
        yield f"CAUTION {caution.id}: {caution.words}\n{_sources(book, caution.sources)}"
    for row in book.kept_apart:
        days = f"; proposed: {row.proposed.low} to {row.proposed.high} days" if row.proposed else ""
        yield f"APART {row.id}: {row.words}. {row.published}{days}\n{_sources(book, row.sources)}"
    yield from medicine_entries(book)


def _rule(book: Knowledge, rule: Rule) -> str:
    lines = [f"RULE {rule.id}: {rule.says}"]
    lines.append(f"  urgency: {book.urgency_words(rule.urgency)}")
    if rule.overridden is not None:
        said = rule.overridden
        lines.append(f"  OVERRIDDEN by {said.by} on {said.on}: {said.why}")
    if rule.causes:
        lines.append(f"  may be: {'; '.join(rule.causes)}")
    lines.append(f"  catching: {rule.contagious}; to people: {rule.zoonotic}")
    lines += [f"  do: {words}" for words in rule.do_now]
    lines += [f"  do not: {words}" for words in rule.do_not]
    lines.append(_sources(book, (*rule.sources, *rule.urgency_sources)))
    return "\n".join(lines)


def _sources(book: Knowledge, keys: tuple[str, ...]) -> str:
    titles = dict.fromkeys(book.source_title(key) for key in keys)
    return "\n".join(f"  source: {title}" for title in titles)
