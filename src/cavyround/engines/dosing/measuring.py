"""The syringe that measures a dose best, the mark on it, and how far that mark is off."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal

from cavyround.engines.dosing.given import Syringe
from cavyround.engines.dosing.said import Direction, Measure
from cavyround.facts.quantities import EXACT, Drops, Mass, MassUnit, Pieces, Volume, over, times
from cavyround.facts.saying_amounts import amount_words, number_words
from cavyround.knowledge.book import Knowledge

HUNDRED = Decimal(100)
ONE = Decimal(1)
HALF = Decimal("0.5")
PERCENT_SHOWN = Decimal("0.1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Rounding:
    """How a dose may be rounded: always down, or up by no more than ``grows`` allows."""

    down: bool = False
    grows: Decimal | None = None


NEAREST = Rounding()


@dataclass(frozen=True, slots=True, kw_only=True)
class Unmeasured:
    """No mark measures it. ``holds`` False: too much for every syringe; else too little."""

    holds: bool
    best: Measure | None = None


def to_mark(number: Decimal, mark: Decimal, rounding: Rounding = NEAREST) -> Decimal:
    """The mark a number is rounded to: the nearest, half a mark upwards, unless held down."""
    marks = over(number, mark)
    nearest = times(marks.quantize(ONE, ROUND_HALF_UP, EXACT), mark)
    grown_too_far = rounding.grows is not None and nearest > times(number, rounding.grows)
    if nearest > number and (rounding.down or grown_too_far):
        return times(marks.quantize(ONE, ROUND_FLOOR, EXACT), mark)
    return nearest


def error_pct(marked: Decimal, wanted: Decimal) -> Decimal:
    """How far the mark lies from the dose, in per cent; more than nought for too much."""
    return over(times(marked - wanted, HUNDRED), wanted)


def direction(marked: Decimal, wanted: Decimal) -> Direction:
    """Which way it was rounded."""
    if marked == wanted:
        return Direction.EXACT
    return Direction.UP if marked > wanted else Direction.DOWN


def measure_volume(
    volume: Volume, syringes: Sequence[Syringe], rounding: Rounding, *, book: Knowledge
) -> Measure | Unmeasured:
    """The best of the syringes in hand for a volume.

    Best is the one whose mark may be least far off: its rounding and half a mark of
    reading together; of two as good, the smaller.
    """
    marked = [(syringe, to_mark(volume.ml, syringe.mark_ml, rounding)) for syringe in syringes]
    holding = [(s, to) for s, to in marked if volume.ml <= s.holds_ml and to <= s.holds_ml]
    if not holding:
        return Unmeasured(holds=False)
    least_marks = book.number("dose_smallest_marks")
    stop, warn = book.number("dose_round_stop_pct"), book.number("dose_round_warn_pct")
    fit = [
        (syringe, to)
        for syringe, to in holding
        if to >= times(least_marks, syringe.mark_ml) and abs(error_pct(to, volume.ml)) <= stop
    ]
    if not fit:
        return Unmeasured(holds=True, best=_best(holding, volume))
    good = [one for one in fit if abs(error_pct(one[1], volume.ml)) <= warn]
    return _best(good or fit, volume)


def _best(candidates: Sequence[tuple[Syringe, Decimal]], volume: Volume) -> Measure:
    def off(one: tuple[Syringe, Decimal]) -> tuple[Decimal, Decimal, Decimal, str]:
        syringe, to = one
        reading = over(times(times(syringe.mark_ml, HALF), HUNDRED), volume.ml)
        far = abs(error_pct(to, volume.ml)) + reading
        return far, syringe.holds_ml, syringe.mark_ml, syringe.code

    syringe, to = min(candidates, key=off)
    return drawn(syringe, Volume(to), volume)


def drawn(syringe: Syringe, to: Volume, wanted: Volume) -> Measure:
    """A volume drawn up to a mark, in words."""
    mark = f"{number_words(to.ml)} mL"
    if syringe.marked_in == "units":
        units = over(to.ml, syringe.mark_ml)
        mark = f"{number_words(units)} unit{'' if units == 1 else 's'} ({mark})"
    return Measure(
        to=to,
        words=f"draw up to {mark} in the {syringe.words}",
        device=syringe.code,
        device_words=syringe.words,
        error_pct=error_pct(to.ml, wanted.ml),
        direction=direction(to.ml, wanted.ml),
    )


def weigh_out(paste: Mass, rounding: Rounding, *, book: Knowledge) -> Measure | Unmeasured:
    """A paste weighed out on a scale of hundredths of a gram, at least a few marks of it."""
    mark = Mass.of(book.number("dose_scale_mark_g"), MassUnit.G).mg
    to = to_mark(paste.mg, mark, rounding)
    grams = Mass(to).in_unit(MassUnit.G)
    measure = Measure(
        to=Mass(to),
        words=f"weigh out {number_words(grams)} g",
        error_pct=error_pct(to, paste.mg),
        direction=direction(to, paste.mg),
    )
    least = times(book.number("dose_smallest_marks"), mark)
    return _checked(measure, book) if to >= least else Unmeasured(holds=True, best=measure)


def count_drops(drops: Drops, rounding: Rounding, *, book: Knowledge) -> Measure | Unmeasured:
    """Whole drops, at least one."""
    to = to_mark(drops.count, ONE, rounding)
    words = f"give {amount_words(Drops(to))}"
    error, way = error_pct(to, drops.count), direction(to, drops.count)
    measure = Measure(to=Drops(to), words=words, error_pct=error, direction=way)
    return _checked(measure, book)


def count_pieces(pieces: Pieces, piece: str) -> Measure | Unmeasured:
    """Whole pieces only: a pipette, tube, tablet or implant is not divided here."""
    if pieces.count != pieces.count.to_integral_value():
        return Unmeasured(holds=True)
    several = "" if pieces.count == 1 else "s"
    return Measure(to=pieces, words=f"use {number_words(pieces.count)} whole {piece}{several}")


def _checked(measure: Measure, book: Knowledge) -> Measure | Unmeasured:
    if measure.to.number <= 0 or abs(measure.error_pct) > book.number("dose_round_stop_pct"):
        return Unmeasured(holds=True, best=measure)
    return measure


def error_words(measure: Measure) -> str:
    """``exactly on the mark``, ``rounded down, 6.3 % too little``."""
    if measure.direction is Direction.EXACT:
        return "exactly on the mark"
    size = abs(measure.error_pct).quantize(PERCENT_SHOWN, ROUND_HALF_UP)
    shown = number_words(size) if size else "less than 0.1"
    too = "much" if measure.direction is Direction.UP else "little"
    return f"rounded {measure.direction}, {shown} % too {too}"
