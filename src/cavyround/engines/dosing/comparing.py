"""A dose against what is published: inside, outside, tenfold away, or nothing known.

Ranges of different sources are never averaged. Only a range that was seen in its source,
for this route and counted the same way, can make a dose "inside".
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from cavyround.engines.dosing.published import (
    COUNTED,
    MORE_OFTEN,
    SINGLE_ONLY,
    Asked,
    hours_between,
    how_often,
    range_words,
    standing,
)
from cavyround.engines.dosing.said import (
    ComparedRange,
    Comparison,
    Findings,
    Reason,
    Standing,
    Verdict,
)
from cavyround.facts.quantities import over, times
from cavyround.facts.saying_amounts import number_words
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.medicines import DoseStop, Medicine, PublishedDose

READ_BACK = "Read the dose back to the vet, figure by figure and with its unit."
ASK_WHICH = "Ask the vet which is meant, then confirm."
NONE_KNOWN = Comparison(
    verdict=Verdict.NONE_KNOWN, words="no published range for guinea pigs is known here"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """A published dose, the ordered one as a number of its unit, and where that lies."""

    published: PublishedDose
    number: Decimal
    standing: Standing
    often: str
    same_basis: bool

    @property
    def top(self) -> Decimal:
        """How many times the top of the range the dose is."""
        return over(self.number, self.published.high)

    @property
    def away(self) -> Decimal:
        """How many times too high or too low it is; 1 at either end of the range."""
        if self.standing is Standing.BELOW:
            return over(self.published.low, self.number)
        return self.top

    @property
    def counts(self) -> bool:
        """Whether the dose lies inside, and no more often than published."""
        return self.standing is Standing.INSIDE and self.often not in (MORE_OFTEN, SINGLE_ONLY)


def compare(
    asked: Asked, medicine: Medicine | None, route: str, *, book: Knowledge
) -> tuple[Comparison, Findings]:
    """The dose against every published range of its medicine, and what speaks against it."""
    found = Findings()
    if medicine is None:
        return NONE_KNOWN, found
    _look_at_stops(asked, medicine, found)
    all_rows = [row for dose in medicine.doses if (row := _row(dose, asked)) is not None]
    rows = [r for r in all_rows if not r.published.routes or route in r.published.routes]
    slips = [row for row in rows or all_rows if COUNTED[row.published.unit].basis != "kg_day"]
    found.add(_slips(slips, asked, medicine, book))
    often = _shortest_verified(medicine, asked)
    if often is not None and not found.has("far_too_often"):
        _look_at_interval(often, asked, found, book)
    if not rows:
        return _nothing_for(asked, medicine, all_rows, found), found
    if all(not row.same_basis for row in rows):
        found.reasons.append(_other_basis(asked, rows, book))
    return _verdict(rows, book, too_often=often is not None), found


def _row(dose: PublishedDose, asked: Asked) -> _Row | None:
    number = asked.in_unit(dose.unit)
    if number is None:
        return None
    basis = COUNTED[dose.unit].basis
    return _Row(
        published=dose,
        number=number,
        standing=standing(number, dose.low, dose.high),
        often="" if basis == "kg_day" else how_often(dose, asked.per_day),
        same_basis=basis == asked.basis or (basis, asked.basis) == ("kg_day", "kg"),
    )


def _nothing_for(
    asked: Asked, medicine: Medicine, all_rows: Sequence[_Row], found: Findings
) -> Comparison:
    if medicine.doses and not all_rows:
        counted = {COUNTED[dose.unit].words for dose in medicine.doses}
        needs_weight = asked.grams is None and any("kg" in words for words in counted)
        if not needs_weight and not asked.each_kg_only:
            found.reasons.append(
                Reason(
                    code="unit_unlike_published",
                    words=f"It is published in {' and '.join(sorted(counted))}, ordered otherwise.",
                    do=READ_BACK,
                    may="vet",
                )
            )
        return NONE_KNOWN
    if not medicine.doses:
        return NONE_KNOWN
    return Comparison(
        verdict=Verdict.NONE_KNOWN,
        words="no published range for guinea pigs is known here for this way of giving it",
    )


def _shortest_verified(medicine: Medicine, asked: Asked) -> PublishedDose | None:
    """The verified dose given most often, where the order gives it more often still.

    What is only remembered makes no shorter time between doses a published one.
    """
    if asked.per_day is None:
        return None
    timed = [
        (dose.every_hours.low, place, dose)
        for place, dose in enumerate(medicine.doses)
        if dose.sure == "seen" and dose.every_hours and COUNTED[dose.unit].basis != "kg_day"
    ]
    if not timed:
        return None
    hours, _, dose = min(timed)
    return dose if hours_between(asked.per_day) < hours else None


def _look_at_interval(often: PublishedDose, asked: Asked, found: Findings, book: Knowledge) -> None:
    """Far more often than any verified source gives it: stopped, whatever its size."""
    if asked.per_day is None or often.every_hours is None:
        return
    times_as_often = over(often.every_hours.low, hours_between(asked.per_day))
    if times_as_often < book.number("dose_far_factor"):
        return
    words = (
        f"It is given {number_words(times_as_often, 2)} times as often as any checked source "
        f"gives it ({range_words(often, book)})."
    )
    found.reasons.append(
        Reason(code="far_too_often", words=words, do=READ_BACK, may="vet", sources=often.sources)
    )


def _verdict(rows: Sequence[_Row], book: Knowledge, *, too_often: bool) -> Comparison:
    shown = tuple(
        ComparedRange(
            words=range_words(row.published, book),
            standing=row.standing,
            often=row.often,
            sure=row.published.sure,
            note=row.published.note,
            sources=row.published.sources,
        )
        for row in rows
    )
    counting = [] if too_often else [row for row in rows if row.counts]
    verified = [
        r for r in counting if r.published.sure == "seen" and r.published.routes and r.same_basis
    ]
    if verified:
        words = f"inside a published range: {range_words(verified[0].published, book)}"
        return Comparison(verdict=Verdict.INSIDE, words=words, ranges=shown)
    if counting:
        like = next((row for row in counting if row.same_basis), counting[0])
        words = f"unverified: it agrees only with {_doubtful(like, book)}"
        return Comparison(verdict=Verdict.UNVERIFIED, words=words, ranges=shown)
    return Comparison(verdict=Verdict.OUTSIDE, words=_outside(rows, book), ranges=shown)


def _doubtful(row: _Row, book: Knowledge) -> str:
    words = range_words(row.published, book)
    if not row.same_basis:
        return f"a range counted another way ({words})"
    if row.published.sure == "memory":
        return f"a range from memory that nobody has checked ({words})"
    return f"a range not to be built on ({words})"


def _outside(rows: Sequence[_Row], book: Knowledge) -> str:
    inside = [row for row in rows if row.standing is Standing.INSIDE]
    if inside and all(row.often == SINGLE_ONLY for row in inside):
        once = range_words(inside[0].published, book)
        return f"outside: {once} is {SINGLE_ONLY}, and this order repeats it"
    if inside:
        return "outside: the dose lies in a published range, but it is given more often"
    nearest = min(rows, key=lambda row: row.away)
    words = f"outside every published range; nearest {range_words(nearest.published, book)}"
    if all(row.published.sure != "seen" for row in rows):
        words += ", itself unverified"
    return words


def _other_basis(asked: Asked, rows: Sequence[_Row], book: Knowledge) -> Reason:
    ordered = "per kg" if asked.basis == "kg" else "for the whole animal"
    published = range_words(rows[0].published, book)
    # A dose for a whole animal, given for each kg, is the one that grows with the animal.
    return Reason(
        code="per_kg_or_animal",
        words=f"It is ordered {ordered}, but published as {published}.",
        do=READ_BACK if asked.basis == "kg" else ASK_WHICH,
        may="vet" if asked.basis == "kg" else "carer",
        sources=rows[0].published.sources,
    )


def _look_at_stops(asked: Asked, medicine: Medicine, found: Findings) -> None:
    for stop in medicine.stops:
        number = asked.in_unit(stop.unit)
        if number is None or number <= stop.above:
            continue
        words = f"More than {number_words(stop.above)} {COUNTED[stop.unit].words}: {stop.words}."
        if stop.may == "said":
            found.say(words, stop.sources)
            continue
        found.reasons.append(_stopped(stop, words, number))


def _stopped(stop: DoseStop, words: str, number: Decimal) -> Reason:
    do = "Do not give it. Ring the vet." if stop.may == "nobody" else READ_BACK
    about = f"{number_words(stop.above)} {stop.unit}"
    return Reason(
        code="above_stop",
        words=words,
        do=do,
        may=stop.may,
        about=about,
        sources=stop.sources,
        at=number,
    )


def _slips(rows: Sequence[_Row], asked: Asked, medicine: Medicine, book: Knowledge) -> Findings:
    """Tenfold and far away, and far too often."""
    found = Findings()
    if not rows:
        return found
    tenfold, far = book.number("dose_tenfold"), book.number("dose_far_factor")
    if all(row.standing is Standing.ABOVE for row in rows):
        least = min(row.top for row in rows)
        # A tenth of it would still lie in, or above, a published range: a point was lost.
        if any(row.number >= times(tenfold, row.published.low) for row in rows):
            found.reasons.append(_far("tenfold", least, rows, medicine, asked, book))
        elif least >= far:
            found.reasons.append(_far("far_above", least, rows, medicine, asked, book))
    elif all(row.standing is Standing.BELOW for row in rows):
        if any(times(tenfold, row.number) <= row.published.high for row in rows):
            nearest = max(row.top for row in rows)
            found.reasons.append(_far("tenfold", nearest, rows, medicine, asked, book))
    elif _far_too_often(rows, asked, far):
        often = range_words(rows[0].published, book)
        words = f"Over time {number_words(far)} times and more goes in than by what is published"
        words += f" ({often})."
        found.reasons.append(Reason(code="far_too_often", words=words, do=READ_BACK, may="vet"))
    return found


def _far_too_often(rows: Iterable[_Row], asked: Asked, far: Decimal) -> bool:
    """Whether far more goes in over time than any range that states a time allows."""
    if asked.per_day is None:
        return False
    timed = [(row, row.published.every_hours) for row in rows]
    rates = [
        over(
            times(times(row.number, asked.per_day), every.low),
            times(row.published.high, Decimal(24)),
        )
        for row, every in timed
        if every is not None
    ]
    return bool(rates) and min(rates) >= far


def _far(
    code: str,
    top: Decimal,
    rows: Sequence[_Row],
    medicine: Medicine,
    asked: Asked,
    book: Knowledge,
) -> Reason:
    nearest = min(rows, key=lambda row: abs(row.top - top))
    published = range_words(nearest.published, book)
    words = f"It is {number_words(top, 3)} times the top of what is published ({published})."
    if nearest.standing is Standing.BELOW:
        part = over(times(nearest.number, Decimal(100)), nearest.published.low)
        words = f"It is {number_words(part, 2)} % of the least that is published ({published})."
    for trap in book.medicines.traps:
        printed = trap.printed if trap.medicine == medicine.id else None
        if printed is not None and asked.in_unit(printed.unit) == printed.value:
            words += f" {trap.words}"
    too_little = nearest.standing is Standing.BELOW
    return Reason(
        code=code,
        words=words,
        do=READ_BACK,
        may="vet",
        of="too little" if too_little else "too much",
        sources=nearest.published.sources,
        at=nearest.number,
        worse="less" if too_little else "more",
    )


def may_grow_by(asked: Asked, medicine: Medicine | None) -> Decimal | None:
    """By what factor rounding may raise the dose before it crosses a stop; None: by any."""
    stops = medicine.stops if medicine else ()
    numbers = [(asked.in_unit(stop.unit), stop.above) for stop in stops]
    factors = [over(top, number) for number, top in numbers if number and number <= top]
    return min(factors) if factors else None
