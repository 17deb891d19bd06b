"""From words to items: names, numbers, places, signs, cues and plain words, each with its place."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from cavyround.engines.spoken.lexicon import Lexicon, Mark, Meaning
from cavyround.engines.spoken.names import Names
from cavyround.engines.spoken.numbers import SpokenNumber, number_at
from cavyround.engines.spoken.tokens import Span, Token
from cavyround.knowledge.words import NumberWords

# After these words a small number is a label: "pen two", "sink two".
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
    lexicon: Lexicon,
    names: Names,
    words: NumberWords,
    plain: frozenset[str] = frozenset(),
) -> list[Item]:
    """All items of a text, in order; ``plain``: everyday words, known though they mean nothing."""
    items = list(_items(tokens, lexicon, names, words))
    for item in items:
        item.plain = item.word in plain or (bool(item.word) and item.word in lexicon.words)
    return items


def _items(
    tokens: tuple[Token, ...], lexicon: Lexicon, names: Names, words: NumberWords
) -> Iterator[Item]:
    at = 0
    while at < len(tokens):
        token = tokens[at]
        if token.kind in ("stop", "comma"):
            yield Item(at, at + 1, token.span, "", stop=token.word)
            at += 1
            continue
        item = (
            _name(tokens, at, names)
            or _number_or_phrase(tokens, at, lexicon, words)
            or Item(at, at + 1, token.span, token.word, tail=token.tail)
        )
        yield item
        at = item.end


def _name(tokens: tuple[Token, ...], at: int, names: Names) -> Item | None:
    found = names.at(tokens, at)
    if found is None:
        return None
    name, end = found
    return _item(tokens, at, end, name=name)


def _number_or_phrase(
    tokens: tuple[Token, ...], at: int, lexicon: Lexicon, words: NumberWords
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


@dataclass(slots=True)
class Clause:
    """What is said in one breath: the items up to a comma, a full stop or a joint."""

    items: list[Item]
    sentence: int
    opens: bool
    ended: str = ""
    words: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        """All words, lower case."""
        self.words = [word for item in self.items for word in item.word.split()]

    def having(self, sort: str) -> list[Item]:
        """The items that may mean something of a sort and are read."""
        return [one for one in self.items if one.has(sort) and not one.left_out]

    def cued(self, *codes: str) -> bool:
        """Whether one of these cues is there."""
        return any(one.cue(*codes) for one in self.items)


# A clause that runs on without a break is cut here: nobody says more in one breath.
LONGEST_BREATH = 40
SUBJECTS = frozenset({"i", "he", "she", "it", "that", "they", "we", "this", "there"})
JOINS = frozenset({"and", "or", "nor"})
BEFORE_A_NAME = frozenset(
    [
        "on",
        "of",
        "for",
        "in",
        "with",
        "under",
        "from",
        "gave",
        "give",
        "to",
        "at",
        "and",
        "or",
        "by",
        "see",
        "about",
        "is",
        "called",
        "s",
        "named",
        "name",
        "weigh",
        "weighed",
        "did",
        "do",
        "think",
        "like",
        "then",
        "off",
        "from",
        "to",
        "under",
        "round",
        "over",
        "around",
        "behind",
    ]
)


def clauses_of(items: Iterable[Item]) -> list[Clause]:
    """Cut the items into clauses."""
    clauses: list[Clause] = []
    now: list[Item] = []
    sentence, opens = 0, True

    def close(ended: str) -> None:
        nonlocal now, opens
        if now or ended == "?":
            clauses.append(Clause(now, sentence, opens, ended))
            opens = False
        now = []

    listed = list(items)
    for index, item in enumerate(listed):
        if item.is_break:
            close("." if item.is_end and "?" not in item.stop else item.stop)
            if "?" in item.stop and clauses:
                clauses[-1].ended = "?"
            if item.is_end:
                sentence, opens = sentence + 1, True
            continue
        if len(now) >= LONGEST_BREATH or (
            now and _begins_anew(item, now, listed[index + 1] if index + 1 < len(listed) else None)
        ):
            close("")
        now.append(item)
    close(".")
    return clauses


def _begins_anew(item: Item, so_far: list[Item], following: Item | None) -> bool:
    if (
        item.word == "both"
        and following is not None
        and following.word in ("had", "have", "got", "took", "are", "been")
    ):
        return True
    if item.name:
        last = so_far[-1]
        if last.name or last.word in BEFORE_A_NAME or last.tail in ("s", "re", "m"):
            return False
        return any(one.number or one.has("sign") or one.has("care") for one in so_far)
    if so_far[-1].word == "so" and item.word in SUBJECTS and len(so_far) > 1:
        return True
    if item.cue("fragment_end") and item.word in ("but", "though", "although", "except", "however"):
        return True
    return item.cue("correction") and item.word not in ("sorry", "rather", "not the")
