"""Of whom a word is said: each word that says something is weighed against each naming."""

from bisect import bisect_right
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from cavyround.engines.spoken.tokens import Token
from cavyround.engines.spoken.trained.encoder import linear
from cavyround.engines.spoken.trained.mentions import Called
from cavyround.engines.spoken.trained.words_answered import Answers

Array = NDArray[np.float32]
FURTHEST = 3
SURE_FROM = 0.5


class Owners:
    """Tells of whom the words of one text are said; nobody named is the empty name."""

    def __init__(
        self,
        called: Called,
        answers: Answers,
        tokens: Sequence[Token],
        by_rules: Sequence[set[str]],
    ) -> None:
        """``by_rules``: for each word the animals the rules take it to be said of."""
        self._called = called
        self._answers = answers
        self._by_rules = by_rules
        self._begins = [one.begin for one in called.mentions]
        self._sentence = np.cumsum([0, *(token.kind == "stop" for token in tokens)])[:-1]
        self._of_each = [
            [at for at, one in enumerate(called.mentions) if one.who == who]
            for who in range(len(called.names))
        ]
        states = answers.states[self._begins]
        self._keys = linear(states, "ka", answers.weights) if self._begins else None

    def of(self, at: int) -> tuple[str, ...]:
        """The names of those a word is said of; empty where nobody named is meant."""
        names = self._called.names
        if len(names) <= 1 or self._keys is None:
            return names
        scores = self._scores(at)
        chosen = [at for at in range(len(names)) if scores[at] > 0]
        if not chosen and scores.argmax() < len(names):
            chosen = [int(scores.argmax())]
        return tuple(names[at] for at in chosen)

    def _scores(self, at: int) -> Array:
        """A score for each name, above nought where it is more likely than not; nobody last."""
        weights = self._answers.weights
        state = self._answers.states[[at]]
        assert self._keys is not None  # noqa: S101 -- looked at by the caller
        query = linear(state, "qa", weights)
        scores = (query @ self._keys.T)[0] / np.float32(np.sqrt(query.shape[1]))
        scores = scores + weights["rel.weight"][self._relations(at), 0]
        each = [np.logaddexp.reduce(scores[places]) for places in self._of_each]
        return np.array([*each, linear(state, "null", weights)[0, 0]], dtype=np.float32)

    def _relations(self, at: int) -> list[int]:
        """How each naming stands to the word: so many back or ahead, same sentence, as ruled."""
        before = bisect_right(self._begins, at)
        found: list[int] = []
        for index, mention in enumerate(self._called.mentions):
            if index < before:
                rank = min(FURTHEST, before - 1 - index)
            else:
                rank = FURTHEST + 1 + min(FURTHEST, index - before)
            same = int(self._sentence[mention.begin] == self._sentence[at])
            ruled = int(self._called.names[mention.who] in self._by_rules[at])
            found.append(rank * 4 + 2 * same + ruled)
        return found
