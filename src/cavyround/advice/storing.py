"""Advice as JSON and back, exactly: what was said can be shown and run again years later."""

from functools import cache
from typing import Any, TypeVar

from pydantic import TypeAdapter

from cavyround.engines.triage.answer import Answer
from cavyround.engines.weight.said import Reading
from cavyround.facts.animal import AnimalFacts

V = TypeVar("V")


@cache
def _adapter(kind: type[V]) -> TypeAdapter[V]:
    return TypeAdapter(kind)


def as_json(value: Answer | AnimalFacts | Reading) -> Any:
    """A value of the engines as JSON."""
    return _adapter(type(value)).dump_python(value, mode="json")  # type: ignore[arg-type]


def answer_from(data: Any) -> Answer:
    """An answer as it was stored."""
    answer: Answer = _adapter(Answer).validate_python(data)
    return answer


def reading_from(data: Any) -> Reading:
    """What weights said, as it was stored."""
    reading: Reading = _adapter(Reading).validate_python(data)
    return reading


def facts_from(data: Any) -> AnimalFacts:
    """Facts as they were stored."""
    facts: AnimalFacts = _adapter(AnimalFacts).validate_python(data)
    return facts
