"""What the courses will use up: how much of each product, and before which dose it runs out.

Doses are taken from the shelf in the order they fall due, each whole from one bottle.
A bottle past its date, or open for longer than it keeps, is not used.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, tzinfo
from decimal import Decimal

from cavyround.engines.courses.clock import day_begins, day_of
from cavyround.engines.courses.due import due_until
from cavyround.engines.courses.shelf import NotCounted, OnShelf, Shelf, WontLast
from cavyround.engines.courses.slots import Slot
from cavyround.facts.courses import Course
from cavyround.knowledge.book import Knowledge

HUNDRED = Decimal(100)
NOTHING = Decimal(0)
DAY = timedelta(days=1)
FAR_AHEAD = datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class PerDose:
    """What one dose of a course takes: of which product, how much, in the product's unit."""

    product: str
    amount: Decimal
    unit: str

    def __post_init__(self) -> None:
        """Refuse a dose that takes nothing, and one without its unit."""
        if not (self.amount.is_finite() and self.amount > 0):
            msg = f"a dose takes more than nothing, not {self.amount}"
            raise ValueError(msg)
        if not self.unit:
            msg = "an amount needs its unit"
            raise ValueError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseAhead:
    """One dose to come, and from which lot it would be drawn; ``lot`` None: there is none."""

    course: str
    animal: str
    slot: Slot
    amount: Decimal
    lot: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ProductAhead:
    """One product until the courses end, or so far as is counted.

    ``needed`` is what the doses take, ``to_have`` that and something to spare, ``usable``
    what the bottles usable today hold. ``wont_last`` cannot be used up in time.
    ``open_ended``: one of the courses has no end and is counted only so far.
    """

    product: str
    unit: str
    needed: Decimal
    to_have: Decimal
    usable: Decimal
    doses: tuple[DoseAhead, ...]
    wont_last: tuple[WontLast, ...] = ()
    not_counted: tuple[NotCounted, ...] = ()
    open_ended: bool = False

    @property
    def runs_out(self) -> DoseAhead | None:
        """The first dose that no bottle is left for; None where all are covered."""
        return next((dose for dose in self.doses if dose.lot is None), None)

    @property
    def short_by(self) -> Decimal:
        """How much the doses without a bottle take together."""
        return sum((dose.amount for dose in self.doses if dose.lot is None), NOTHING)

    @property
    def is_tight(self) -> bool:
        """Whether it covers the doses but not what is usually lost besides."""
        return self.runs_out is None and self.usable < self.to_have


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyPlan:
    """The products the courses use, those that run out first on top.

    ``until`` is the last day a course without an end is counted to. ``not_known`` are
    courses of medicine of which nobody said what a dose takes, ``unlike`` products whose
    doses are said in several units: nothing is counted for either.
    """

    until: date
    products: tuple[ProductAhead, ...]
    not_known: tuple[str, ...] = ()
    unlike: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Planned:
    """One dose to come with what it takes, and when it would be drawn."""

    course: Course
    slot: Slot
    takes: PerDose
    drawn_at: datetime


def plan_supply(
    courses: Iterable[Course],
    per_dose: Mapping[str, PerDose],
    shelf: Iterable[OnShelf],
    *,
    now: datetime,
    zone: tzinfo,
    book: Knowledge,
    until: date | None = None,
    days_off: Collection[date] = (),
) -> SupplyPlan:
    """What the courses need of each product, and which dose is the first without.

    ``per_dose`` says by course id what a dose takes; a course without is named in
    ``not_known`` and never counted as nothing. A course with an end is counted to its
    end, one without to ``until``: by default as far ahead as the knowledge says.
    """
    ahead = until or day_of(now, zone) + timedelta(days=int(book.number("supply_ahead_days")))
    planned: list[_Planned] = []
    not_known: list[str] = []
    for course in courses:
        ends = day_begins(ahead + DAY, zone) if course.schedule.ends.is_open else FAR_AHEAD
        _, slots = due_until(course, now=now, until=ends, zone=zone, book=book, days_off=days_off)
        takes = per_dose.get(course.id)
        if takes is None:
            not_known += [course.id] if slots and course.is_medicine else []
            continue
        planned += [_Planned(course, slot, takes, max(now, slot.due_at)) for slot in slots]
    by_product = _by_product(planned)
    bottles = list(shelf)
    unlike = [name for name, doses in by_product.items() if len(_units(doses)) > 1]
    spare = book.number("supply_spare_pct")
    products = [
        _product(name, doses, bottles, now=now, zone=zone, spare=spare)
        for name, doses in by_product.items()
        if name not in unlike
    ]
    return SupplyPlan(
        until=ahead,
        products=tuple(sorted(products, key=_most_pressing)),
        not_known=tuple(sorted(not_known)),
        unlike=tuple(sorted(unlike)),
    )


def _by_product(planned: Iterable[_Planned]) -> dict[str, list[_Planned]]:
    by_product: dict[str, list[_Planned]] = defaultdict(list)
    for one in sorted(planned, key=lambda one: (one.drawn_at, one.course.animal, one.course.id)):
        by_product[one.takes.product].append(one)
    return by_product


def _units(doses: Iterable[_Planned]) -> set[str]:
    return {one.takes.unit for one in doses}


def _product(
    name: str,
    planned: list[_Planned],
    bottles: Iterable[OnShelf],
    *,
    now: datetime,
    zone: tzinfo,
    spare: Decimal,
) -> ProductAhead:
    unit = planned[0].takes.unit
    shelf = Shelf((one for one in bottles if one.lot.product == name), unit)
    usable = shelf.usable(day_of(now, zone))
    doses = tuple(_drawn(one, shelf, zone) for one in planned)
    needed = sum((dose.amount for dose in doses), NOTHING)
    return ProductAhead(
        product=name,
        unit=unit,
        needed=needed,
        to_have=needed * (HUNDRED + spare) / HUNDRED,
        usable=usable,
        doses=doses,
        wont_last=shelf.wont_last(day_of(planned[-1].drawn_at, zone)),
        not_counted=shelf.not_counted,
        open_ended=any(one.course.schedule.ends.is_open for one in planned),
    )


def _drawn(one: _Planned, shelf: Shelf, zone: tzinfo) -> DoseAhead:
    return DoseAhead(
        course=one.course.id,
        animal=one.course.animal,
        slot=one.slot,
        amount=one.takes.amount,
        lot=shelf.draw(one.takes.amount, day_of(one.drawn_at, zone)),
    )


def _most_pressing(product: ProductAhead) -> tuple[bool, datetime, str]:
    """Those that run out come first, the soonest on top."""
    first = product.runs_out
    return (first is None, first.slot.due_at if first else FAR_AHEAD, product.product)
