"""Words that a recogniser wrote for others, read as what was meant where the words beside fit."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from cavyround.engines.conditions.triggers import OncePerBook
from cavyround.engines.spoken.tokens import Span, Token, tokens_of
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.words import MisheardWords

LONGEST = 4
NEAR = 3
# "I'm", "they've": a verb hangs on it, so it is the word that was heard.
VERBS = frozenset({"m", "ve", "ll", "re", "d"})


@dataclass(slots=True)
class _Slips:
    """What is heard, by its first word."""

    by_first: dict[str, list[tuple[tuple[str, ...], "_Slip"]]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Slip:
    means: tuple[str, ...]
    before: frozenset[str]
    after: frozenset[str]
    beside: frozenset[str]

    def fits(self, tokens: tuple[Token, ...], start: int, end: int) -> bool:
        """Whether the words around allow it; with no such words it always fits."""
        if not (self.before or self.after or self.beside):
            return True
        if self.before and _first_word(tokens[end : end + 1]) in self.before:
            return True
        if self.before and end > start and tokens[end - 1].tail in self.before:
            return True
        if self.after and start and self._follows(tokens[start - 1]):
            return True
        if not self.beside:
            return False
        around = (*tokens[max(0, start - NEAR) : start], *tokens[end : end + NEAR])
        return any(one.word in self.beside for one in around)

    def _follows(self, token: Token) -> bool:
        return token.word in self.after or (token.tail == "s" and "'s" in self.after)


def _first_word(tokens: Iterable[Token]) -> str:
    return next((one.word for one in tokens), "")


def _make(book: Knowledge) -> _Slips:
    slips = _Slips()
    for entry in book.words.misheard:
        slip = _slip(entry)
        for heard in entry.heard:
            words = _plain(heard)
            if words and words != slip.means:
                slips.by_first.setdefault(words[0], []).append((words, slip))
    for ways in slips.by_first.values():
        ways.sort(key=lambda way: -len(way[0]))
    return slips


def _slip(entry: MisheardWords) -> _Slip:
    def words(phrases: Iterable[str]) -> frozenset[str]:
        return frozenset(part.lower() for phrase in phrases for part in phrase.split())

    return _Slip(_plain(entry.means), words(entry.before), words(entry.after), words(entry.beside))


def _plain(phrase: str) -> tuple[str, ...]:
    parts: list[str] = []
    for token in tokens_of(phrase):
        parts.append(token.word)
        if token.tail:
            parts.append("'" + token.tail)
    return tuple(parts)


slips_of = OncePerBook(_make)


def heard_right(tokens: tuple[Token, ...], book: Knowledge) -> tuple[Token, ...]:
    """The words with misheard ones read as what was meant; their places in the text stay."""
    slips = slips_of(book)
    heard: list[Token] = []
    at = 0
    tokens = tuple(_joined(tokens))
    while at < len(tokens):
        found = _slip_at(tokens, at, slips)
        if found is None:
            heard.append(tokens[at])
            at += 1
            continue
        end, slip, tail = found
        first, *others = slip.means
        whole = tokens[at].read_as(first, tokens[end - 1].span.end, tail if not others else "")
        heard.append(whole)
        heard += [whole.read_as(other, whole.span.end, tail) for other in others]
        at = end
    return tuple(heard)


# "will not" and "won't" are one word to the lists.
WITH_NOT = {
    "will": "wont", "can": "cant", "could": "couldnt", "would": "wouldnt", "did": "didnt",
    "does": "doesnt", "do": "dont", "has": "hasnt", "have": "havent", "had": "hadnt",
}  # fmt: skip


def _joined(tokens: tuple[Token, ...]) -> Iterator[Token]:
    at = 0
    while at < len(tokens):
        token = tokens[at]
        following = tokens[at + 1].word if at + 1 < len(tokens) else ""
        if token.word == "cannot" and not token.tail:
            yield replace(token, word="cant")
        elif following == "not" and token.word in WITH_NOT and not token.tail:
            at += 1
            span = Span(token.span.start, tokens[at].span.end)
            yield replace(token, span=span, word=WITH_NOT[token.word])
        else:
            yield token
        at += 1


def _slip_at(tokens: tuple[Token, ...], at: int, slips: _Slips) -> tuple[int, _Slip, str] | None:
    for words, slip in slips.by_first.get(tokens[at].word, ()):
        end = _end_of(tokens, at, words)
        if end and slip.fits(tokens, at, end):
            last = tokens[end - 1]
            if last.tail in VERBS and not words[-1].startswith("'"):
                continue
            tail = "" if words[-1].startswith("'") else last.tail
            return end, slip, tail
    return None


def _end_of(tokens: tuple[Token, ...], at: int, words: tuple[str, ...]) -> int:
    """Where the heard words end when they stand here; nought when they do not."""
    place, tail_due = at, ""
    for word in words:
        if word.startswith("'"):
            if tail_due != word[1:]:
                return 0
            tail_due = ""
            continue
        # "you're in" is written "you re in" as well.
        if tail_due and tail_due == word:
            tail_due = ""
            continue
        if place >= len(tokens) or tokens[place].word != word or tokens[place].kind != "word":
            return 0
        tail_due = tokens[place].tail
        place += 1
    return place
