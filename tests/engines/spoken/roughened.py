"""A note as it comes in bad conditions: without case, in digits, with words lost, misheard."""

import random
import re
from collections.abc import Iterator, Mapping
from itertools import pairwise

from cavyround.engines.spoken.numbers import number_at
from cavyround.engines.spoken.tokens import tokens_of
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.words import MisheardWords
from tests.scoring_notes import Note

LOST = 0.05
# Shorter numbers are as often words ("one ear", "two of them") as numbers.
LEAST_DIGITS = 10


def without_case(text: str) -> str:
    """Lower case, no punctuation but the apostrophes."""
    return re.sub(r"\s+", " ", re.sub(r"[^\w\s'\u2019]|_", " ", text.lower())).strip()


def in_digits(text: str, book: Knowledge) -> str:
    """Numbers in words as a recogniser writes them in digits."""
    tokens = tokens_of(text)
    pieces: list[str] = []
    done = at = 0
    while at < len(tokens):
        number = number_at(tokens, at, book.words.numbers)
        if number is None or number.value < LEAST_DIGITS:
            at += 1
            continue
        pieces += [text[done : tokens[at].span.start], f"{number.value.normalize():f}"]
        done, at = tokens[number.end - 1].span.end, number.end
    return "".join((*pieces, text[done:]))


def with_words_lost(text: str, chance: random.Random) -> str:
    """One word of twenty is not there."""
    return " ".join(word for word in text.split() if chance.random() >= LOST)


def misheard(text: str, book: Knowledge) -> Iterator[str]:
    """The note with each slip of the words' data put in where its own neighbours stand by it."""
    for slip in book.words.misheard:
        for heard in slip.heard:
            said = _as_heard(text, heard, slip)
            if said is not None:
                yield said


def _as_heard(text: str, heard: str, slip: MisheardWords) -> str | None:
    """The text with one meant word as it was heard; None where no neighbour would betray it."""
    for found in re.finditer(rf"\b{re.escape(slip.means)}\b", text, re.IGNORECASE):
        before = re.findall(r"[\w']+", text[: found.start()].lower())[-1:]
        after = re.findall(r"[\w']+", text[found.end() :].lower())[:1]
        free = not (slip.before or slip.after or slip.beside)
        if free or set(before) & set(slip.after) or set(after) & set(slip.before):
            return text[: found.start()] + heard + text[found.end() :]
    return None


def two_at_once(notes: list[Note]) -> Iterator[tuple[Note, Note]]:
    """Notes that run together, each with the next that speaks of other animals."""
    for one, other in pairwise(notes):
        names = {animal["animal"].lower() for animal in one["animals"]}
        if not names & {animal["animal"].lower() for animal in other["animals"]}:
            yield one, other


def joined(one: Note, other: Note) -> Mapping[str, object]:
    """Two notes as one."""
    return {
        "id": f"{one['id']}+{other['id']}",
        "text": f"{one['text']} {other['text']}",
        "animals": [*one["animals"], *other["animals"]],
    }
