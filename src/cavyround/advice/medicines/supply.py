"""Whether the shelf lasts until the courses end, and what else on it wants looking at."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.medicines.drawn import drawn_of
from cavyround.advice.medicines.running import RunningCourse, courses_running
from cavyround.advice.medicines.shelf import Shelf, the_shelf
from cavyround.advice.medicines.working import work_out_all
from cavyround.engines.courses import OnShelf, PerDose, SupplyPlan, plan_supply
from cavyround.engines.dosing import Dose
from cavyround.record.days_off import days_off
from cavyround.record.models import Lot, Product
from cavyround.record.shelf import as_lot, as_product

NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """The shelf and the plan of what the courses take from it.

    ``not_known`` are courses whose dose cannot be worked out just now, so that nobody can
    say what they take; they are named, never counted as nothing.
    """

    shelf: Shelf
    plan: SupplyPlan
    products: Mapping[str, Product]
    not_known: tuple[RunningCourse, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfWord:
    """One thing to look at on the shelf: expired, open too long, running low, below nought."""

    product: Product
    lot: Lot | None
    words: str
    grave: bool = False


def supply(now: datetime) -> Supply:
    """What the running courses need until they end, or so far as is counted."""
    running = courses_running(now)
    shelf = the_shelf(now)
    plan = plan_supply(
        [one.course for one in running],
        _per_dose(running, now),
        _bottles(shelf),
        now=now,
        zone=timezone.get_current_timezone(),
        book=book(),
        days_off=days_off(timezone.localdate(now)),
    )
    unknown = set(plan.not_known)
    return Supply(
        shelf=shelf,
        plan=plan,
        products={str(one.pk): one for one in shelf.products},
        not_known=tuple(one for one in running if one.course.id in unknown),
    )


def _per_dose(running: list[RunningCourse], now: datetime) -> dict[str, PerDose]:
    takes: dict[str, PerDose] = {}
    for course, worked in work_out_all(running, now).items():
        drawn = drawn_of(worked)
        if isinstance(worked.result, Dose) and drawn.amount and worked.product is not None:
            takes[str(course)] = PerDose(
                product=str(worked.product.pk), amount=drawn.amount, unit=drawn.unit
            )
    return takes


def _bottles(shelf: Shelf) -> list[OnShelf]:
    return [
        OnShelf(
            lot=as_lot(lot),
            left=_not_below(shelf.left.get(lot.pk)),
            unit=lot.product.unit,
            use_within=as_product(lot.product).use_within,
        )
        for lots in shelf.lots.values()
        for lot in lots
    ]


def _not_below(left: Decimal | None) -> Decimal | None:
    """More used than came: how much is there nobody knows."""
    return None if left is not None and left < NOTHING else left


def to_look_at(shelf: Shelf) -> list[ShelfWord]:
    """What on the shelf wants looking at today, the gravest first."""
    said: list[ShelfWord] = []
    for product in shelf.products:
        lots = shelf.lots.get(product.pk, [])
        for lot in lots:
            said += _of_lot(product, lot, shelf)
        said += _low(product, lots, shelf.left)
    return sorted(said, key=lambda one: (not one.grave, one.product.name, one.words))


def _of_lot(product: Product, lot: Lot, shelf: Shelf) -> list[ShelfWord]:
    said: list[ShelfWord] = []
    name = f"Lot {lot.number}" if lot.number else "A lot without a number"
    left = shelf.left.get(lot.pk)
    if left is not None and left == NOTHING:
        return said
    if not shelf.may_be_used(lot):
        why = _why_over(lot, shelf.today)
        words = f"{name} {why}: take it off the shelf."
        said.append(ShelfWord(product=product, lot=lot, words=words, grave=True))
    if left is not None and left < NOTHING:
        words = f"{name}: more was entered as used than came. Count it."
        said.append(ShelfWord(product=product, lot=lot, words=words, grave=True))
    return said


def _why_over(lot: Lot, today: date) -> str:
    if lot.expires_on is not None and lot.expires_on < today:
        return f"expired on {lot.expires_on.day} {lot.expires_on:%B %Y}"
    return f"is open for longer than the {lot.product.use_within_days} days it keeps"


def _low(product: Product, lots: list[Lot], left: Mapping[UUID, Decimal | None]) -> list[ShelfWord]:
    if product.low_at is None:
        return []
    known = [amount for lot in lots if (amount := left.get(lot.pk)) is not None]
    if lots and not known:
        return []
    there = sum(known, NOTHING)
    if there > product.low_at:
        return []
    words = f"Running low: {there.normalize():f} {product.unit} left."
    return [ShelfWord(product=product, lot=None, words=words)]
