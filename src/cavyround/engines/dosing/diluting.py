"""Thinning a strong liquid in steps of ten, until the dose can be measured.

Only by tens, so that it can be checked by hand by moving the point; each step with
volumes that stand exactly on a mark of a syringe in the hand.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from cavyround.engines.dosing.given import Syringe
from cavyround.engines.dosing.measuring import NEAREST, Rounding, measure_volume
from cavyround.engines.dosing.said import Dilution, Measure
from cavyround.facts.quantities import Volume, times
from cavyround.facts.saying_amounts import amount_words, strength_words
from cavyround.facts.strengths import PerVolume
from cavyround.knowledge.book import Knowledge

TEN = Decimal(10)
NINE_PARTS = Decimal("0.9")
ONE_PART = Decimal("0.1")
MOST_STEPS = 2
# What is made up at once: enough for the dose and no more than is thrown away lightly.
BATCHES_ML = tuple(Decimal(ml) for ml in (1, 2, 5, 10, 20))
WHICH = "the liquid the vet names"
KEEP = "Label it with its strength and the time; use it at once and throw the rest away."


@dataclass(frozen=True, slots=True)
class _Batch:
    """One step: so much strong liquid and so much diluent, each on a mark."""

    strong: Measure
    diluent: Measure
    makes: Volume


def dilution_for(
    volume: Volume,
    strength: PerVolume,
    diluent: str,
    syringes: Sequence[Syringe],
    rounding: Rounding,
    *,
    book: Knowledge,
) -> Dilution | None:
    """The least thinning by tens that lets the dose be measured well; None where none does."""
    warn = book.number("dose_round_warn_pct")
    factor = Decimal(1)
    for steps in range(1, MOST_STEPS + 1):
        factor = times(factor, TEN)
        wanted = volume.scaled(factor)
        measure = measure_volume(wanted, syringes, rounding, book=book)
        if not isinstance(measure, Measure) or abs(measure.error_pct) > warn:
            continue
        batches = _batches(wanted, steps, syringes, book)
        if batches is None:
            continue
        return Dilution(
            factor=factor,
            strength=strength.weaker(factor),
            steps=tuple(_steps(batches, strength, diluent or WHICH, measure)),
            volume=wanted,
            measure=measure,
            diluent=diluent,
            stock=_taken(batches),
        )
    return None


@dataclass(frozen=True, slots=True)
class Thinned:
    """How to take so little of a concentrate: ``factor`` 1 and no steps where it can be taken.

    ``stock`` is what is taken of the concentrate itself.
    """

    factor: Decimal
    steps: tuple[str, ...]
    measure: Measure
    stock: Volume


def thinned_until(
    volume: Volume, strength: PerVolume, syringes: Sequence[Syringe], *, book: Knowledge
) -> Thinned | None:
    """How so little of a concentrate is taken, thinned as little as can be; None for no way."""
    warn = book.number("dose_round_warn_pct")
    factor = Decimal(1)
    for steps in range(MOST_STEPS + 1):
        wanted = volume.scaled(factor)
        measure = measure_volume(wanted, syringes, NEAREST, book=book)
        if isinstance(measure, Measure) and abs(measure.error_pct) <= warn:
            batches = _batches(wanted, steps, syringes, book) if steps else []
            if batches is not None:
                stock = _taken(batches) if batches else Volume(measure.to.number)
                thinning = tuple(_thinning(batches, strength, "water"))
                return Thinned(factor, thinning, measure, stock)
        factor = times(factor, TEN)
    return None


def _taken(batches: Sequence[_Batch]) -> Volume:
    """What the first step takes of the strong liquid."""
    return Volume(batches[0].strong.to.number)


def _batches(
    wanted: Volume, steps: int, syringes: Sequence[Syringe], book: Knowledge
) -> list[_Batch] | None:
    """One batch for each step, the last large enough for the dose."""
    batches: list[_Batch] = []
    needed = wanted
    for _ in range(steps):
        batch = _batch(needed, syringes, book)
        if batch is None:
            return None
        batches.insert(0, batch)
        needed = batch.makes.scaled(ONE_PART)
    return batches


def _batch(needed: Volume, syringes: Sequence[Syringe], book: Knowledge) -> _Batch | None:
    marks = book.number("dose_dilution_marks")
    for makes in (Volume(ml) for ml in BATCHES_ML):
        if makes < needed:
            continue
        strong = _exactly(makes.scaled(ONE_PART), marks, syringes, book)
        diluent = _exactly(makes.scaled(NINE_PARTS), marks, syringes, book)
        if strong and diluent:
            return _Batch(strong, diluent, makes)
    return None


def _exactly(
    volume: Volume, marks: Decimal, syringes: Sequence[Syringe], book: Knowledge
) -> Measure | None:
    fine = [one for one in syringes if volume.ml >= times(marks, one.mark_ml)]
    measure = measure_volume(volume, fine, NEAREST, book=book)
    return measure if isinstance(measure, Measure) and not measure.error_pct else None


def _thinning(batches: Sequence[_Batch], strength: PerVolume, diluent: str) -> Iterator[str]:
    now = strength
    what = "the strong liquid"
    for batch in batches:
        yield (
            f"Take {amount_words(batch.strong.to)} of {what} ({strength_words(now)}) "
            f"with the {batch.strong.device_words}."
        )
        now = now.weaker(TEN)
        yield (
            f"Add {amount_words(batch.diluent.to)} of {diluent} with a clean "
            f"{batch.diluent.device_words}: 1 part and 9 parts, {amount_words(batch.makes)} "
            f"of {strength_words(now)}. Mix it well."
        )
        what = "that mixture"


def _steps(
    batches: Sequence[_Batch], strength: PerVolume, diluent: str, measure: Measure
) -> Iterator[str]:
    yield from _thinning(batches, strength, diluent)
    yield f"Of the last mixture {measure.words}."
    yield KEEP


def parts(strong: PerVolume, weak: PerVolume) -> tuple[Decimal, Decimal]:
    """So many parts of the strong liquid and of diluent make the weak one, as per cents are said.

    By the method of alligation: the strength wanted, and the strong one less it.
    """
    return weak.per_ml, strong.per_ml - weak.per_ml


def stock_for(strong: PerVolume, weak: PerVolume, total: Volume) -> tuple[Volume, Volume]:
    """The strong liquid and the diluent that make so much of the weak one (C1V1 = C2V2)."""
    wanted = weak.active_in(total)
    stock = strong.volume_of(wanted)
    return stock, Volume(total.ml - stock.ml)
