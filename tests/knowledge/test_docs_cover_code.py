"""The page about the knowledge files names everything a file may say."""

import re
from pathlib import Path

import pytest
from pydantic import BaseModel

from cavyround.knowledge.conditions import AnimalIs, AtLeast, Condition, Happened, Seen
from cavyround.knowledge.dangling import COATS, WEIGHT_SIGNS
from cavyround.knowledge.loading import DATA
from cavyround.knowledge.rules import AddsToAnimal, QuestionAsked, Rule
from cavyround.knowledge.steps import Hold, Step

DOCS = (Path(__file__).parents[2] / "docs" / "knowledge.md").read_text(encoding="utf-8")
# Written by the loader or for one file of our own, never by whoever writes a rule.
NOT_WRITTEN = {"overridden", "fallback"}


def keys_of(model: type[BaseModel]) -> set[str]:
    return {field.alias or name for name, field in model.model_fields.items()} - NOT_WRITTEN


def names(code: str) -> bool:
    return re.search(rf"(?<![a-z_]){re.escape(code)}(?![a-z_])", DOCS) is not None


@pytest.mark.parametrize("model", [Condition, AtLeast, Seen, AnimalIs, Happened])
def test_the_page_names_every_key_of_a_condition(model: type[BaseModel]) -> None:
    assert {key for key in keys_of(model) if not names(key)} == set()


@pytest.mark.parametrize("model", [Rule, QuestionAsked, Hold, Step, AddsToAnimal])
def test_the_page_names_every_key_of_an_entry(model: type[BaseModel]) -> None:
    if model is AddsToAnimal:
        assert names("animal: {field: value}")
        return
    assert {key for key in keys_of(model) if not names(key)} == set()


@pytest.mark.parametrize("sign", sorted(WEIGHT_SIGNS))
def test_the_page_names_every_sign_of_the_weighings(sign: str) -> None:
    assert names(sign)


def test_the_page_names_every_file() -> None:
    files = {path.relative_to(DATA).as_posix() for path in DATA.rglob("*.yaml")}
    plain = {file for file in files if not file.startswith(("findings/", "rules/", "vocabulary"))}
    assert {file for file in plain if file.rpartition("/")[2] not in DOCS} == set()


def test_the_page_names_no_coat_that_there_is_not() -> None:
    [listed] = re.findall(r"`coat: \[([a-z, ]+), …\]`", DOCS)
    assert set(listed.split(", ")) <= COATS
