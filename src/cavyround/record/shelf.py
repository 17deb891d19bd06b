"""Write products, lots and what comes and goes, and reckon what is left of each lot."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import Q

from cavyround.facts.lengths import days
from cavyround.facts.orders import Lot, Product
from cavyround.facts.reading_amounts import read_drop_size, read_strength
from cavyround.record import models
from cavyround.record.models.entries import kept_already, new_id
from cavyround.record.models.shelf import MovementKind

PRODUCT_FIELDS = (
    *("name", "kind", "drug", "strength", "contains", "counted_as", "drop", "g_per_ml"),
    *("unit", "use_within_days", "controlled", "low_at", "keep"),
    *("syringe", "holds_ml", "mark_ml"),
)
LOT_FIELDS = ("number", "expires_on", "opened_on", "strength", "gone_on")
# What a wrong figure of would make every dose wrong.
DRAWN_BY = frozenset({"strength", "drug", "contains", "counted_as", "drop", "g_per_ml"})


class ShelfRefusedError(ValueError):
    """Why something cannot be said of the shelf, with the field it belongs to."""

    def __init__(self, about: str, words: str) -> None:
        """Keep the field so that a form can show the words beside it."""
        super().__init__(words)
        self.about = about


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """What happened to a lot; of COUNTED ``amount`` is what is left, else what came or went.

    ``controlled``: the medicine is, whatever was ticked; then two say it, each with a name.
    """

    kind: str
    amount: Decimal
    at: datetime
    second: models.Person | None = None
    controlled: bool = False
    why: str = ""
    id: UUID | None = None


@transaction.atomic
def add_product(
    person: models.Person,
    details: Mapping[str, Any],
    now: datetime,
    *,
    id: UUID | None = None,  # noqa: A002 -- made at the source
) -> models.Product:
    """A new product as its label says."""
    known = models.Product.objects.filter(pk=id).first() if id else None
    if known is not None:
        return known
    _refuse_unknown(details, PRODUCT_FIELDS)
    product = models.Product.objects.create(id=id or new_id(), **details)
    _say(person, details, "first entry", now, product=product)
    return product


@transaction.atomic
def state_product(
    person: models.Person,
    product: models.Product,
    details: Mapping[str, Any],
    why: str,
    now: datetime,
    *,
    second: models.Person | None = None,
    controlled: bool = False,
) -> None:
    """Say something new of a product, and why; what was said before stays readable.

    What is drawn up by needs two names while an order runs on it: a label read wrong by one
    would make every dose wrong. So does anything of a ``controlled`` medicine.
    """
    _refuse_unknown(details, PRODUCT_FIELDS)
    changed = _changed(product, details)
    if not changed:
        return
    _refuse_no_reason(why)
    if product.controlled or controlled:
        _refuse_alone(person, second)
    elif DRAWN_BY & set(changed) and _is_ordered(product):
        _refuse_alone(person, second, "Doses are drawn up by this label: a second person reads it")
    if "unit" in changed and product.lots.exists():
        about, words = "unit", "Its lots are counted in the old unit: enter a new product instead."
        raise ShelfRefusedError(about, words)
    _say(person, changed, why, now, product=product, second=second)
    for name, value in changed.items():
        setattr(product, name, value)
    product.save(update_fields=list(changed))


@transaction.atomic
def add_lot(
    person: models.Person,
    product: models.Product,
    details: Mapping[str, Any],
    now: datetime,
    *,
    came: Decimal | None = None,
    second: models.Person | None = None,
    controlled: bool = False,
    id: UUID | None = None,  # noqa: A002 -- made at the source
) -> models.Lot:
    """A new bottle or box, with how much came, where anybody knows."""
    known = models.Lot.objects.filter(pk=id).first() if id else None
    if known is not None:
        return known
    _refuse_unknown(details, LOT_FIELDS)
    lot = models.Lot.objects.create(id=id or new_id(), product=product, **details)
    _say(person, details, "first entry", now, lot=lot)
    if came is not None:
        moved = Moved(kind="came", amount=came, at=now, second=second, controlled=controlled)
        move_stock(person, lot, moved, now)
    return lot


@transaction.atomic
def state_lot(
    person: models.Person,
    lot: models.Lot,
    details: Mapping[str, Any],
    why: str,
    now: datetime,
    *,
    second: models.Person | None = None,
    controlled: bool = False,
) -> None:
    """Say something new of a lot (opened, gone, its date put right), and why.

    Two say that a controlled medicine is gone.
    """
    _refuse_unknown(details, LOT_FIELDS)
    changed = _changed(lot, details)
    if not changed:
        return
    _refuse_no_reason(why)
    if (lot.product.controlled or controlled) and "gone_on" in changed:
        _refuse_alone(person, second)
    _say(person, changed, why, now, lot=lot, second=second)
    for name, value in changed.items():
        setattr(lot, name, value)
    lot.save(update_fields=list(changed))


def opened_by_use(person: models.Person, lot_id: UUID, on: date, now: datetime) -> None:
    """A bottle something was drawn from was open that day at the latest."""
    lot = models.Lot.objects.get(pk=lot_id)
    if lot.opened_on is None or lot.opened_on > on:
        state_lot(person, lot, {"opened_on": on}, "a dose was drawn from it", now)


def move_stock(
    person: models.Person, lot: models.Lot, moved: Moved, now: datetime
) -> models.StockMovement:
    """Something came, was used, was thrown away, or what is left was counted."""
    known = kept_already(models.StockMovement, moved.id)
    if known is not None:
        return known
    counted = moved.kind == MovementKind.COUNTED
    if not moved.amount.is_finite() or moved.amount < 0 or (moved.amount == 0 and not counted):
        about, words = "amount", "Say how much, as a number."
        raise ShelfRefusedError(about, words)
    if moved.at > now:
        about, words = "at", "That lies in the future."
        raise ShelfRefusedError(about, words)
    if lot.product.controlled or moved.controlled:
        _refuse_alone(person, moved.second)
    if moved.kind == MovementKind.THROWN_AWAY and not moved.why.strip():
        about, words = "why", "Say why it is thrown away, and how."
        raise ShelfRefusedError(about, words)
    row = models.StockMovement(
        id=moved.id or new_id(),
        lot=lot,
        kind=moved.kind,
        at=moved.at,
        amount=moved.amount,
        second=moved.second,
        why=moved.why.strip(),
        made_at=now,
        made_by=person,
    )
    row.save()
    return row


def left_in(lots: Iterable[UUID]) -> dict[UUID, Decimal | None]:
    """What is left of each lot in its product's unit; None where nobody said what it held.

    Less than nought means that more was entered as used than came: it is shown, not hidden.
    """
    ids = list(lots)
    happened: dict[UUID, list[tuple[datetime, str, Decimal]]] = defaultdict(list)
    moved = models.StockMovement.objects.filter(lot__in=ids)
    for lot, at, kind, amount in moved.values_list("lot", "at", "kind", "amount"):
        happened[lot].append((at, kind, amount))
    drawn = models.DoseEntry.objects.filter(
        lot__in=ids, corrections=None, amount__isnull=False
    ).select_related("lot__product")
    odd: set[UUID] = set()
    for dose in drawn:
        if dose.lot_id is None or dose.amount is None or dose.lot is None:
            continue
        if dose.unit != dose.lot.product.unit:
            # Drops of an unknown size, say: what is left is then nobody's to say.
            odd.add(dose.lot_id)
            continue
        happened[dose.lot_id].append((dose.at, MovementKind.USED, dose.amount))
    return {lot: None if lot in odd else _left(happened[lot]) for lot in ids}


def _left(happened: list[tuple[datetime, str, Decimal]]) -> Decimal | None:
    left: Decimal | None = None
    for _, kind, amount in sorted(happened, key=lambda one: (one[0], one[1] != "came")):
        if kind == MovementKind.COUNTED:
            left = amount
        elif kind == MovementKind.CAME:
            left = (left or Decimal(0)) + amount
        elif left is not None:
            left -= amount
    return left


def as_product(product: models.Product) -> Product:
    """A product as the engines take it."""
    return Product(
        id=str(product.pk),
        name=product.name,
        drug=product.drug,
        strength=read_strength(product.strength) if product.strength else None,
        contains=tuple(product.contains),
        counted_as=product.counted_as,
        drop=read_drop_size(product.drop) if product.drop else None,
        g_per_ml=product.g_per_ml,
        use_within=days(product.use_within_days) if product.use_within_days else None,
    )


def as_lot(lot: models.Lot) -> Lot:
    """A lot as the engines take it."""
    return Lot(
        id=str(lot.pk),
        product=str(lot.product_id),
        expires_on=lot.expires_on,
        opened_on=lot.opened_on,
        strength=read_strength(lot.strength) if lot.strength else None,
    )


def _say(
    person: models.Person,
    fields: Mapping[str, Any],
    why: str,
    now: datetime,
    *,
    product: models.Product | None = None,
    lot: models.Lot | None = None,
    second: models.Person | None = None,
) -> None:
    stored: dict[str, Any] = {} if second is None else {"with": str(second)}
    stored |= {
        name: str(value) if isinstance(value, date | Decimal) else value
        for name, value in fields.items()
    }
    models.ShelfStatement(
        product=product, lot=lot, fields=stored, why=why.strip(), made_at=now, made_by=person
    ).save()


def _changed(row: models.Product | models.Lot, details: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in details.items() if getattr(row, name) != value}


def _refuse_unknown(details: Mapping[str, Any], known: Iterable[str]) -> None:
    unknown = set(details) - set(known)
    if unknown:
        msg = f"No such detail: {', '.join(sorted(unknown))}"
        raise KeyError(msg)


def _refuse_no_reason(why: str) -> None:
    if not why.strip():
        about, words = "why", "Say why it is changed."
        raise ShelfRefusedError(about, words)


def _is_ordered(product: models.Product) -> bool:
    """Whether an order that nobody stopped draws from it."""
    mine = Q(product=product) | (Q(drug__iexact=product.drug) & ~Q(drug=""))
    return models.Order.objects.filter(mine, stops=None).exists()


def _refuse_alone(
    person: models.Person,
    second: models.Person | None,
    because: str = "This is a controlled medicine: a second person counts it",
) -> None:
    if second is None or second.pk == person.pk:
        about, words = "second", f"{because} too. Say who."
        raise ShelfRefusedError(about, words)
