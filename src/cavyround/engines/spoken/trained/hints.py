"""What the rules know of each word, as the short codes that the network was taught with."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from typing import Protocol

from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.numbers import SpokenNumber
from cavyround.engines.spoken.result import ReadNote
from cavyround.engines.spoken.tokens import Span, Token

# Numbers by size: a count, a dose, ounces, a change of weight, a pup, a grown animal.
SIZES = ((6, "5"), (20, "20"), (40, "40"), (100, "100"), (200, "200"), (4000, "4000"))


class ReadByRules(Protocol):
    """A text that the rules have read: its words and items, with what was made of them.

    ``lead``: how many letters of the text are the name of the animal on the table, put first.
    """

    lead: int
    tokens: tuple[Token, ...]
    items: list[Item]


class Hints:
    """The codes of each word, and whom the rules think it is said of."""

    def __init__(self, reading: ReadByRules, note: ReadNote) -> None:
        """Collect what the words mean, and what the rules filed from them."""
        self._tokens = reading.tokens
        self._starts = [token.span.start for token in self._tokens]
        self._ends = [token.span.end for token in self._tokens]
        self._codes: list[set[str]] = [_of_token(token) for token in self._tokens]
        self.owners: list[set[str]] = [set() for _ in self._tokens]
        for item in reading.items:
            self._take_item(item)
        self._take_note(note)

    def codes(self) -> list[list[str]]:
        """The codes of each word in a steady order."""
        return [sorted(codes) for codes in self._codes]

    def words_in(self, span: Span) -> range:
        """The places of the words that a stretch of the text touches."""
        return range(bisect_right(self._ends, span.start), bisect_left(self._starts, span.end))

    def _take_item(self, item: Item) -> None:
        codes = set(_of_item(item))
        lasting = bool(codes - {"used"})
        for index, at in enumerate(self.words_in(item.span)):
            self._codes[at] |= codes
            if lasting:
                self._codes[at].add("I" if index else "B")

    def _take_note(self, note: ReadNote) -> None:
        for animal in note.animals:
            for finding in animal.findings:
                codes = {
                    f"f:{finding.finding}",
                    f"f@{finding.region}",
                    f"f/{finding.side.value}",
                    f"f={finding.status.value}",
                }
                self._say(finding.spans, codes, animal.name)
            for care in animal.care:
                self._say(care.spans, {f"k:{care.care}", f"k={care.status}"}, animal.name)
            self._say(animal.blanket_spans, {"blanket"}, animal.name)

    def _say(self, spans: Sequence[Span], codes: Iterable[str], name: str) -> None:
        for span in spans:
            for at in self.words_in(span):
                self._codes[at].update(codes)
                self.owners[at].add(name)


def _of_token(token: Token) -> set[str]:
    codes = {f"kind:{token.kind}"}
    if token.capital:
        codes.add("cap")
    if token.tail:
        codes.add(f"tail:{token.tail}")
    if token.heard:
        codes.add("heard")
    return codes


def _of_item(item: Item) -> Iterable[str]:
    if item.is_break:
        yield "stop" if item.is_end else "comma"
    if item.name:
        yield "name"
    if item.number is not None:
        yield _of_number(item.number)
    if item.left_out:
        yield f"left:{item.left_out}"
    if item.used:
        yield "used"
    for meaning in item.mark_means():
        yield f"{meaning.sort}:{meaning.code}"
        if meaning.sort == "sign":
            if meaning.entry.to:
                yield f"to:{meaning.entry.to}"
            if meaning.entry.status != "present":
                yield f"st:{meaning.entry.status}"


def _of_number(number: SpokenNumber) -> str:
    if number.decimal:
        return "num:dec"
    return "num:" + next((name for below, name in SIZES if number.value < below), "big")
