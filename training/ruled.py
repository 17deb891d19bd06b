"""A text as the rules read it: its words with their hints, and where the rules see names."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from cavyround.engines.spoken.reading import Reading
from cavyround.engines.spoken.trained.hints import Hints
from training import codes
from training.examples import Place


@dataclass(frozen=True, slots=True)
class Ruled:
    """For each word its place, its hints and the animals the rules take it to be said of.

    ``named``: a name and the stretches of words that are it; ``numbers``: the first word of each
    number and its value.
    """

    places: tuple[Place, ...]
    hints: tuple[tuple[str, ...], ...]
    by_rules: tuple[frozenset[str], ...]
    named: tuple[tuple[str, range], ...]
    numbers: tuple[tuple[int, Decimal], ...]

    def words_in(self, place: Place) -> list[int]:
        """The words a stretch of the text touches."""
        start, end = place
        return [at for at, (a, b) in enumerate(self.places) if a < end and b > start]

    def begins(self, at: int) -> bool:
        """Whether a word begins what it belongs to."""
        return "B" in self.hints[at]


def ruled(text: str, pen: Sequence[str] = ()) -> Ruled:
    """Read a text by the rules."""
    reading = Reading(text, codes.book(), pen, "")
    hints = Hints(reading, reading.note())
    items = [(hints.words_in(one.span), one) for one in reading.items]
    return Ruled(
        places=tuple((one.span.start, one.span.end) for one in reading.tokens),
        hints=tuple(tuple(each) for each in hints.codes()),
        by_rules=tuple(frozenset(each) for each in hints.owners),
        named=tuple((one.name, words) for words, one in items if one.name and words),
        numbers=tuple(
            (words.start, one.number.value) for words, one in items if one.number is not None
        ),
    )
