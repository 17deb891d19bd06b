"""``cavyround triage``: run coded cases from a file through the triage engine."""

import argparse
import json
import sys
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from cavyround.commands.cases import Case, ready
from cavyround.engines.triage import Answer, assess
from cavyround.engines.weight import weight_signs
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge
from cavyround.knowledge.reading import KnowledgeFaultError, read_yaml

HELP = """\
Run coded cases from a YAML file and print the answers as JSON. The file holds `cases`, a list:

  cases:
    - id: A1
      setting: resident              # resident, new_arrival, quarantine, isolation, nursery, foster
      signalment: {sex: sow, neutered: no, age_months: 30, pregnant: no}
      weights: [{date: 2026-03-01, g: 960}, {date: 2026-03-08, g: 941}]
      findings:
        - {region: eye, side: R, finding: discharge, kind: [yellow], hours: 24}
        - {region: appetite, finding: eating_less}
      events: [{what: rabbit_contact, days_ago: 3}]

The codes stand in `cavyround knowledge`; leave out what nobody knows.
"""


def add_to(commands: Any) -> None:
    """Add the command."""
    command = commands.add_parser(
        "triage",
        help="run coded cases from a file and print urgency, problems and advice",
        description=HELP,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    command.add_argument("file", type=Path, help="the YAML file with the cases")
    command.add_argument("--override", type=Path, help="lay your own vet's file on top")
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print the answers as a JSON list."""
    try:
        book = load_knowledge(override=arguments.override)
        cases = list(read_cases(arguments.file, book))
    except (KnowledgeFaultError, OSError) as fault:
        print(fault, file=sys.stderr)
        return 2
    print(json.dumps([answer_case(case, book) for case in cases], indent=1))
    return 0


def read_cases(path: Path, book: Knowledge) -> Iterator[Case]:
    """The cases of a file; raises KnowledgeFaultError naming case, field and fault."""
    listed = read_yaml(path).get("cases")
    if not isinstance(listed, list):
        raise KnowledgeFaultError([f"{path.name}: the file must hold `cases`, a list"])
    for index, data in enumerate(listed):
        name = data.get("id", index) if isinstance(data, dict) else index
        try:
            case = Case.model_validate(data)
        except ValidationError as refused:
            faults = [
                f"{path.name}: cases[{name}].{'.'.join(map(str, e['loc']))}: {e['msg']}"
                for e in refused.errors(include_url=False)
            ]
            raise KnowledgeFaultError(faults) from None
        if faults := _unknown_codes(case, book, f"{path.name}: cases[{name}]"):
            raise KnowledgeFaultError(faults)
        yield case


def _unknown_codes(case: Case, book: Knowledge, where: str) -> list[str]:
    words = book.vocabulary
    faults: list[str] = []
    places = [(one.region, one.finding) for one in case.failed_rechecks]
    places += [(one.region, one.finding) for one in case.marks]
    for region, finding in places:
        faults += [] if region in words.regions else [f"{where}: unknown region {region!r}"]
        faults += [] if finding in words.findings else [f"{where}: unknown finding {finding!r}"]
    for found in (*case.findings, *(case.before or ())):
        said = (
            ("region", [found.region], words.regions),
            ("finding", [found.finding], words.findings),
            ("kind", found.kind, words.kinds),
            ("unit", [found.unit] if found.unit else [], words.units),
        )
        for what, codes, known in said:
            faults += [f"{where}: unknown {what} {code!r}" for code in codes if code not in known]
    unknown = [event.what for event in case.events if event.what not in words.events]
    return faults + [f"{where}: unknown event {what!r}" for what in unknown]


def answer_case(case: Case, book: Knowledge) -> dict[str, Any]:
    """One case's answer as plain JSON values."""
    readied = ready(case)
    signs = weight_signs(readied.facts, now=readied.now, book=book)
    answer = assess(readied.facts, now=readied.now, book=book, signs=signs)
    return {
        "id": case.id,
        "urgency": answer.urgency.code,
        "problems": [problem.code for problem in answer.problems],
        "isolate": "yes" if answer.isolate else "no",
        "zoonotic_caution": "yes" if answer.catching else "no",
        "recheck_hours": answer.within / timedelta(hours=1),
        "rules": [one.rule for one in answer.because],
        "questions": [question.id for question in answer.questions],
        "text": in_words(answer, book),
    }


def in_words(answer: Answer, book: Knowledge) -> str:
    """The answer as a carer reads it."""
    lines = [book.urgency_words(answer.urgency)]
    lines += [problem.words for problem in answer.problems]
    lines += [line.words for line in answer.do_now]
    lines += [line.words for line in answer.do_not]
    return "\n".join(lines)
