"""From words to items: names, numbers, places, signs, cues and plain words, each with its place."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from cavyround.engines.spoken.lexicon import Hears, Mark, Meaning
from cavyround.engines.spoken.names import Names
from cavyround.engines.spoken.numbers import SpokenNumber, number_at
from cavyround.engines.spoken.tokens import Span, Token
from cavyround.knowledge.words import NumberWords

# After these words a small number is a label: "pen two", "sink two".
# "left it alone", "right under the jaw": no sides.
NO_SIDE = {
    "left": frozenset(
        ["it", "him", "them", "that", "alone", "those", "some", "most", "his", "her"]
    ),
    "right": frozenset(
        ["under", "up", "over", "down", "now", "away", "through", "round", "across", "along"]
    ),
}
LEAVES = frozenset({"i", "ve", "have", "we"})
LABELLED = frozenset({"pen", "cage", "room", "sink", "row", "run", "hutch", "day", "bay", "shed"})


@dataclass(slots=True)
class Item:
    """One name, number, phrase, word or break. ``left_out`` says why it is not read."""

    start: int
    end: int
    span: Span
    word: str
    tail: str = ""
    mark: Mark | None = None
    number: SpokenNumber | None = None
    name: str = ""
    stop: str = ""
    left_out: str = ""
    plain: bool = False
    used: bool = False
    notes: dict[str, str] = field(default_factory=dict)

    def of(self, sort: str) -> list[Meaning]:
        """The meanings of one sort."""
        return self.mark.of(sort) if self.mark else []

    def has(self, sort: str, code: str = "") -> bool:
        """Whether it may mean this."""
        mark = self.mark
        if mark is None or sort not in mark.sorts:
            return False
        return not code or any(one.sort == sort and one.code == code for one in mark.means)

    def cue(self, *codes: str) -> bool:
        """Whether it is one of these cues."""
        return self.mark is not None and not self.mark.cues.isdisjoint(codes)

    def mark_means(self) -> tuple[Meaning, ...]:
        """All meanings."""
        return self.mark.means if self.mark else ()

    @property
    def is_break(self) -> bool:
        """A comma, a full stop or the like."""
        return bool(self.stop)

    @property
    def is_end(self) -> bool:
        """The end of a sentence."""
        return self.stop[:1] in (".", "!", "?", ";", "\n") if self.stop else False


def items_of(
    tokens: tuple[Token, ...],
    lexicon: Hears,
    names: Names,
    words: NumberWords,
    plain: frozenset[str] = frozenset(),
) -> list[Item]:
    """All items of a text, in order; ``plain``: everyday words, known though they mean nothing."""
    items = list(_items(tokens, lexicon, names, words))
    items = list(_parted(items, tokens, lexicon))
    for item, following in pairwise(items):
        if item.word in NO_SIDE and following.word.split(" ")[0] in NO_SIDE[item.word]:
            item.mark = None
        if following.word == "left" and (item.tail == "ve" or item.word in LEAVES):
            # "Nails I've left": no side.
            following.mark = None
    for item in items:
        item.plain = item.word in plain or (bool(item.word) and item.word in lexicon.words)
    return items


# "Nose dry gums pink", said without stops: the quality is of the place before it.
OF_PLACE_BEFORE = frozenset({"dry gums"})


def _parted(items: list[Item], tokens: tuple[Token, ...], lexicon: Hears) -> Iterator[Item]:
    for at, item in enumerate(items):
        before = items[at - 1] if at else None
        placed = before is not None and (before.has("place") or before.has("places"))
        if not placed or item.word not in OF_PLACE_BEFORE:
            yield item
            continue
        for start in range(item.start, item.end):
            mark = lexicon.longest(tokens[: start + 1], start)
            yield _item(tokens, start, start + 1, mark=mark)


def _items(
    tokens: tuple[Token, ...], lexicon: Hears, names: Names, words: NumberWords
) -> Iterator[Item]:
    at = 0
    while at < len(tokens):
        token = tokens[at]
        if token.kind in ("stop", "comma"):
            yield Item(at, at + 1, token.span, "", stop=token.word)
            at += 1
            continue
        item = (
            _name(tokens, at, names, lexicon)
            or _number_or_phrase(tokens, at, lexicon, words)
            or Item(at, at + 1, token.span, token.word, tail=token.tail)
        )
        yield item
        at = item.end


def _name(tokens: tuple[Token, ...], at: int, names: Names, lexicon: Hears) -> Item | None:
    found = names.at(tokens, at)
    if found is None:
        return None
    name, end = found
    mark = lexicon.longest(tokens, at)
    if mark is not None and mark.end > end + 1 and mark.code("care") == "spot_on":
        # "Spot on for Rosemary done": no animal called Spot.
        return None
    return _item(tokens, at, end, name=name)


def _number_or_phrase(
    tokens: tuple[Token, ...], at: int, lexicon: Hears, words: NumberWords
) -> Item | None:
    mark = lexicon.longest(tokens, at)
    number = number_at(tokens, at, words)
    if at and number is not None and tokens[at - 1].word in LABELLED:
        return _item(tokens, at, at + 1)
    if number is not None and (mark is None or number.end >= mark.end):
        return _item(tokens, at, number.end, number=number)
    if mark is not None:
        return _item(tokens, at, mark.end, mark=mark)
    return None


def _item(
    tokens: tuple[Token, ...],
    start: int,
    end: int,
    *,
    name: str = "",
    number: SpokenNumber | None = None,
    mark: Mark | None = None,
) -> Item:
    span = Span(tokens[start].span.start, tokens[end - 1].span.end)
    word = " ".join(token.word for token in tokens[start:end])
    tail = tokens[end - 1].tail
    return Item(start, end, span, word, tail, mark, number, name)
