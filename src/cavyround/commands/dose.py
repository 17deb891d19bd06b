"""``cavyround dose``: work out doses from a file, or say every reason why not."""

import argparse
import json
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from cavyround.commands.dose_cases import DoseCase, ReadyDose, ready_dose
from cavyround.engines.dosing import (
    Comparison,
    Dilution,
    Dose,
    Measure,
    Reason,
    Refusal,
    SetAside,
    work_out,
)
from cavyround.facts.quantities import Volume
from cavyround.facts.saying_amounts import amount_words, number_words, strength_words
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge
from cavyround.knowledge.reading import KnowledgeFaultError, read_yaml

HELP = """\
Work out doses from a YAML file and print each dose, or its refusal with all its reasons,
as JSON. Nothing is computed without an order that a vet gave. The file holds `cases`, a list:

  cases:
    - id: D1
      now: 2026-03-03T09:00:00Z          # left out: the time it is now
      order:
        drug: ivermectin
        dose: 0.4 mg/kg                  # per kg or per animal; a wash: 100 mL of 0.2 % w/v
        route: under the skin            # by mouth, into a muscle, on the skin, ...
        every: 10 days                   # or 12 hours, 2 weeks, once
        doses: 4                         # or until: 2026-04-02
        vet: Dr A. Vet
        ordered: 2026-03-01
        why: mites seen in a scraping
        strength: 10 mg/mL               # as ordered; the label must agree
        diluent: propylene glycol        # what the vet allows it to be thinned with
        limits: {not_under_g: 300, not_pregnant: yes}
      animal: {sex: boar, age_months: 20}
      weights: [{date: 2026-02-24, g: 790}, {date: 2026-03-03, g: 800}]
      product: {drug: ivermectin, strength: 1 % w/v}
      lot: {expires: 2027-01-31, opened: 2026-02-20}
      syringes: [ml_1_by_0_01, {holds_ml: 2.5, mark_ml: 0.1}]
      running: [meloxicam]
      allergies: []
      set_aside: [{key: tenfold, by: Dr A. Vet, role: vet, why: meant so}]

Other keys: order: counted_as, withdrawal_days, stopped, for_this_animal, limits not_over_g,
not_under_days, not_over_days, not_nursing; animal: neutered, pregnant, gave_birth_days_ago;
weights: doubted; last_dose_g; product: name, contains, counted_as, drop (30 drops/mL), g_per_ml,
use_within_days; lot: strength. Leave out what nobody knows. Codes of syringes and names of
medicines stand in `cavyround knowledge syringe` and `cavyround knowledge medicine`.
"""
ONE_PLACE = Decimal("0.1")


