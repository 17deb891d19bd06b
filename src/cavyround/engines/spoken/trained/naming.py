"""What an animal is called by the words that name it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from cavyround.engines.spoken.tokens import Token
from cavyround.engines.spoken.trained.described import Described
from cavyround.knowledge.words import DescribedWords

# "Mum's Hazel", "mum is called Hazel": so near her name stands.
NAME_FOLLOWS = 3
IS_CALLED = frozenset({"is", "called", "named", "here", ","})
# "This one's got no name yet, black and tan": so many words may stand between.
APPOSITION = 12
# A word of fewer letters does not end in an "s" that hangs on a name.
SHORTEST_OWNER = 4


def is_cased(tokens: Sequence[Token]) -> bool:
    """Whether names carry capitals here; a recogniser may write none."""
    return any(token.capital and token.word != "i" for token in tokens)


@dataclass
class Naming:
    """The names of one text, in the order of naming.

    ``pen``: the names of the pen; ``names``: those named so far, kept by the caller; ``sow``: who
    is named first by the rules, for a mother of whom the network saw no name.
    """

    tokens: Sequence[Token]
    pen: Sequence[str]
    names: Sequence[str]
    words: DescribedWords
    sow: str = ""
    _described: Described = field(init=False)
    _cased: bool = field(init=False)
    _said: frozenset[str] = field(init=False)
    _litter_from: int = field(init=False)
    _before: dict[str, set[str]] = field(default_factory=dict)
    _alias: dict[str, str] = field(default_factory=dict)
    _last: str = ""
    _sow_named: str = ""

    def __post_init__(self) -> None:
        """Look once over the text for what tells how to read its names."""
        self._said = frozenset(token.word for token in self.tokens)
        self._cased = is_cased(self.tokens)
        litter = (at for at, one in enumerate(self.tokens) if one.word in self.words.litter)
        self._litter_from = next(litter, len(self.tokens))
        for before, token in pairwise(self.tokens):
            if before.word in self.words.apart:
                self._before.setdefault(token.word, set()).add(before.word)
        self._described = Described(self.words, cased=self._cased)

    def _is_of_a_litter(self, at: int) -> bool:
        """Whether pups are told of up to a word, that word included."""
        return at >= self._litter_from

    def name_of(
        self, begin: int, end: int, ruled: str, following: Sequence[tuple[int, int]] = ()
    ) -> str:
        """The name as the pen has it, as it was said before, or as it is said here.

        Args:
            begin: the first word that names it.
            end: the first after.
            ruled: its name as the rules have it; empty where they have none.
            following: where the next animal is named, if one is.
        """
        if self.pen and ruled:
            return ruled
        said = self.tokens[begin:end]
        alias = self._alias.get(_as_said(said).lower(), "")
        name = alias or self._named(said, begin, end, ruled, following)
        if self._last and self._is_short_for(end):
            self._alias[_as_said(said).lower()] = name = self._last
        self._last = name
        return name

    def _named(
        self,
        said: Sequence[Token],
        begin: int,
        end: int,
        ruled: str,
        following: Sequence[tuple[int, int]],
    ) -> str:
        if self._is_mother(said):
            return self._mother(end, following, ruled) or _as_said(said)
        apart = self._told_apart(begin, end)
        if apart:
            return apart
        known = self._known_as(said)
        if known or ruled:
            self._sow_named = known or ruled
            return known or ruled
        described = self._described.name_of(
            said,
            litter=self._is_of_a_litter(begin),
            begin=begin,
            near=self._near(begin),
        )
        if described:
            return described
        self._sow_named = self._without_owner(said)
        return self._sow_named

    def _near(self, begin: int) -> int:
        """How far back the same sentence goes, up to a few words."""
        back = 0
        while back < APPOSITION and back < begin and self.tokens[begin - back - 1].kind != "stop":
            back += 1
        return back

    def _told_apart(self, begin: int, end: int) -> str:
        """ "Old Ruth" and "young Ruth", "big Dot" and "little Dot": two animals, each in full."""
        name = self.tokens[end - 1]
        several = len(self._before.get(name.word, ())) > 1
        if not several or self._described.is_describing(name.word):
            return ""
        first = begin if end - begin > 1 else max(0, begin - 1)
        apart = self.tokens[first].word in self.words.apart
        return _as_said(self.tokens[first:end]) if apart else ""

    def _is_short_for(self, end: int) -> bool:
        """ "Sweet Potato, Yams for short": the one just named."""
        return [token.word for token in self.tokens[end : end + 2]] == ["for", "short"]

    def _is_mother(self, said: Sequence[Token]) -> bool:
        words = {token.word for token in said} - set(self.words.small)
        told = self._litter_from < len(self.tokens)
        return told and bool(words) and words <= set(self.words.mother)

    def _mother(self, end: int, following: Sequence[tuple[int, int]], ruled: str) -> str:
        """The sow of the litter: who is named right after ("Mum's Hazel"), or was named last."""
        for begins, ends in following:
            between = {token.word for token in self.tokens[end:begins]}
            if begins - end < NAME_FOLLOWS and between <= IS_CALLED:
                self._sow_named = _as_said(self.tokens[begins:ends])
        return self._sow_named or ruled or self.sow

    def _known_as(self, said: Sequence[Token]) -> str:
        """The name of those known that these words are, or are a part of; empty for none."""
        words = {token.word for token in said}
        if "other" in words:
            # "Other Potato" is not Potato.
            return next((name for name in self.names if name == _as_said(said)), "")
        if not self._cased:
            words |= {self._owner(token.word) for token in said}
        for name in (*self.pen, *self.names):
            parts = set(re.findall(r"\w+", name.lower()))
            if parts and (parts <= words or {token.word for token in said} <= parts):
                return name
        return ""

    def _without_owner(self, said: Sequence[Token]) -> str:
        """ "ottos ears" without an apostrophe is said of Otto, where "otto" is said as well."""
        if self._cased:
            said = self._without_description(said)
        last = said[-1].word
        owner = self._owner(last)
        if self._cased or owner == last or owner not in self._said:
            return _as_said(said)
        return " ".join([*(_word(token) for token in said[:-1]), owner])

    def _without_description(self, said: Sequence[Token]) -> Sequence[Token]:
        """ "Old lady Ruth" is Ruth: what stands before the last small word is no name."""
        small = [at for at, token in enumerate(said) if not token.capital]
        at = small[-1] + 1 if small else 0
        return said[at:] if 0 < at < len(said) else said

    def _owner(self, word: str) -> str:
        bare = len(word) < SHORTEST_OWNER or word.endswith("ss")
        return word if bare else word.removesuffix("s")


def _as_said(said: Sequence[Token]) -> str:
    return " ".join(_word(token) for token in said)


def _word(token: Token) -> str:
    """The word with its capital, without what hangs on it: "Biscuit" of "Biscuit's"."""
    return token.word.capitalize() if token.capital else token.word
