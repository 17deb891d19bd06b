"""What the knowledge says of names, made ready for looking up."""

from collections.abc import Iterable

from cavyround.engines.spoken.tokens import Token, tokens_of
from cavyround.knowledge.words import NameWords

Words = frozenset[str]
Phrases = frozenset[tuple[str, ...]]
LONGEST_ANNOUNCEMENT = 4
# Endings of an everyday word: "managed", "manages", "managing".
ENDINGS = ("s", "es", "d", "ed", "ing", "er", "ly", "ied", "ies")


class NameLists:
    """The lists of the knowledge about names."""

    def __init__(self, words: NameWords, plain: Iterable[str] = ()) -> None:
        """Make them ready."""
        self.never: Words = frozenset(words.never)
        self.likely: Words = frozenset(words.likely)
        self.ambiguous: Words = frozenset(words.ambiguous)
        self.titles: Words = frozenset(words.titles)
        self.after: Words = frozenset(words.after)
        self.before: Words = frozenset(words.before)
        self.announced = _phrases(words.announced)
        self.helper_before = _phrases(words.helper_before)
        self.helper_after = _phrases(words.helper_after)
        self._everyday: Words = frozenset(words.everyday) | frozenset(plain) | self.never

    def is_everyday(self, word: str) -> bool:
        """Whether a word, with any ending, is one of every day."""
        if word in self._everyday:
            return True
        for ending in ENDINGS:
            stem = word.removesuffix(ending)
            if stem != word and (
                stem in self._everyday
                or stem + "e" in self._everyday
                or (stem[-2:-1] == stem[-1:] and stem[:-1] in self._everyday)
            ):
                return True
        return False


def said(tokens: tuple[Token, ...]) -> tuple[str, ...]:
    """Words with their tails as words of their own, breaks as they are."""
    parts: list[str] = []
    for token in tokens:
        parts.append(token.word)
        if token.tail:
            parts.append(token.tail)
    return tuple(parts)


def ends_with(tokens: tuple[Token, ...], at: int, phrases: Phrases) -> bool:
    """Whether one of the phrases stands right before a word."""
    before = said(tokens[max(0, at - LONGEST_ANNOUNCEMENT) : at])
    return any(before[-size:] in phrases for size in range(1, len(before) + 1))


def begins_with(tokens: tuple[Token, ...], end: int, phrases: Phrases) -> bool:
    """Whether one of the phrases stands right behind a word, its tail included."""
    tail = (tokens[end - 1].tail,) if tokens[end - 1].tail else ()
    after = tail + said(tokens[end : end + LONGEST_ANNOUNCEMENT])
    return any(after[:size] in phrases for size in range(1, len(after) + 1))


def _phrases(words: tuple[str, ...]) -> Phrases:
    return frozenset(said(tokens_of(phrase)) for phrase in words)