def add_to(commands: Any) -> None:
    """Add the command."""
    command = commands.add_parser(
        "dose",
        help="work out doses from a file, or print every reason why not",
        description=HELP,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    command.add_argument("file", type=Path, help="the YAML file with the cases")
    command.add_argument("--override", type=Path, help="lay your own vet's file on top")
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print the answers as a JSON list."""
    clock = datetime.now(UTC)
    try:
        book = load_knowledge(override=arguments.override)
        cases = list(read_dose_cases(arguments.file, clock=clock, book=book))
    except (KnowledgeFaultError, OSError) as fault:
        print(fault, file=sys.stderr)
        return 2
    print(json.dumps([answer_dose(name, one, book) for name, one in cases], indent=1))
    return 0


def read_dose_cases(
    path: Path, *, clock: datetime, book: Knowledge
) -> Iterator[tuple[str, ReadyDose]]:
    """The cases of a file with their ids; KnowledgeFaultError names case, field and fault."""
    listed = read_yaml(path).get("cases")
    if not isinstance(listed, list):
        raise KnowledgeFaultError([f"{path.name}: the file must hold `cases`, a list"])
    seen: set[str] = set()
    for index, data in enumerate(listed):
        name = data.get("id", index) if isinstance(data, dict) else index
        where = f"{path.name}: cases[{name}]"
        try:
            case = DoseCase.model_validate(data)
            made = ready_dose(case, clock=clock, book=book)
        except ValidationError as refused:
            faults = [
                f"{where}.{'.'.join(map(str, e['loc']))}: {e['msg']}"
                for e in refused.errors(include_url=False)
            ]
            raise KnowledgeFaultError(faults) from None
        except KeyError as unknown:
            known = ", ".join(book.medicines.syringes)
            fault = f"{where}.syringes: unknown syringe {unknown}; one of {known}"
            raise KnowledgeFaultError([fault]) from None
        except (ValueError, OverflowError) as odd:
            raise KnowledgeFaultError([f"{where}: {odd}"]) from None
        if case.id in seen:
            raise KnowledgeFaultError([f"{where}: the id is given twice"])
        seen.add(case.id)
        yield case.id, made


def answer_dose(name: str, one: ReadyDose, book: Knowledge) -> dict[str, Any]:
    """One case's dose or refusal as plain JSON values."""
    result = work_out(
        one.order, one.animal, one.weight, one.in_hand, now=one.now, book=book, also=one.also
    )
    said = _dose(result, book) if isinstance(result, Dose) else _refusal(result, book)
    return {"id": name, **said, "now": one.now.isoformat(), "knowledge": book.version}


def _dose(dose: Dose, book: Knowledge) -> dict[str, Any]:
    volume = dose.product.ml if isinstance(dose.product, Volume) else None
    return {
        "result": "dose",
        "drug": dose.drug,
        "route": dose.route_words,
        "weight": dose.weight.words if dose.weight else None,
        "amount": dose.amount_words,
        "product": amount_words(dose.product),
        "volume_ml": None if volume is None else number_words(volume),
        "measure": _measure(dose.measure),
        "gives": dose.gives_words,
        "by_hand": dose.by_hand,
        "published": _published(dose.published, book),
        "dilution": _dilution(dose.dilution),
        "better_diluted": _dilution(dose.instead),
        "cautions": [
            {"words": one.words, "sources": _titles(one.sources, book)} for one in dose.cautions
        ],
        "traps": [one.words for one in dose.traps],
        "second_person": list(dose.second_person),
        "controlled": dose.controlled,
        "withdrawal": dose.withdrawal_words or None,
        "set_aside": _aside(dose.set_aside),
    }


def _refusal(refusal: Refusal, book: Knowledge) -> dict[str, Any]:
    return {
        "result": "refusal",
        "drug": refusal.drug,
        "reasons": [
            {
                "key": reason.key,
                "code": reason.code,
                "words": reason.words,
                "do": reason.do,
                "may_override": reason.may,
                "sources": _titles(reason.sources, book),
            }
            for reason in refusal.reasons
        ],
        "diluted": _dilution(refusal.offered),
        "set_aside": _aside(refusal.set_aside),
    }


def _measure(measure: Measure) -> dict[str, Any]:
    error = measure.error_pct.quantize(ONE_PLACE, ROUND_HALF_UP)
    return {
        "words": measure.words,
        "to": amount_words(measure.to),
        "syringe": measure.device or None,
        "rounded": measure.direction,
        "error_pct": float(error),
    }


def _dilution(dilution: Dilution | None) -> dict[str, Any] | None:
    if dilution is None:
        return None
    return {
        "factor": number_words(dilution.factor),
        "strength": strength_words(dilution.strength),
        "volume": amount_words(dilution.volume),
        "steps": list(dilution.steps),
        "measure": _measure(dilution.measure),
        "with": dilution.diluent or None,
    }


def _published(comparison: Comparison, book: Knowledge) -> dict[str, Any]:
    return {
        "verdict": comparison.verdict,
        "words": comparison.words,
        "ranges": [
            {
                "words": row.words,
                "dose_is": row.standing,
                "often": row.often or None,
                "sure": row.sure,
                "note": row.note or None,
                "sources": _titles(row.sources, book),
            }
            for row in comparison.ranges
        ],
    }


def _aside(pairs: tuple[tuple[Reason, SetAside], ...]) -> list[dict[str, str]]:
    return [
        {"key": reason.key, "words": reason.words, "by": by.by, "role": by.role, "why": by.why}
        for reason, by in pairs
    ]


def _titles(keys: tuple[str, ...], book: Knowledge) -> list[str]:
    return [book.source_title(key) for key in dict.fromkeys(keys)]
