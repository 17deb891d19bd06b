"""Words nobody listed, read as the listed word they come from: "reddish", "crustier", "discharg".

Guarded: a word of every day is never bent, nor a short one, nor a name.
"""

import re
from collections.abc import Collection, Iterator

from rapidfuzz import process
from rapidfuzz.distance import OSA

from cavyround.engines.conditions.triggers import OncePerBook
from cavyround.engines.spoken.lexicon import Lexicon, lexicon_of
from cavyround.engines.spoken.name_words import NameLists
from cavyround.engines.spoken.tokens import Token
from cavyround.knowledge.book import Knowledge

# What may hang on a quality, and what stands there without it.
ENDINGS = (("ish", ""), ("ish", "e"), ("iest", "y"), ("ier", "y"), ("er", ""), ("er", "e"))
# A shorter word is too near to too many others; one slip in eight letters.
SHORTEST_BENT = 8
# Where only a letter was doubled or not: "swolen".
SHORTEST_DOUBLED = 5
SHORTEST_STEM = 3
# So many words are remembered: a long text of nonsense must not fill the memory.
MOST_KEPT = 20_000
DOUBLED = re.compile(r"(.)\1+")


class Near:
    """The single words for signs and places, and those near to them."""

    def __init__(self, book: Knowledge) -> None:
        """Gather them from the knowledge."""
        self.lexicon: Lexicon = lexicon_of(book)
        self.lists = NameLists(book.words.names, book.words.plain)
        self.signs = self.lexicon.alone("sign")
        every = self.signs | self.lexicon.alone("place") | self.lexicon.alone("places")
        self.known = sorted(word for word in every if len(word) >= SHORTEST_BENT)
        self.singled = {_singled(word): word for word in every if len(word) >= SHORTEST_DOUBLED}
        self._found: dict[str, str] = {}

    def to(self, word: str) -> str:
        """The listed word it comes from; empty for none."""
        found = self._found.get(word)
        if found is None:
            if len(self._found) >= MOST_KEPT:
                self._found.clear()
            found = self._found[word] = self._look(word)
        return found

    def _look(self, word: str) -> str:
        if self.lexicon.knows(word) or self.lists.is_everyday(word) or not word.isalpha():
            return ""
        stem = next((one for one in _stems(word) if one in self.signs), "")
        if stem or word in self.lists.likely or word in self.lists.ambiguous:
            return stem
        if len(word) >= SHORTEST_DOUBLED and (found := self.singled.get(_singled(word))):
            return found
        if len(word) < SHORTEST_BENT:
            return ""
        near = process.extractOne(word, self.known, scorer=OSA.distance, score_cutoff=1)
        return near[0] if near is not None and near[0][0] == word[0] else ""


def _singled(word: str) -> str:
    return DOUBLED.sub(r"\1", word)


def _stems(word: str) -> Iterator[str]:
    for ending, instead in ENDINGS:
        stem = word.removesuffix(ending)
        if stem != word and len(stem) >= SHORTEST_STEM:
            yield stem + instead
            if stem[-1] == stem[-2]:
                yield stem[:-1]


near_of = OncePerBook(Near)


def brought_near(
    tokens: tuple[Token, ...], book: Knowledge, names: Collection[str]
) -> tuple[Token, ...]:
    """The tokens, each unknown word read as the listed one it comes from; names stay."""
    near = near_of(book)
    return tuple(
        token.read_as(found, token.span.end, token.tail)
        if token.kind == "word"
        and not token.heard
        and token.word not in names
        and (found := near.to(token.word))
        else token
        for token in tokens
    )
