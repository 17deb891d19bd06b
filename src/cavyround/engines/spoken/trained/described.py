"""What an animal is called that is told by what it looks like: "the ginger one", "pup two"."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from cavyround.engines.spoken.sheets import UNNAMED
from cavyround.engines.spoken.tokens import Token
from cavyround.knowledge.words import DescribedWords

GROUP, PUP = "group: ", "pup "
# "Pup 12": no litter is larger.
FIGURES = 2


@dataclass
class Described:
    """The names of those described in one text, in the order in which they come up.

    ``words``: what describes; ``cased``: whether names carry capitals; ``litter``: whether pups
    were told of, so that "the ginger one" is one of them.
    """

    words: DescribedWords
    cased: bool
    litter: bool = False
    _looks: dict[str, frozenset[str]] = field(default_factory=dict)
    _said: dict[tuple[str, ...], str] = field(default_factory=dict)
    _last: tuple[str, int] = ("", 0)

    def name_of(self, said: Sequence[Token], *, litter: bool, begin: int = 0, near: int = 0) -> str:
        """What the animal of these words is called; empty where they are its own name.

        ``litter``: whether pups were told of before these words; ``begin``: where they stand;
        ``near``: how far back who was named last may be described by them.
        """
        self.litter = litter
        words = [token.word for token in said if token.kind in ("word", "number")]
        if not words or not self._describes(said, words):
            return ""
        looks = frozenset(
            word for word in words if word in self.words.looks or not self.is_describing(word)
        )
        if self._is_group(words):
            return GROUP + " ".join(words)
        number = self._number_of(words)
        known = self._known(words, looks, number, begin=begin, near=near)
        name = known or self._new(words, number)
        self._looks[name] = self._looks.get(name, frozenset()) | looks
        self._said.setdefault(tuple(words), name)
        self._last = (name, begin)
        return name

    def _describes(self, said: Sequence[Token], words: Sequence[str]) -> bool:
        own = [word for word in words if not self.is_describing(word)]
        if own:
            # "the one with the split ear": no capital, and said of "the one".
            no_name = not any(token.capital for token in said[1:])
            return self.cased and no_name and len(words) > 1 and self.is_describing(words[0])
        # "Ginger" and "Brown" by themselves are names, but not of pups that were told of before.
        alone = len(words) == 1 and said[0].capital and words[0] in self.words.looks
        return not alone or self.litter

    def is_describing(self, word: str) -> bool:
        """Whether a word tells of looks, age, number or the like, and is no name."""
        told = self.words
        lists = (told.small, told.looks, told.young, told.grown, told.many, told.numbered)
        listed = any(word in words for words in lists) or word in told.ordinals
        return listed or self._count(word) > 0

    def _count(self, word: str) -> int:
        figures = word.isdigit() and len(word) <= FIGURES
        return int(word) if figures else self.words.counts.get(word, 0)

    def _is_group(self, words: Sequence[str]) -> bool:
        if any(word in self.words.many for word in words):
            return True
        counts = [at for at, word in enumerate(words) if self._count(word) > 1]
        return any(not self._numbers(words, at) for at in counts)

    def _numbers(self, words: Sequence[str], at: int) -> bool:
        """Whether a count is a number of one: "pup two", "number two"."""
        return at > 0 and words[at - 1] in (*self.words.young, *self.words.numbered)

    def _number_of(self, words: Sequence[str]) -> int:
        for at, word in enumerate(words):
            if word in self.words.ordinals:
                return self.words.ordinals[word]
            if self._count(word) and self._numbers(words, at):
                return self._count(word)
        return 0

    def _known(
        self,
        words: Sequence[str],
        looks: frozenset[str],
        number: int,
        *,
        begin: int,
        near: int,
    ) -> str:
        """The one of before that has the number, looks just so, or was called just so."""
        if number:
            return next((name for name in self._looks if name == f"{PUP}{number}"), "")
        for name, before in reversed(self._looks.items()):
            if looks and looks == before:
                return name
        last, at = self._last
        if last and looks and not self._looks[last] and begin - at <= near:
            # "This one's got no name yet, black and tan": the same, now described.
            return last
        anew = any(word in self.words.anew for word in words)
        return "" if anew else self._said.get(tuple(words), "")

    def _new(self, words: Sequence[str], number: int) -> str:
        young = any(word in self.words.young for word in words)
        if young or (self.litter and self._may_be_pup(words)):
            return PUP + str(number or self._next_pup())
        said = [word for word in words if word not in self.words.small]
        name = " ".join([UNNAMED, *said])
        return name if name not in self._looks else f"{name} {len(self._looks) + 1}"

    def _may_be_pup(self, words: Sequence[str]) -> bool:
        return not any(word in self.words.grown for word in words)

    def _next_pup(self) -> int:
        taken = [int(n) for name in self._looks for n in re.findall(r"\d+", name)]
        return max(taken, default=0) + 1
