"""Whether the repeats of a course fit the cycle of the parasite it is against.

A dose kills what moves and, unless it is known to, not the eggs. So a repeat must come
before what has hatched since can lay again, and the last must come after the last egg
has hatched. Where no source gives a hatching time, the whole cycle stands in for it; a
number from memory is shown and only softens a warning. The vet decides: sources
disagree, and a published trial outweighs this arithmetic.
"""

from dataclasses import dataclass
from datetime import tzinfo
from decimal import Decimal
from enum import StrEnum
from math import ceil

from cavyround.engines.courses.slots import CourseDue
from cavyround.engines.courses.timing import Timing, timing_as_given, timing_of
from cavyround.facts.courses import Course
from cavyround.facts.lengths import days
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.courses import EggDays
from cavyround.knowledge.facts_of_trade import Infection, Range

DAYS_OF = {"days": 1, "weeks": 7}
# A course of more doses than this is ended by the vet, not by counting eggs.
MOST_DOSES_NAMED = 60


class Doubt(StrEnum):
    """What does not fit about the timing."""

    LETS_EGGS_THROUGH = "lets_eggs_through"
    ENDS_TOO_SOON = "ends_too_soon"
    CYCLE_NOT_KNOWN = "cycle_not_known"


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleWarning:
    """One doubt about the timing. ``surely`` is False where the numbers only allow it."""

    doubt: Doubt
    surely: bool
    words: str
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleCheck:
    """How one course fits one parasite's cycle.

    ``cycles`` is how many of the longest cycles lie between first and last dose.
    ``least_doses`` is how many outlast the eggs at this interval. ``published`` are the
    re-treatment times of the sources, ``around`` what brings it back from around the animal.
    """

    infection: str
    name: str
    warnings: tuple[CycleWarning, ...]
    span_days: int | None
    cycles: Decimal | None = None
    least_doses: int | None = None
    published: str = ""
    around: str = ""


@dataclass(frozen=True, slots=True)
class _Eggs:
    """Within how many days every egg has hatched: seen in a source, or the cycle in its stead."""

    low: int
    high: int
    words: str
    sources: tuple[str, ...]
    remembered: EggDays | None = None
    is_cycle: bool = False


def cycle_checks(course: Course, *, book: Knowledge) -> tuple[CycleCheck, ...]:
    """How the course fits each parasite it is against; none of what the knowledge does not name."""
    return _checks(course, timing_of(course), book)


def cycle_checks_as_given(
    standing: CourseDue, *, zone: tzinfo, book: Knowledge
) -> tuple[CycleCheck, ...]:
    """The same of the doses as they were given: a missed or late one may let eggs through.

    Nothing while no dose went in.
    """
    timing = timing_as_given(standing, zone)
    return () if timing is None else _checks(standing.course, timing, book)


def _checks(course: Course, timing: Timing, book: Knowledge) -> tuple[CycleCheck, ...]:
    known = (book.infection(name) for name in course.against)
    parasites = [one for one in known if one is not None and one.kind == "parasite"]
    return tuple(_check(one, course, timing, book) for one in parasites)


def _check(infection: Infection, course: Course, timing: Timing, book: Knowledge) -> CycleCheck:
    model = _standing_in(infection, book)
    cycle = _days(model.cycle)
    eggs = _eggs(model) if _eggs_outlive(infection, course) else None
    return CycleCheck(
        infection=infection.id,
        name=infection.name,
        warnings=tuple(_warnings(infection, model, course, timing, eggs)),
        span_days=timing.span,
        cycles=_cycles(timing, cycle),
        least_doses=_least_doses(timing, eggs),
        published=infection.retreat.words if infection.retreat else "",
        around=_around(infection) or _around(model),
    )


def _standing_in(infection: Infection, book: Knowledge) -> Infection:
    """The parasite itself, or the one whose numbers are used because its own were not found."""
    like = infection.course.like if infection.course else None
    return (book.infection(like) if like else None) or infection


def _around(infection: Infection) -> str:
    return infection.course.around if infection.course else ""


