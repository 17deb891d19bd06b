"""What is in the hand: the bottle a dose is drawn from, and the syringes there are."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.engines.dosing import Syringe, syringe_in_hand
from cavyround.facts.reading_amounts import NotRead, read_strength
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.medicine_names import same_name
from cavyround.record import models
from cavyround.record.models.shelf import ProductKind
from cavyround.record.shelf import left_in

NOTHING = Decimal(0)
FAR = date.max


@dataclass(frozen=True, slots=True)
class Shelf:
    """All that stands on the shelf now: lots by product with what is left, and syringes."""

    today: date
    products: tuple[models.Product, ...]
    lots: dict[UUID, list[models.Lot]] = field(default_factory=dict)
    left: dict[UUID, Decimal | None] = field(default_factory=dict)
    syringes: tuple[Syringe, ...] = ()

    def product_for(self, order: models.Order) -> models.Product | None:
        """The product an order is drawn from: the one it names, else the only one that fits."""
        if order.product_id:
            return next((one for one in self.products if one.pk == order.product_id), order.product)
        known = book()
        fitting = [one for one in self.products if _is_of(one, order, known)]
        strong = [one for one in fitting if _is_as_strong(one, order)]
        fitting = strong or fitting
        return fitting[0] if len(fitting) == 1 else None

    def lot_for(self, product: models.Product | None) -> models.Lot | None:
        """The bottle to draw from: an opened one first, then what must be used first.

        Where none may be used, the one that would have been: the dose then says why not.
        """
        if product is None:
            return None
        lots = self.lots.get(product.pk, [])
        usable = [one for one in lots if self.may_be_used(one)]
        held = [one for one in usable if (self.left.get(one.pk) or NOTHING) > 0]
        return min(held or usable or lots, key=self._first, default=None)

    def may_be_used(self, lot: models.Lot) -> bool:
        """Whether its dates allow it today; what nobody knows does not forbid it."""
        return self.last_day(lot) >= self.today

    def last_day(self, lot: models.Lot) -> date:
        """The last day it may be used, as far as is known."""
        keeps = lot.product.use_within_days
        last = lot.expires_on or FAR
        if keeps is not None and lot.opened_on is not None:
            last = min(last, lot.opened_on + timedelta(days=keeps))
        return last

    def _first(self, lot: models.Lot) -> tuple[bool, date, str]:
        return (lot.opened_on is None, self.last_day(lot), str(lot.pk))


def the_shelf(now: datetime) -> Shelf:
    """The shelf as it stands now."""
    products = tuple(models.Product.objects.all())
    lots: dict[UUID, list[models.Lot]] = defaultdict(list)
    there = models.Lot.objects.filter(gone_on=None).select_related("product")
    for lot in there:
        lots[lot.product_id].append(lot)
    left = left_in(lot.pk for several in lots.values() for lot in several)
    return Shelf(
        today=timezone.localdate(now),
        products=products,
        lots=dict(lots),
        left=left,
        syringes=tuple(_syringes(products, lots, left)),
    )


def _syringes(
    products: Iterable[models.Product],
    lots: dict[UUID, list[models.Lot]],
    left: dict[UUID, Decimal | None],
) -> Iterable[Syringe]:
    known = book()
    for product in products:
        there = [left.get(lot.pk) for lot in lots.get(product.pk, [])]
        # Counted down to none they are not in the hand; never counted, they may be.
        if any(amount is None or amount > 0 for amount in there):
            syringe = syringe_of(product, known)
            if syringe is not None:
                yield syringe


def syringe_of(product: models.Product, known: Knowledge) -> Syringe | None:
    """The syringe a supply is; None where it is none, or nobody says how it is marked."""
    if product.kind != ProductKind.SUPPLY:
        return None
    if product.syringe in known.medicines.syringes:
        return syringe_in_hand(known, product.syringe)
    if product.holds_ml is None or product.mark_ml is None:
        return None
    return Syringe(
        code=str(product.pk),
        words=product.name,
        holds_ml=product.holds_ml.normalize(),
        mark_ml=product.mark_ml.normalize(),
    )


def is_controlled(product: models.Product, known: Knowledge) -> bool:
    """Whether a product is controlled: by its tick, or because the formulary says so of its drug.

    A tick that was forgotten, or taken away, makes no opioid an ordinary bottle.
    """
    return product.controlled or drug_is_controlled(
        {"drug": product.drug, "contains": product.contains}, known
    )


def drug_is_controlled(details: Mapping[str, Any], known: Knowledge) -> bool:
    """Whether the formulary marks any active part of a product as controlled."""
    names = (details.get("drug") or "", *(details.get("contains") or ()))
    found = (known.medicines.named(name) for name in names if name)
    return any(one is not None and one.controlled for one in found)


def _is_of(product: models.Product, order: models.Order, known: Knowledge) -> bool:
    if not product.drug or not order.drug:
        return False
    if same_name(product.drug, order.drug):
        return True
    medicine = known.medicines.named(order.drug)
    return medicine is not None and known.medicines.named(product.drug) is medicine


def _is_as_strong(product: models.Product, order: models.Order) -> bool:
    if not product.strength or not order.strength:
        return False
    one, other = read_strength(product.strength), read_strength(order.strength)
    if isinstance(one, NotRead) or isinstance(other, NotRead):
        return False
    return one.is_as_strong_as(other)
