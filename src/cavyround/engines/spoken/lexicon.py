"""The words of the knowledge as one tree: the longest phrase at a word wins."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any, Protocol

from cavyround.engines.conditions.triggers import OncePerBook
from cavyround.engines.spoken.tokens import Token, tokens_of
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.words import SignWords

# May stand inside a phrase without being written there.
BETWEEN = frozenset({"his", "her", "the", "its", "their", "a", "an", "my", "this", "that", "even"})
LONGEST = 14
LONGEST_STEM = 16
# A phrase that is said in one sentence; the breaks that may stand in it.
CHOICE = re.compile(r"\(([^()]*)\)|\[([^\[\]]*)\]")


@dataclass(frozen=True, slots=True, eq=False)
class Meaning:
    """One thing a phrase may mean: ``sort`` (place, sign, cue, …), its code, and its entry."""

    sort: str
    code: str
    entry: Any = None


@dataclass(slots=True)
class _Node:
    next: dict[str, "_Node"] = field(default_factory=dict)
    stems: dict[str, "_Node"] = field(default_factory=dict)
    means: list[Meaning] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Mark:
    """A phrase found: from token ``start`` up to, not with, token ``end``."""

    start: int
    end: int
    means: tuple[Meaning, ...]
    sorts: frozenset[str] = frozenset()
    cues: frozenset[str] = frozenset()

    def of(self, sort: str) -> list[Meaning]:
        """The meanings of one sort."""
        return [one for one in self.means if one.sort == sort]

    def code(self, sort: str) -> str:
        """The code of the first meaning of a sort; empty for none."""
        return next((one.code for one in self.means if one.sort == sort), "")


def expanded(pattern: str) -> Iterator[str]:
    """All ways of saying a pattern: ``(a|b)`` is one of them, ``[a]`` may be left out."""
    found = CHOICE.search(pattern)
    if found is None:
        yield pattern
        return
    choices = found[1].split("|") if found[1] is not None else ["", *found[2].split("|")]
    for one in choices:
        yield from expanded(pattern[: found.start()] + one + pattern[found.end() :])


def chunks(pattern: str) -> Iterator[str]:
    """The parts of a pattern between the spaces outside its brackets."""
    depth, begin = 0, 0
    for at, sign in enumerate(pattern):
        depth += (sign in "([") - (sign in ")]")
        if sign == " " and depth == 0:
            yield pattern[begin:at]
            begin = at + 1
    yield pattern[begin:]


class Hears(Protocol):
    """What finds phrases among words."""

    @property
    def words(self) -> set[str]:
        """All single words that stand in a phrase."""

    def longest(self, tokens: tuple[Token, ...], start: int) -> Mark | None:
        """The longest phrase that begins at a word, or None."""


class Lexicon:
    """Phrases to meanings."""

    def __init__(self, book: Knowledge) -> None:
        """Grow the tree of all words of the book."""
        self._root = _Node()
        self.words: set[str] = set()
        self._known: dict[tuple[Meaning, ...], tuple[frozenset[str], frozenset[str]]] = {}
        for phrases, meaning in _entries(book):
            for phrase in phrases:
                self._add(phrase, meaning)

    def _add(self, pattern: str, meaning: Meaning) -> None:
        """Grow the tree part by part: in full some patterns are thousands of phrases."""
        nodes = [self._root]
        for chunk in chunks(pattern):
            ways = list(dict.fromkeys(expanded(chunk)))
            first = [words_of_phrase(way) for way in ways]
            later = [words_of_phrase(way, begun=True) for way in ways]
            grown: dict[int, _Node] = {}
            for node in nodes:
                for words in first if node is self._root else later:
                    end = self._grown(node, words)
                    grown[id(end)] = end
            nodes = list(grown.values())
        for node in nodes:
            if node is not self._root and meaning not in node.means:
                node.means.append(meaning)

    def _grown(self, node: _Node, words: list[str]) -> _Node:
        for word in words:
            if word.endswith("*"):
                node = node.stems.setdefault(word[:-1], _Node())
            else:
                self.words.add(word)
                node = node.next.get(word) or node.next.setdefault(word, _Node())
        return node

    def longest(self, tokens: tuple[Token, ...], start: int) -> Mark | None:
        """The longest phrase that begins at a word, or None."""
        end = start
        means: list[Meaning] = []
        ways: list[tuple[_Node, int, bool]] = [(self._root, start, True)]
        for _ in range(LONGEST):
            ways = [way for node, at, _ in ways for way in _steps(node, tokens, at, start)]
            if not ways:
                break
            for node, at, is_word in ways:
                if is_word and node.means and at >= end:
                    # A whole word and its stem end alike: both meanings count.
                    means = [*(means if at == end else ()), *node.means]
                    end = at
        if not means:
            return None
        said = tuple(dict.fromkeys(means))
        known = self._known.get(said)
        if known is None:
            known = self._known[said] = (
                frozenset(one.sort for one in said),
                frozenset(one.code for one in said if one.sort == "cue"),
            )
        return Mark(start, end, said, *known)

    def alone(self, sort: str) -> set[str]:
        """The single words that mean something of a sort."""
        return {
            word
            for word, node in self._root.next.items()
            if any(one.sort == sort for one in node.means)
        }

    def knows(self, word: str) -> bool:
        """Whether a word begins or is part of any phrase."""
        return word in self.words or any(
            word[:size] in self._root.stems for size in range(3, min(len(word), LONGEST_STEM) + 1)
        )


def _steps(
    node: _Node, tokens: tuple[Token, ...], at: int, start: int
) -> Iterator[tuple[_Node, int, bool]]:
    if at >= len(tokens) or tokens[at].kind not in ("word", "number"):
        return
    word = tokens[at].word
    if word in node.next:
        yield node.next[word], at + 1, True
    if node.stems:
        for size in range(2, min(len(word), LONGEST_STEM) + 1):
            if word[:size] in node.stems:
                yield node.stems[word[:size]], at + 1, True
    if at > start and word in BETWEEN:
        yield node, at + 1, False


NOT_WRITTEN = re.compile(r"\bcannot\b")
TAILS = frozenset({"s", "m", "ve", "re", "ll", "d"})


def words_of_phrase(phrase: str, *, begun: bool = False) -> list[str]:
    """The words of one phrase as they are compared with what was said; a stem ends in ``*``.

    ``begun``: other words of the same phrase stand before these.
    """
    words: list[str] = []
    for part in NOT_WRITTEN.sub("cant", phrase).split():
        if (words or begun) and part in TAILS:
            # "that s": the tail of a word is no word of its own.
            continue
        if part.endswith("*"):
            words.append(part.lower())
        else:
            words += [token.word for token in tokens_of(part) if token.kind in ("word", "number")]
    return words


def _entries(book: Knowledge) -> Iterator[tuple[Iterable[str], Meaning]]:
    words = book.words
    for place in words.places:
        yield place.words, Meaning("place", place.region, place)
        yield place.many, Meaning("places", place.region, place)
    for side, said in words.sides.items():
        yield said, Meaning("side", side)
    for sign in words.signs:
        yield sign.words, Meaning("sign", sign.finding, _widened(sign, words.groups))
    for name, cue in words.cues.items():
        yield cue.words, Meaning("cue", name)
    for care in words.care:
        yield care.words, Meaning("care", care.care, care)
        yield care.verbs, Meaning("verb", care.care, care)
    yield from _entries_beside(book)


def _entries_beside(book: Knowledge) -> Iterator[tuple[Iterable[str], Meaning]]:
    """What is said beside places, signs and care: products, kinds, units, events, things."""
    words = book.words
    for product, said in words.products.items():
        yield said, Meaning("product", product)
    for kind, said in words.kinds.items():
        yield said, Meaning("kind", kind)
    for unit, said in words.numbers.units.items():
        yield said, Meaning("unit", unit)
    for event in words.events:
        yield event.words, Meaning("event", event.event, event)
    for sort in ("weight_words", "lost", "gained", "equipment", "temperature_words"):
        yield getattr(words.numbers, sort), Meaning("about", sort)
    for sort in ("heart_words", "breath_words", "score_words", "sore_words"):
        yield getattr(words.numbers, sort), Meaning("about", sort)
    objects = [f"{one}[ sized| size]" for one in words.numbers.objects]
    yield objects, Meaning("object", "object")
    yield words.given, Meaning("given", "given")


def _widened(sign: SignWords, groups: Any) -> SignWords:
    at: list[str] = []
    for code in sign.at:
        at += groups[code[1:]] if code.startswith("@") else [code]
    return sign.model_copy(update={"at": tuple(at)})


lexicon_of = OncePerBook(Lexicon)
