"""``cavyround pens``: plan the pens of a house from a file, or say why there is no plan."""

import argparse
import json
import sys
from pathlib import Path
from typing import Any

from cavyround.commands.house_file import BadHouseError, floors_below, read_house
from cavyround.engines.housing import (
    Impossible,
    NotFound,
    Proposal,
    Why,
    as_it_is,
    propose,
)
from cavyround.engines.housing.planning import Elsewhere, Placement
from cavyround.engines.housing.solving import EFFORT
from cavyround.knowledge.loading import load_knowledge
from cavyround.knowledge.reading import KnowledgeFaultError

HELP = """\
Reads animals, pens, bonds and quarrels from FILE.yaml and writes a plan as JSON: where each
would live, with whom and why, and why not elsewhere; or, where the rules leave no plan, which
rules stand in the way, who finds no place, and what would free it. It moves nobody.

Hard rules are never broken: sexes, quarantine, infections, enemies, pups with their mother,
bonded ones together, the kind of a pen, its floor. Then, in this order: nobody alone, the
fewest moves, the least to be careful about. "proven": true says that no plan is better.
What is left out of an animal counts as not known: an unknown sex counts as either.

  today: 2026-03-03
  animals:
    - {id: fern, sex: sow, sure: sure, neutered: "no", born: 2025-01-10, grams: 950, pen: hayloft}
    - {id: sage, sex: sow, sure: sure, neutered: "no", born: 2025-01-10, grams: 900, pen: hayloft}
    - {id: moss, sex: boar, sure: two_people, neutered: "yes", castrated_on: 2026-02-20}
    - {id: rue, sex: sow, health: quarantine, cohort: monday}
  pens:
    - {id: hayloft, kind: residents, room: long, area_cm2: 9800}
    - {id: shed, kind: quarantine, room: shed, area_cm2: 7200}
    - {id: clover, kind: residents, room: long, area_cm2: 7200}
  bonded: [[fern, sage]]
  quarrels: [{between: [fern, moss], on: 2026-01-05, blood: yes}]
  rules: {floor: [{animals: 2, area_cm2: 7200}], source: "our own minimum"}   # may be left out

animals: id, name, sex, sure, neutered, castrated_on, born or born_earliest and born_latest,
arrived_on, grams, pen, health (well, quarantine, watched,
sick, isolated), cohort, infections,
expecting_until, dam, sucks_from, alone_because, keeps_alone (yes: nobody is put with it).
pens: id, name, room, kind (nursery, residents, foster, quarantine, sick_bay, isolation), area_cm2.

It is made for a house of up to 300 animals and 200 pens; a larger file is refused. While it works
it says so on the error output. A floor under `rules` names its source; where it lies below the
published one, "careful" says so with both figures.

Ends with 0 for a plan, 1 where there is none, 2 where the file cannot be read.
"""


def add_to(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    command = commands.add_parser(
        "pens",
        help="plan the pens of a house from a YAML file, or say why there is no plan",
        description=HELP,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    command.add_argument("file", type=Path, help="the YAML file with animals and pens")
    command.add_argument(
        "--effort",
        type=float,
        default=EFFORT,
        help="how hard the solver works for each wish before it settles for the best it found "
        f"(its own measure, about seconds; default {EFFORT:g})",
    )
    command.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Write the plan, or the reasons, as JSON."""
    try:
        book = load_knowledge()
        house = read_house(arguments.file, book)
    except (KnowledgeFaultError, BadHouseError, OSError) as fault:
        print(fault, file=sys.stderr)
        return 2
    # The answer goes to the standard output, which may be a file: this is for whoever waits.
    print(
        f"{arguments.file.name}: {len(house.animals)} animals, {len(house.pens)} pens. Looking for "
        "a plan; a large house takes minutes.",
        file=sys.stderr,
        flush=True,
    )
    answer = propose(house, effort=arguments.effort)
    told = _told(answer) | {
        "as_it_is": [_why(why) for why in as_it_is(house)],
        "careful": floors_below(house, book),
    }
    json.dump(told, sys.stdout, indent=2, ensure_ascii=False)
    print()
    return 0 if isinstance(answer, Proposal) else 1


def _told(answer: Proposal | Impossible | NotFound) -> dict[str, Any]:
    if isinstance(answer, NotFound):
        return {"plan": None, "why": answer.words}
    if isinstance(answer, Proposal):
        return {
            "plan": {one.animal: one.pen for one in answer.placements},
            "proven": answer.proven,
            "cost": {
                "alone": answer.cost.alone,
                "moves": answer.cost.moves,
                "warnings": answer.cost.warnings,
            },
            "placements": [_placement(one) for one in answer.placements],
            "bonded_but_parted": [list(pair) for pair in answer.parted_bonds],
        }
    return {
        "plan": None,
        "rules_in_the_way": [_why(why) for why in answer.rules],
        "all_of_them_at_once": answer.all_of_them,
        "no_place": [
            {"animal": one.animal, "pens": _elsewhere(one.elsewhere)} for one in answer.no_place
        ],
        "would_free_it": list(answer.frees),
    }


def _placement(one: Placement) -> dict[str, Any]:
    return {
        "animal": one.animal,
        "pen": one.pen,
        "was": one.was or None,
        "moves": one.moves,
        "beside": list(one.beside),
        "because": list(one.because),
        "careful": [_why(why) for why in one.warnings],
        "not_elsewhere": _elsewhere(one.elsewhere),
    }


def _elsewhere(pens: tuple[Elsewhere, ...]) -> dict[str, str]:
    return {one.pen: one.why for one in pens}


def _why(why: Why) -> dict[str, Any]:
    return {
        "rule": why.rule,
        "hard": why.hard,
        "words": why.words,
        "detail": why.detail,
        "frees": why.frees,
        "sources": list(why.sources),
        "animals": list(why.animals),
    }
