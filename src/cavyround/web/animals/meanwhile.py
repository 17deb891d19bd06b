"""What a form showed when it was opened, so that a stale one reverts nobody's statement."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from cavyround.record.animals import STATED_FIELDS
from cavyround.record.models import Animal


@dataclass(frozen=True, slots=True)
class Meanwhile:
    """A detail that somebody else stated anew after the form was opened."""

    field: str
    now: Any
    typed: Any


def as_shown(animal: Animal) -> str:
    """The stated details as a form shows them, to be sent back with it."""
    shown = {name: _plain(getattr(animal, name)) for name in STATED_FIELDS}
    return json.dumps(shown, sort_keys=True)


def read_shown(text: str, animal: Animal) -> dict[str, Any]:
    """What a form says it showed; what it does not say is taken as what stands now."""
    try:
        said = json.loads(text)
    except (ValueError, RecursionError):
        said = None
    known = said if isinstance(said, dict) else {}
    return {name: known.get(name, _plain(getattr(animal, name))) for name in STATED_FIELDS}


def changed(details: Mapping[str, Any], shown: Mapping[str, Any]) -> dict[str, Any]:
    """The details that differ from what the form showed: only these are stated anew."""
    return {name: value for name, value in details.items() if _plain(value) != shown[name]}


def stated_meanwhile(
    changes: Mapping[str, Any], shown: Mapping[str, Any], animal: Animal
) -> Iterator[Meanwhile]:
    """The changes whose detail now stands otherwise than the form showed, and than it says."""
    for name, typed in changes.items():
        now = _plain(getattr(animal, name))
        if now not in (shown[name], _plain(typed)):
            yield Meanwhile(name, now, _plain(typed))


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, date) else value
