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
from cavyround.commands.told_cases import ToldCase, coded, is_told
from cavyround.engines.spoken.telling import Told
from cavyround.engines.triage import Answer, assess
from cavyround.engines.weight import weight_signs
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge
from cavyround.knowledge.reading import KnowledgeFaultError, read_yaml, read_yaml_list
from cavyround.knowledge.urgency import Urgency

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

A case may also be told in plain words, each region with what was found there; a file may then be
a plain list of such cases:

  - id: B1
    setting: resident
    signalment: {sex: female, neutered: no, age_months: 20, pregnant: no, coat_and_skin: cream}
    weights: [{date: 2026-03-01, g: 960}]
    findings: {droppings: "Small and few", appetite: "Leaves her hay", whole: "A bit quiet"}
    duration: Since yesterday

--explain shows what was read from which words, the rules that fired, and their sources.
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
    command.add_argument(
        "--explain", action="store_true", help="show findings, rules and sources in plain words"
    )
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print the answers as a JSON list."""
    try:
        book = load_knowledge(override=arguments.override)
        cases = list(read_both(arguments.file, book))
    except (KnowledgeFaultError, OSError) as fault:
        print(fault, file=sys.stderr)
        return 2
    if arguments.explain:
        print("\n\n".join(explained(case, told, book) for case, told in cases))
    else:
        print(json.dumps([told_answer(case, told, book) for case, told in cases], indent=1))
    return 0


def read_cases(path: Path, book: Knowledge) -> Iterator[Case]:
    """The cases of a file, all in codes; raises KnowledgeFaultError naming case and fault."""
    return (case for case, _ in read_both(path, book))


def read_both(path: Path, book: Knowledge) -> Iterator[tuple[Case, Told | None]]:
    """The cases of a file, and what was read from words.

    Raises KnowledgeFaultError naming case, field and fault.
    """
    listed = read_yaml_list(path)
    if listed is None or not all(isinstance(one, dict) for one in listed):
        listed = read_yaml(path).get("cases")
    if not isinstance(listed, list):
        raise KnowledgeFaultError([f"{path.name}: the file must hold `cases`, a list"])
    for index, data in enumerate(listed):
        name = data.get("id", index) if isinstance(data, dict) else index
        try:
            case, told = Case.model_validate(data) if not is_told(data) else None, None
            if case is None:
                read = coded(ToldCase.model_validate(data), book)
                case, told = read.case, read.told
        except ValidationError as refused:
            faults = [
                f"{path.name}: cases[{name}].{'.'.join(map(str, e['loc']))}: {e['msg']}"
                for e in refused.errors(include_url=False)
            ]
            raise KnowledgeFaultError(faults) from None
        if faults := _unknown_codes(case, book, f"{path.name}: cases[{name}]"):
            raise KnowledgeFaultError(faults)
        yield case, told


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


# What the words may have told, and nobody could read: the level is not raised for it, or every
# case would be one, but it is said what would be an emergency (findings table).
VITAL = {
    "appetite": "What is told of its eating was not understood. If it eats nothing, ring the"
    " vet now.",
    "droppings": "What is told of its droppings was not understood. If none come, or water, ring"
    " the vet now.",
    "urine": "What is told of its urine was not understood. If it strains and none comes, ring the"
    " vet now.",
    "breathing": "What is told of its breathing was not understood. If its sides heave, its mouth"
    " stands open or it makes a noise, ring the vet now.",
}


def told_answer(case: Case, told: Told | None, book: Knowledge) -> dict[str, Any]:
    """The answer; words that were not understood never leave an animal as it should be."""
    answer = answer_case(case, book)
    if told is None or not told.not_understood:
        return answer
    said = "; ".join(told.not_understood)
    answer["not_understood"] = list(told.not_understood)
    answer["text"] += f"\nThese words were not understood, look again: {said}"
    unsaid = [VITAL[region] for region in told.unread_at if region in VITAL]
    answer["text"] += "".join(f"\n{line}" for line in unsaid)
    if answer["urgency"] == Urgency.NORMAL.code:
        again = book.look_again(Urgency.CARER_RECHECK) / timedelta(hours=1)
        answer["urgency"] = Urgency.CARER_RECHECK.code
        answer["recheck_hours"] = min(answer["recheck_hours"], again)
    return answer


def explained(case: Case, told: Told | None, book: Knowledge) -> str:
    """A case in plain words: what was read, why the answer is what it is, and the sources."""
    readied = ready(case)
    signs = weight_signs(readied.facts, now=readied.now, book=book)
    answer = assess(readied.facts, now=readied.now, book=book, signs=signs)
    lines = [f"{case.id}: {book.urgency_words(answer.urgency)}"]
    for one, text in told.findings if told is not None else ():
        said = " … ".join(text[span.start : span.end] for span in one.spans)
        lines.append(
            f"  read: {book.place_words(one.region, one.side)}, {one.finding} "
            f'{one.status.value}  <- "{said}"'
        )
    if told is not None:
        lines += [f"  NOT UNDERSTOOD, look again: {text}" for text in told.not_understood]
        lines += [f"  happened: {book.vocabulary.events[what]}" for what in told.events]
    lines += [f"  problem: {problem.words}" for problem in answer.problems]
    for why in answer.because:
        sources = "; ".join(book.source_title(key) for key in why.sources)
        rests = ", ".join(why.rests_on)
        lines.append(
            f"  rule {why.rule} ({why.urgency.code}): {why.says} [{rests}] Source: {sources}"
        )
    return "\n".join(lines)


def in_words(answer: Answer, book: Knowledge) -> str:
    """The answer as a carer reads it."""
    lines = [book.urgency_words(answer.urgency)]
    lines += [problem.words for problem in answer.problems]
    lines += [line.words for line in answer.do_now]
    lines += [line.words for line in answer.do_not]
    return "\n".join(lines)
