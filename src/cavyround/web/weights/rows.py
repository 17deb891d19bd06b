"""Animals in a row or a small plot each: where, how heavy, what is said, when to weigh again."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from uuid import UUID

from django.utils.safestring import SafeString

from cavyround.engines.weight.condition import Felt, Look
from cavyround.engines.weight.said import Reading
from cavyround.record.models import Animal
from cavyround.web.templatetags.words import ounces
from cavyround.web.weights.felt import felt_words
from cavyround.web.weights.kept import SHOWN, kind_of
from cavyround.web.weights.measures import plain_grams, short_day, signed
from cavyround.web.weights.one_animal import SIGNS
from cavyround.web.weights.saying import Said, due_at, said_of, trend_arrow, trend_short
from cavyround.web.weights.small import Frame, Spot, small_plot


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One animal of a list."""

    animal: Any
    reading: Reading
    said: Said
    plot: SafeString
    condition: str = ""
    kind: str
    now: datetime

    @property
    def trend(self) -> str:
        """The trend in short; none where the last weighing is too old to speak of one."""
        return "" if self.said.stale else trend_short(self.reading)

    @property
    def arrow(self) -> str:
        """Which way it goes."""
        return "" if self.said.stale else trend_arrow(self.reading)

    @property
    def again(self) -> str:
        """When to weigh again, in short."""
        due = due_at(self.reading)
        return short_day(due, self.now) if due else "now"

    @property
    def ounces(self) -> str:
        """The last weight in pounds and ounces."""
        return ounces(self.reading.last_g) if self.reading.last_g else ""

    @property
    def grams(self) -> str:
        """The last weight in grams; a word where there is none."""
        return plain_grams(self.reading.last_g) if self.reading.last_g else "not weighed"

    @property
    def of_normal(self) -> str:
        """The last weight against the own normal, per cent."""
        last, normal = self.reading.last_g, self.reading.own_normal
        if last is None or normal is None or normal.mid <= 0:
            return ""
        return f"{signed((float(last) / normal.mid - 1) * 100, 1)} %"

    @property
    def normal(self) -> str:
        """The own normal in grams."""
        return plain_grams(self.reading.own_normal.mid) if self.reading.own_normal else ""


@dataclass(frozen=True, slots=True)
class Drawn:
    """How the small plots of a list look; ``together`` gives all of them one scale."""

    width: int = 120
    height: int = 62
    named: bool = False
    together: bool = False


def rows_of(
    animals: Iterable[Animal],
    readings: Mapping[UUID, Reading],
    spots: Mapping[UUID, Sequence[Spot]],
    now: datetime,
    look: Drawn = Drawn(),
    felt: Mapping[UUID, Felt] | None = None,
) -> list[Row]:
    """A row for each, in the order given."""
    begun = Frame(now - SHOWN, now, look.width, look.height, named=look.named)
    common = begun.holding([spot for some in spots.values() for spot in some])
    rows = [
        _row(
            animal,
            readings[animal.pk],
            spots[animal.pk],
            common if look.together else begun.holding(spots[animal.pk]),
        )
        for animal in animals
    ]
    known = felt or {}
    return [replace(row, condition=_condition(known.get(row.animal.pk))) for row in rows]


def _condition(felt: Felt | None) -> str:
    """The body condition, where it was scored or is not as it should be."""
    if felt is None or (felt.score is None and felt.look is Look.IDEAL):
        return ""
    return f"body condition {felt_words(felt)}"


def _row(animal: Animal, reading: Reading, spots: Sequence[Spot], frame: Frame) -> Row:
    kind = kind_of(reading)
    said = said_of(reading, frame.end)
    state = SIGNS[kind][1] if kind else "no alarm"
    words = f"Weights of {animal.name} in the last eight weeks: {state}. {said.trend}"
    plot = small_plot(spots, frame, words.strip())
    return Row(animal=animal, reading=reading, said=said, plot=plot, kind=kind, now=frame.end)
