"""Who is spoken of: where a name stands, and whether it is meant as one."""

from dataclasses import dataclass

from cavyround.engines.spoken.tokens import Token

Words = frozenset[str]

NUMBERISH = frozenset(
    [
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
        "twenty",
        "thirty",
        "forty",
        "fifty",
        "sixty",
        "seventy",
        "eighty",
        "ninety",
        "a",
        "point",
    ]
)
COUNT = {word: at for at, word in enumerate(["one", "two", "three", "four", "five", "six"], 1)}
# "Gum, Wattle,": what follows the first of a list.
LIST_GOES_ON = 3


@dataclass(frozen=True, slots=True)
class Names:
    """The names to look for, by their first word, and where each is one."""

    by_first: dict[str, list[tuple[tuple[str, ...], str]]]
    careful: Words = frozenset()
    cased: bool = True
    after: Words = frozenset()
    before: Words = frozenset()

    def at(self, tokens: tuple[Token, ...], at: int) -> tuple[str, int] | None:
        """The name that stands at a word, and where it ends."""
        following = tokens[at + 1].word if at + 1 < len(tokens) else ""
        if tokens[at].word in ("pup", "baby") and following in COUNT:
            return f"pup {COUNT[following]}", at + 2
        for words, name in self.by_first.get(tokens[at].word, ()):
            end = at + len(words)
            if tuple(token.word for token in tokens[at:end]) != words:
                continue
            if words[0] in self.careful and not self._is_meant(tokens, at, end):
                continue
            return name, end
        return None

    def _is_meant(self, tokens: tuple[Token, ...], at: int, end: int) -> bool:
        """Whether a name that is also a word is meant as the name here."""
        if self.cased:
            begins = at == 0 or tokens[at - 1].kind == "stop"
            if not tokens[at].capital:
                return False
            if begins and lists_names(tokens, at):
                return True
            return not begins or looks_like_subject(tokens, end, self.after)
        before = tokens[at - 1] if at else None
        if before is None or before.kind == "stop" or before.word in self.before:
            return (
                before is None
                or looks_like_subject(tokens, end, self.after)
                or (before.word in self.before and before.word not in ("is", "no", "not", "s"))
            )
        return followed_by_number(tokens, end) or tokens[end - 1].tail == "s"


def looks_like_subject(tokens: tuple[Token, ...], end: int, after: Words) -> bool:
    """Whether what follows a word is what follows a name."""
    if tokens[end - 1].tail in ("s", "ll", "d", "ve"):
        return True
    if end >= len(tokens) or tokens[end].kind in ("comma", "stop"):
        return True
    following = tokens[end].word
    return following in after or followed_by_number(tokens, end) or tokens[end].capital


def followed_by_number(tokens: tuple[Token, ...], end: int) -> bool:
    """Whether a number stands right there, in digits or words."""
    if end >= len(tokens):
        return False
    return tokens[end].kind == "number" or tokens[end].word in NUMBERISH


def lists_names(tokens: tuple[Token, ...], at: int) -> bool:
    """ "Gum, Wattle, Banksia.": words with capitals after commas are a list of names."""
    following = tokens[at + 1 : at + 4]
    return (
        len(following) == LIST_GOES_ON
        and following[0].kind == "comma"
        and following[1].capital
        and (following[2].kind in ("comma", "stop") or following[2].word == "and")
    )
