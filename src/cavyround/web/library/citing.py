"""Sources as they are shown: resolved to titles, and said plainly where there is none."""

from collections.abc import Iterable
from dataclasses import dataclass

from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.rules import Source

PLAIN = {
    "common_practice": "common practice, no source",
    "judgement": "our own mapping; no published source states it",
}
KINDS = {
    "veterinary": "Veterinary references",
    "study": "Studies",
    "textbook": "Textbooks, from memory",
    "standard": "Standards",
    "official": "Official guidance",
    "charity": "Charities",
    "lay": "Lay pages",
    "common_practice": "No source",
    "judgement": "No source",
}


@dataclass(frozen=True, slots=True)
class Cited:
    """One source as shown: its key, its words, and how much of it was read."""

    key: str
    words: str
    read: str
    has_source: bool


def cited(book: Knowledge, keys: Iterable[str]) -> tuple[Cited, ...]:
    """The sources of a statement, each once, in their order."""
    return tuple(_one(key, book.sources.get(key)) for key in dict.fromkeys(keys))


def _one(key: str, source: Source | None) -> Cited:
    if source is None:
        return Cited(key, f"{key} (no longer in the list of sources)", "", has_source=False)
    plain = PLAIN.get(source.kind)
    if plain is not None:
        return Cited(key, plain, "", has_source=False)
    return Cited(key, source.title, source.read, has_source=True)
