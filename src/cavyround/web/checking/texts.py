"""JSON put together from values and from parts that were written as JSON before."""

import json
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from cavyround.web.checking.codes import words_of_codes


def object_of(values: Mapping[str, Any], texts: Mapping[str, str]) -> str:
    """An object with the values, and with members whose JSON was written before."""
    members = [json.dumps(values)[1:-1], *(f'"{name}": {text}' for name, text in texts.items())]
    return "{" + ", ".join(member for member in members if member) + "}"


@lru_cache(maxsize=1)
def texts_of_words(version: str) -> dict[str, str]:
    """The words for every code, each part as JSON by its name; once for each knowledge."""
    return {name: json.dumps(value) for name, value in words_of_codes(version).items()}
