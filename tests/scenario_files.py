"""The coded cases under ``scenarios/``: read, completed and answered."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from cavyround.commands.cases import Case, ready
from cavyround.commands.triage import answer_case, read_cases
from cavyround.engines.triage import urgency_of
from cavyround.engines.weight import weight_signs
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.reading import read_yaml
from cavyround.knowledge.urgency import Urgency

FOLDER = Path(__file__).parent / "scenarios"
OWN_WORDS = ("worked_cases.yaml", "field_cases.yaml")
OTHER_WORDS = "other_words.yaml"
Written = dict[str, Any]


def _listed(name: str) -> list[Written]:
    listed = read_yaml(FOLDER / name)["cases"]
    assert isinstance(listed, list)
    return listed


@cache
def written() -> Mapping[str, Written]:
    """The worked and the field cases as they stand in the files, by id."""
    return {case["id"]: case for name in OWN_WORDS for case in _listed(name)}


@cache
def reworded() -> Mapping[str, Written]:
    """The cases in other words, completed from the case each is the same as."""
    return {
        other["id"]: {
            **written()[other["same_as"]],
            **{key: said for key, said in other.items() if key != "same_as"},
        }
        for other in _listed(OTHER_WORDS)
    }


def codes_are_known(book: Knowledge) -> int:
    """Read the files as the command does, which refuses unknown codes; how many there are."""
    return sum(len(list(read_cases(FOLDER / name, book))) for name in OWN_WORDS)


def answer(case: Written, book: Knowledge) -> Written:
    """What the command answers."""
    return answer_case(Case.model_validate(case), book)


def urgency(case: Written, book: Knowledge) -> Urgency:
    """Only the level."""
    asked = ready(Case.model_validate(case))
    signs = weight_signs(asked.facts, now=asked.now, book=book)
    return urgency_of(asked.facts, now=asked.now, book=book, signs=signs)
