"""Numbers as they are spoken: "seven eighty", "nine oh two", "two point four", "six and a half"."""

import re
from dataclasses import dataclass
from decimal import Decimal

from cavyround.engines.spoken.tokens import Token
from cavyround.knowledge.words import NumberWords

HALF = Decimal("0.5")
QUARTER = Decimal("0.25")
PARTS: dict[tuple[str, ...], Decimal] = {
    ("and", "a", "half"): HALF,
    ("and", "a", "quarter"): QUARTER,
    ("and", "three", "quarters"): 3 * QUARTER,
}
# "half a mil", "a quarter mil", "three quarters of a kilo": only before a unit.
FRACTIONS: dict[tuple[str, ...], Decimal] = {
    ("half",): HALF,
    ("a", "half"): HALF,
    ("quarter",): QUARTER,
    ("a", "quarter"): QUARTER,
    ("one", "quarter"): QUARTER,
    ("one", "half"): HALF,
    ("three", "quarter"): 3 * QUARTER,
    ("three", "quarters"): 3 * QUARTER,
}
FRACTION_OF = ("ml", "kg", "lb")
HUNDRED, THOUSAND = 100, 1000
MOST_DIGITS = 4
# No carer says a longer one; the language itself refuses to read thousands of figures.
LONGEST_FIGURES = 9
# "0,3 ml", as it is written in much of the world; three figures after it are thousands.
DECIMAL_COMMA = re.compile(r"\d+,(\d{1,2}|\d{4,})")
DIGITS = re.compile(r"\d+(?:\.\d+)?")


@dataclass(frozen=True, slots=True)
class SpokenNumber:
    """A number and the words it took: from token ``start`` up to ``end``."""

    value: Decimal
    start: int
    end: int
    plain_word: bool = False
    decimal: bool = False


@dataclass(slots=True)
class _Reader:
    tokens: tuple[Token, ...]
    words: NumberWords

    def word(self, at: int) -> str:
        """The word at a place; empty at a break or past the end."""
        if at >= len(self.tokens) or self.tokens[at].kind not in ("word", "number"):
            return ""
        return self.tokens[at].word

    def small(self, at: int) -> tuple[int, int] | None:
        """A number below a hundred, or one in figures, and where it ends."""
        word = self.word(at)
        if self.tokens[at].kind == "number" and word.isdigit() and len(word) <= LONGEST_FIGURES:
            return int(word), at + 1
        if word in self.words.tens:
            unit = self.words.ones.get(self.word(at + 1), 0)
            ten = self.words.tens[word]
            return (ten + unit, at + 2) if unit else (ten, at + 1)
        if word in self.words.teens:
            return self.words.teens[word], at + 1
        if word in self.words.ones:
            return self.words.ones[word], at + 1
        return None

    def chunk(self, at: int) -> tuple[int, int] | None:
        """A whole number with its hundreds and thousands, and where it ends."""
        if self.word(at) == "a" and self.word(at + 1) in ("hundred", "thousand"):
            read: tuple[int, int] | None = (1, at + 1)
        elif at < len(self.tokens) and self.word(at):
            read = self.small(at)
        else:
            read = None
        if read is None:
            return None
        value, at = read
        for name, size in (("hundred", HUNDRED), ("thousand", THOUSAND)):
            if self.word(at) == name:
                value, at = self._times(value, at + 1, size)
        return value, at

    def _times(self, value: int, at: int, size: int) -> tuple[int, int]:
        value *= size
        skip = 1 if self.word(at) == "and" else 0
        rest = self.small(at + skip) if self.word(at + skip) else None
        if rest is None or rest[0] >= size or (size == THOUSAND and self.word(rest[1]) == ""):
            if rest is not None and rest[0] < size:
                return value + rest[0], rest[1]
            return value, at
        if size == THOUSAND and self.word(rest[1]) == "hundred":
            more, end = self._times(rest[0], rest[1] + 1, HUNDRED)
            return value + more, end
        return value + rest[0], rest[1]


def number_at(tokens: tuple[Token, ...], at: int, words: NumberWords) -> SpokenNumber | None:
    """The number that begins at a word, or None."""
    reader = _Reader(tokens, words)
    word = reader.word(at)
    if not word:
        return None
    if tokens[at].kind == "number":
        return _figures(reader, at)
    # "The big one, seventy eight"; but "the big one point two kilos" is a number.
    animal = word == "one" and at and reader.word(at - 1) in words.before_one
    if animal and reader.word(at + 1) != "point":
        return None
    if word == "point":
        return _after_point(reader, 0, at, at)
    fraction = _fraction(reader, at)
    if fraction is not None:
        return fraction
    if word == "half" and reader.word(at + 1) not in ("a", "an"):
        return None
    if word == "half":
        return SpokenNumber(HALF, at, at + 1, plain_word=True, decimal=True)
    return _run(reader, at)


def _fraction(reader: _Reader, at: int) -> SpokenNumber | None:
    units = {unit for code in FRACTION_OF for unit in reader.words.units[code]}
    for said, value in FRACTIONS.items():
        end = at + len(said)
        if tuple(reader.word(place) for place in range(at, end)) != said:
            continue
        end += reader.word(end) == "of"
        end += reader.word(end) in ("a", "an")
        if reader.word(end) in units:
            return SpokenNumber(value, at, end, decimal=True)
    return None


def _figures(reader: _Reader, at: int) -> SpokenNumber | None:
    text = reader.word(at)
    if len(text) > LONGEST_FIGURES:
        return None
    if DECIMAL_COMMA.fullmatch(text):
        return SpokenNumber(Decimal(text.replace(",", ".")), at, at + 1, decimal=True)
    text = text.replace(",", "")
    if "." in reader.word(at):
        if not DIGITS.fullmatch(text):
            return None
        return SpokenNumber(Decimal(text), at, at + 1, decimal=True)
    if "," in reader.word(at):
        return SpokenNumber(Decimal(text), at, at + 1)
    return _run(reader, at)


def _run(reader: _Reader, at: int) -> SpokenNumber | None:
    first = reader.chunk(at)
    if first is None:
        return None
    value, end = first
    digits = str(value)
    if value == 0 and reader.word(at) in ("oh", "o") and reader.word(end) != "point":
        return None
    while (more := reader.chunk(end)) is not None and more[0] < HUNDRED:
        # "seven eighty", "ten oh four", "nine eight five": said figure by figure.
        if len(digits) + len(str(more[0])) > MOST_DIGITS:
            break
        if value >= HUNDRED and "hundred" in (reader.word(i) for i in range(at, end)):
            break
        digits += str(more[0])
        end = more[1]
    value = int(digits)
    if reader.word(end) == "point":
        pointed = _after_point(reader, value, at, end)
        if pointed is not None:
            return pointed
    part = PARTS.get(tuple(reader.word(end + step) for step in range(3)))
    if part is not None:
        return SpokenNumber(value + part, at, end + 3, decimal=True)
    alone = end - at == 1 and reader.tokens[at].kind == "word"
    return SpokenNumber(Decimal(value), at, end, plain_word=alone)


def _after_point(reader: _Reader, whole: int, start: int, at: int) -> SpokenNumber | None:
    end, digits = at + 1, ""
    while reader.word(end) and (read := reader.small(end)) is not None:
        digits += str(read[0])
        end = read[1]
    if not digits:
        return None
    return SpokenNumber(Decimal(f"{whole}.{digits}"), start, end, decimal=True)
