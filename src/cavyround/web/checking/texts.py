"""JSON put together from values and from parts that are JSON already."""

import json
from collections.abc import Mapping
from typing import Any


def object_of(values: Mapping[str, Any], texts: Mapping[str, str]) -> str:
    """An object with the values, and with members whose JSON was written before."""
    members = [json.dumps(values)[1:-1], *(f'"{name}": {text}' for name, text in texts.items())]
    return "{" + ", ".join(member for member in members if member) + "}"
