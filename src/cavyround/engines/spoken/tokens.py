"""Cut a text into words with their places, so that every reading can point at its words."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

PIECE = re.compile(
    r"(?P<word>[^\W\d_]+(?:['’][^\W\d_]+)*)"
    r"|(?P<number>\d+(?:[.,]\d+)*)"
    r"|(?P<joint>(?<=[^\W\d])[-–](?=\w)|(?<=\w)[-–](?=[^\W\d]))"
    r"|(?P<stop>[.!?;\n]+)"
    r"|(?P<comma>[,:()\[\]\"“”/|]|[-–—]+)"
    r"|(?P<other>[^\s\w])"
)
# "she's", "I've", "they'll": the word itself, and what hangs on it.
TAIL = re.compile(r"(.+?)['’](s|ve|ll|d|re|m)")
# As a recogniser without apostrophes writes them.
RUN_TOGETHER = {
    "hes": ("he", "s"),
    "shes": ("she", "s"),
    "thats": ("that", "s"),
    "theres": ("there", "s"),
    "ive": ("i", "ve"),
    "weve": ("we", "ve"),
    "theyve": ("they", "ve"),
    "youve": ("you", "ve"),
    "theyre": ("they", "re"),
    "youre": ("you", "re"),
    "im": ("i", "m"),
    "itll": ("it", "ll"),
    "whats": ("what", "s"),
    "heres": ("here", "s"),
}


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of the text as it was given: ``text[start:end]``."""

    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Token:
    """One word, number or break.

    ``word`` is lower case without apostrophes and without its tail; ``tail`` is what hung on it
    (``s``, ``ve``, ``ll``, ``d``, ``re``, ``m``). ``kind``: word, number, stop, comma or other.
    """

    span: Span
    word: str
    kind: str
    tail: str = ""
    capital: bool = False
    heard: str = ""

    def read_as(self, word: str, end: int, tail: str) -> "Token":
        """The same place in the text, read as another word."""
        span = Span(self.span.start, end)
        return replace(self, span=span, word=word, kind="word", tail=tail, heard=self.word)


def tokens_of(text: str) -> tuple[Token, ...]:
    """All words, numbers and breaks of a text, in order."""
    return tuple(_tokens(text))


def _tokens(text: str) -> Iterator[Token]:
    for piece in PIECE.finditer(text):
        kind = piece.lastgroup or "other"
        raw = piece.group()
        span = Span(piece.start(), piece.end())
        if kind == "joint":
            # fifty-five, tear-drop: one breath, two words.
            continue
        if kind != "word":
            yield Token(span, raw, kind)
            continue
        word, tail = _without_tail(raw)
        yield Token(span, word, "word", tail, capital=raw[0].isupper())


def _without_tail(raw: str) -> tuple[str, str]:
    low = raw.lower()
    if "'" not in low and "’" not in low:
        return RUN_TOGETHER.get(low, (low, ""))
    hung = TAIL.fullmatch(low)
    if hung and not low.endswith(("n't", "n’t")):
        return re.sub(r"['’]", "", hung[1]), hung[2]
    return re.sub(r"['’]", "", low), ""
