"""Whether it would be her first litter, and whether she is old or young for it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from cavyround.engines.breeding.reasons import Reason, from_number
from cavyround.engines.breeding.window import Conceived
from cavyround.facts.animal import DAYS_PER_MONTH
from cavyround.facts.breeding import Breeder
from cavyround.knowledge.book import Knowledge


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstLitter:
    """``first`` None: nobody knows. What cannot be ruled out holds: ``late``, ``young``."""

    first: bool | None
    late: bool
    young: bool
    why: tuple[Reason, ...]


def possible_first_litter(animal: Breeder, day: date, book: Knowledge) -> FirstLitter:
    """The same for a birth on ``day``, of whatever contact it came."""
    shortest, longest = book.span("gestation_days").low, book.span("gestation_days").high
    first, last = day - timedelta(days=int(longest)), day - timedelta(days=int(shortest))
    before = tuple(birth for birth in animal.births if birth < first)
    return first_litter(replace(animal, births=before), [Conceived(since=first, until=last)], book)


def first_litter(animal: Breeder, conceived: Sequence[Conceived], book: Knowledge) -> FirstLitter:
    """Judge it by her age on the days she may have conceived."""
    if animal.births or animal.litters_before:
        return FirstLitter(first=False, late=False, young=False, why=())
    since = min(one.since for one in conceived)
    ends = [one.until for one in conceived if one.until is not None]
    until = max(ends, default=since)
    late, late_why = _late(animal, until, book)
    young, young_why = _young(animal, since, book)
    known = True if animal.litters_before == 0 or animal.born_here else None
    said = "her first litter" if known else "nobody knows whether it is her first litter"
    why = (Reason(words=said), *late_why, *young_why)
    return FirstLitter(first=known, late=late, young=young, why=why)


def _late(animal: Breeder, day: date, book: Knowledge) -> tuple[bool, tuple[Reason, ...]]:
    limit = book.number("late_first_litter_months")
    oldest = animal.born.oldest_days(day)
    if oldest is None:
        words = f"her age is not known: she may be over {limit} months"
        return True, (from_number(book, "late_first_litter_months", words),)
    if oldest < limit * DAYS_PER_MONTH:
        return False, ()
    words = f"she was {_months(oldest)} months old, or may have been; {limit} is late for a first"
    return True, (from_number(book, "late_first_litter_months", words),)


def _young(animal: Breeder, day: date, book: Knowledge) -> tuple[bool, tuple[Reason, ...]]:
    limit = book.number("young_first_litter_months")
    youngest = animal.born.youngest_days(day)
    if youngest is None or youngest >= limit * DAYS_PER_MONTH:
        return False, ()
    words = f"she was {_months(youngest)} months old, or may have been: hardly grown herself"
    return True, (from_number(book, "young_first_litter_months", words),)


def _months(days: int) -> str:
    return f"{days / float(DAYS_PER_MONTH):.1f}"
