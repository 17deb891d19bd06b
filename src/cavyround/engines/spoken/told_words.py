"""The words of told cases: families of phrases, each heard only at the places it is said of.

A tree of every way of saying them would be far too large, so a phrase is kept as its parts, each
with its ways, and matched part by part.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from cavyround.engines.conditions.triggers import OncePerBook
from cavyround.engines.spoken.lexicon import (
    BETWEEN,
    Lexicon,
    Mark,
    Meaning,
    chunks,
    expanded,
    lexicon_of,
    words_of_phrase,
)
from cavyround.engines.spoken.tokens import Token
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.words import SignWords

Way = tuple[str, ...]
# What is heard at the whole animal is heard in its history as well.
WHOLE = "whole"
# "Off of his the food": nobody says more small words between two of a phrase.
MOST_BETWEEN = 3


@dataclass(frozen=True, slots=True, eq=False)
class Family:
    """One phrase with its choices: parts in order, each said in one of its ways."""

    parts: tuple[tuple[Way, ...], ...]
    means: Meaning
    at: frozenset[str]

    def end_at(self, tokens: tuple[Token, ...], start: int) -> int:
        """Where the longest way of saying it ends; ``start`` where it does not stand here."""
        ends = {start}
        for ways in self.parts:
            ends = {end for at in ends for way in ways for end in _ends(way, tokens, at, start)}
            if not ends:
                return start
        return max(ends)


def _ends(way: Way, tokens: tuple[Token, ...], at: int, start: int) -> Iterator[int]:
    """Where one way of saying a part may end that begins at ``at``, small words left out."""
    reached = {at}
    for said in way:
        reached = {
            place + 1
            for begin in reached
            for place in _places(tokens, begin, start)
            if _is_said(said, tokens[place].word)
        }
    yield from reached


def _places(tokens: tuple[Token, ...], at: int, start: int) -> Iterator[int]:
    """Where the next word of a phrase may stand: here, or behind a few small words."""
    for place in range(at, min(len(tokens), at + MOST_BETWEEN + 1)):
        if tokens[place].kind not in ("word", "number"):
            return
        yield place
        if place == start or tokens[place].word not in BETWEEN:
            return


def _is_said(said: str, word: str) -> bool:
    return word.startswith(said[:-1]) if said.endswith("*") else word == said


class ToldWords:
    """The words of a note and, at a place, the families told of it as well."""

    def __init__(self, book: Knowledge) -> None:
        """Sort all families by the words they may begin with."""
        self._notes: Lexicon = lexicon_of(book)
        self._by_first: dict[str, list[Family]] = {}
        self._by_stem: dict[str, list[Family]] = {}
        self.words = set(self._notes.words)
        for phrases, means, at in _entries(book):
            for phrase in phrases:
                self._add(phrase, means, at)

    def _add(self, phrase: str, means: Meaning, at: frozenset[str]) -> None:
        parts: list[tuple[Way, ...]] = []
        for part in chunks(phrase):
            ways = [tuple(words_of_phrase(way, begun=bool(parts))) for way in expanded(part)]
            parts.append(tuple(dict.fromkeys(ways)))
        family = Family(tuple(parts), means, at)
        for first in dict.fromkeys(_firsts(family.parts)):
            index = self._by_stem if first.endswith("*") else self._by_first
            index.setdefault(first.rstrip("*"), []).append(family)
        said = (word for part in family.parts for way in part for word in way)
        self.words.update(word for word in said if not word.endswith("*"))

    def longest_at(self, region: str, tokens: tuple[Token, ...], start: int) -> Mark | None:
        """The longest phrase that begins at a word; of a note's and a family's alike both count."""
        noted = self._notes.longest(tokens, start)
        end, means = (noted.end, list(noted.means)) if noted is not None else (start, [])
        for family in self._beginning(tokens[start].word):
            if family.at and region not in family.at:
                continue
            ends = family.end_at(tokens, start)
            if ends > end:
                end, means = ends, [family.means]
            elif ends == end and ends > start:
                means.insert(0, family.means)
        if not means:
            return None
        said = tuple(dict.fromkeys(means))
        cues = frozenset(one.code for one in said if one.sort == "cue")
        return Mark(start, end, said, frozenset(one.sort for one in said), cues)

    def _beginning(self, word: str) -> Iterator[Family]:
        yield from self._by_first.get(word, ())
        if self._by_stem:
            for size in range(2, len(word) + 1):
                yield from self._by_stem.get(word[:size], ())


def _firsts(parts: tuple[tuple[Way, ...], ...]) -> Iterator[str]:
    """The words a family may begin with: of its first part, and of the next where that may lack."""
    for ways in parts:
        yield from (way[0] for way in ways if way)
        if all(ways):
            return


def _entries(book: Knowledge) -> Iterator[tuple[Iterable[str], Meaning, frozenset[str]]]:
    words = book.words
    for sign in words.told_signs:
        entry = SignWords(**{**sign.model_dump(exclude={"words"}), "at": _widened(sign.at, book)})
        yield sign.words, Meaning("sign", sign.finding, entry), frozenset(entry.at)
    for name, said in words.told_cues.items():
        yield said, Meaning("cue", name), frozenset()
    for event in words.told_events:
        yield event.words, Meaning("event", event.event, event), frozenset()


def _widened(at: Iterable[str], book: Knowledge) -> tuple[str, ...]:
    groups = book.words.groups
    return tuple(
        region for code in at for region in (groups[code[1:]] if code.startswith("@") else (code,))
    )


told_words_of = OncePerBook(ToldWords)


@dataclass(frozen=True, slots=True)
class WordsAt:
    """What is heard at one place of a told case, as the reader of notes asks for it."""

    told: ToldWords
    region: str

    @property
    def words(self) -> set[str]:
        """All single words that stand in a phrase."""
        return self.told.words

    def longest(self, tokens: tuple[Token, ...], start: int) -> Mark | None:
        """The longest phrase that begins at a word, or None."""
        return self.told.longest_at(self.region, tokens, start)


def words_at(region: str, book: Knowledge) -> WordsAt:
    """What is heard of a region; without one, what is heard of the whole animal."""
    return WordsAt(told_words_of(book), region or WHOLE)