def _eggs_outlive(infection: Infection, course: Course) -> bool:
    return infection.course is not None and infection.course.eggs_stay and not course.kills_eggs


def _warnings(
    infection: Infection, model: Infection, course: Course, timing: Timing, eggs: _Eggs | None
) -> list[CycleWarning]:
    if not _eggs_outlive(infection, course):
        return []
    cycle = _days(model.cycle)
    if eggs is None or cycle is None or model.cycle is None:
        words = f"How long the eggs of this parasite live was not found: {infection.name}."
        return [CycleWarning(doubt=Doubt.CYCLE_NOT_KNOWN, surely=False, words=words)]
    warnings = [_through(infection, model.cycle, cycle, timing), _too_soon(infection, timing, eggs)]
    return [one for one in warnings if one is not None]


def _through(
    infection: Infection, source: Range, cycle: tuple[int, int], timing: Timing
) -> CycleWarning | None:
    """Eggs hatched after one dose lay before the next."""
    bare = 0 if timing.gap is None else timing.gap - (timing.lasts or 0)
    low, high = cycle
    if bare <= low:
        return None
    surely = bare > high
    words = (
        f"{days(bare).words} without an effect lie between doses; {infection.name} lays again "
        f"after {source.words}. What hatches after one dose {'lays' if surely else 'may lay'} "
        "before the next."
    )
    return CycleWarning(
        doubt=Doubt.LETS_EGGS_THROUGH, surely=surely, words=words, sources=source.sources
    )


def _too_soon(infection: Infection, timing: Timing, eggs: _Eggs) -> CycleWarning | None:
    """The last dose comes before the last egg has hatched."""
    reach = timing.reach
    if reach is None or reach > eggs.high:
        return None
    softened = eggs.remembered is not None and reach > eggs.remembered.high
    surely = reach <= eggs.low and not softened
    what = "one whole cycle takes" if eggs.is_cycle else "eggs hatch for"
    ends = "One dose alone" if timing.gap is None else f"The course works to day {reach}"
    words = f"{ends}; of {infection.name} {what} {eggs.words}."
    words += " It ends" if surely else " It may end"
    words += " before the last egg has hatched."
    if timing.lasts is None:
        words += " How long a dose goes on working is not said: ask the vet."
    if eggs.remembered is not None:
        words += f" From memory: eggs hatch within {eggs.remembered.words} "
        words += f"({eggs.remembered.note})." if eggs.remembered.note else "."
    return CycleWarning(doubt=Doubt.ENDS_TOO_SOON, surely=surely, words=words, sources=eggs.sources)


def _eggs(model: Infection) -> _Eggs | None:
    hatch = model.course.hatch if model.course else None
    if hatch is not None and hatch.sure == "seen":
        return _Eggs(hatch.low, hatch.high, hatch.words, hatch.sources)
    cycle = _days(model.cycle)
    if cycle is None or model.cycle is None:
        return None
    low, high = cycle if model.cycle.low is not None else (0, cycle[1])
    found = model.cycle
    return _Eggs(low, high, found.words, found.sources, remembered=hatch, is_cycle=True)


def _days(span: Range | None) -> tuple[int, int] | None:
    """A range in whole days; an end nobody has found is taken as the other."""
    if span is None or span.unit not in DAYS_OF:
        return None
    ends = [end for end in (span.low, span.high) if end is not None]
    factor = DAYS_OF[span.unit]
    return int(min(ends) * factor), ceil(max(ends) * factor)


def _cycles(timing: Timing, cycle: tuple[int, int] | None) -> Decimal | None:
    if timing.span is None or cycle is None:
        return None
    return round(Decimal(timing.span) / cycle[1], 2)


def _least_doses(timing: Timing, eggs: _Eggs | None) -> int | None:
    if timing.gap is None or eggs is None:
        return None
    numbers = range(1, MOST_DOSES_NAMED + 1)
    return next((number for number in numbers if timing.reaches(number) > eggs.high), None)
