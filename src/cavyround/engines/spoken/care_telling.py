"""How care is told: done, partly, left, refused or to come; one small grammar for all care."""

import re
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from cavyround.engines.conditions.triggers import OncePerBook
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.lexicon import expanded
from cavyround.knowledge.book import Knowledge

# Which words are not what they look like: these are taken out first.
MASKS = {
    "denied": ("no_denial",),
    "refused": ("no_denial",),
    "half": ("no_half",),
    "to_come": ("no_need", "no_to_come"),
    "did": ("no_did",),
}


class Telling:
    """The families of words that tell how it stands with care, ready to be looked for."""

    def __init__(self, book: Knowledge) -> None:
        """Make one pattern of each family."""
        self._patterns = {
            family: _pattern(phrases) for family, phrases in book.words.care_telling.items()
        }

    def of(self, items: Sequence[Item]) -> "Told":
        """What some words tell."""
        return Told(self, *_text(items))

    def places(self, family: str, text: str) -> list[tuple[int, int]]:
        """From where to where in a text a family is said."""
        for mask in MASKS.get(family, ()):
            text = self._patterns[mask].sub(lambda found: " " * len(found[0]), text)
        return [found.span() for found in self._patterns[family].finditer(text)]


@dataclass(frozen=True, slots=True)
class Told:
    """Some words of a note, and what they tell; places are numbers of items."""

    telling: Telling
    text: str
    begins: tuple[int, ...]
    known: dict[str, list[tuple[int, int]]] = field(default_factory=dict)

    def spans(self, family: str) -> list[tuple[int, int]]:
        """From which item up to, not with, which item a family is said, in order."""
        if family not in self.known:
            self.known[family] = [
                (bisect_right(self.begins, begin) - 1, bisect_right(self.begins, end - 1))
                for begin, end in self.telling.places(family, self.text)
            ]
        return self.known[family]

    def at(self, family: str) -> list[int]:
        """Which items a family begins at, in order."""
        return [begin for begin, _ in self.spans(family)]

    def says(self, *families: str) -> bool:
        """Whether any of some families is said."""
        return any(self.at(family) for family in families)


def _pattern(phrases: Iterable[str]) -> re.Pattern[str]:
    said = {" ".join(way.split()) for phrase in phrases for way in expanded(phrase)}
    longest_first = sorted(said, key=lambda one: (-len(one), one))
    return re.compile(rf"(?<![^ ])(?:{'|'.join(map(re.escape, longest_first))})(?![^ ])")


def _text(items: Sequence[Item]) -> tuple[str, tuple[int, ...]]:
    parts: list[str] = []
    begins: list[int] = []
    length = 0
    for item in items:
        begins.append(length)
        word = f"{item.word} {item.tail}" if item.tail else (item.word or item.name or item.stop)
        parts.append(word)
        length += len(word) + 1
    return " ".join(parts), tuple(begins)


telling_of = OncePerBook(Telling)
