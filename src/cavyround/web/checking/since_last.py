"""What changed since last time, as the advice rests on it."""

from dataclasses import dataclass

from cavyround.advice.book import book
from cavyround.advice.storing import facts_from
from cavyround.engines.check import changed_since
from cavyround.facts.observation import Observation
from cavyround.record.models import AdviceGiven

HEADS = {"new": "New", "bigger": "Bigger or worse", "same": "The same as before", "gone": "Gone"}


@dataclass(frozen=True, slots=True)
class Change:
    """One kind of change, with what changed so."""

    code: str
    head: str
    words: tuple[str, ...]


def changes_of(given: AdviceGiven) -> list[Change]:
    """New, bigger, the same, gone: nothing for an animal that was never checked before."""
    stored = given.inputs.get("facts")
    if not stored:
        return []
    facts = facts_from(stored)
    if not facts.checked_before:
        return []
    sorted_out = changed_since(facts.observations, facts.before)
    changes = (
        Change(how, head, tuple(map(_words, filter(_is_told, sorted_out[how]))))
        for how, head in HEADS.items()
    )
    return [one for one in changes if one.words]


def _is_told(seen: Observation) -> bool:
    return not book().is_benign(seen.finding)


def _words(seen: Observation) -> str:
    return book().observation_words(seen)
