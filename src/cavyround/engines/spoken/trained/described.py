"""What an animal is called that is told by what it looks like: "the ginger one", "pup two"."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from cavyround.engines.spoken.sheets import UNNAMED
from cavyround.engines.spoken.tokens import Token
from cavyround.knowledge.words import DescribedWords

GROUP, PUP = "group: ", "pup "


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

    def name_of(self, said: Sequence[Token], *, litter: bool) -> str:
        """What the animal of these words is called; empty where they are its own name.

        ``litter``: whether pups were told of before these words.
        """
        self.litter = litter
        words = [token.word for token in said if token.kind in ("word", "number")]
        if not words or not self._describes(said, words):
            return ""
        looks = frozenset(
            word for word in words if word in self.words.looks or not self._is_describing(word)
        )
        if self._is_group(words):
            return GROUP + " ".join(words)
        number = self._number_of(words)
        known = self._known(looks, number)
        if known:
            self._looks[known] |= looks
            return known
        name = self._new(words, number)
        self._looks[name] = looks
        return name

    def _describes(self, said: Sequence[Token], words: Sequence[str]) -> bool:
        own = [word for word in words if not self._is_describing(word)]
        if own:
            # "the one with the split ear": no capital, and said of "the one".
            no_name = not any(token.capital for token in said[1:])
            return self.cased and no_name and len(words) > 1 and self._is_describing(words[0])
        # "Ginger" and "Brown" by themselves are names, but not of pups that were told of before.
        alone = len(words) == 1 and said[0].capital and words[0] in self.words.looks
        return not alone or self.litter

    def _is_describing(self, word: str) -> bool:
        told = self.words
        lists = (told.small, told.looks, told.young, told.grown, told.many, told.numbered)
        return any(word in words for words in lists) or word in told.counts or word in told.ordinals

    def _is_group(self, words: Sequence[str]) -> bool:
        if any(word in self.words.many for word in words):
            return True
        counts = [at for at, word in enumerate(words) if self.words.counts.get(word, 0) > 1]
        return any(not self._numbers(words, at) for at in counts)

    def _numbers(self, words: Sequence[str], at: int) -> bool:
        """Whether a count is a number of one: "pup two", "number two"."""
        return at > 0 and words[at - 1] in (*self.words.young, *self.words.numbered)

    def _number_of(self, words: Sequence[str]) -> int:
        for at, word in enumerate(words):
            if word in self.words.ordinals:
                return self.words.ordinals[word]
            if word in self.words.counts and self._numbers(words, at):
                return self.words.counts[word]
        return 0

    def _known(self, looks: frozenset[str], number: int) -> str:
        """The one of before that looks so, or has the number; of several, the last."""
        if number:
            return next((name for name in self._looks if name == f"{PUP}{number}"), "")
        for name, before in reversed(self._looks.items()):
            if looks and before and (looks <= before or before <= looks):
                return name
        last = next(reversed(self._looks), "")
        # "This one's got no name yet, black and tan": the same, now described.
        return last if last and not self._looks[last] and looks else ""

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
