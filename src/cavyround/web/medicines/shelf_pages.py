"""The shelf: what stands on it, what runs out before the courses end, what came and went."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.medicines.shelf import is_controlled
from cavyround.advice.medicines.supply import Supply, supply, to_look_at
from cavyround.engines.courses import ProductAhead
from cavyround.record.models import DoseEntry, Lot, Person, Product
from cavyround.record.models.shelf import ProductKind
from cavyround.record.shelf import (
    Moved,
    ShelfRefusedError,
    add_lot,
    add_product,
    left_in,
    move_stock,
    state_lot,
    state_product,
)
from cavyround.web.animals.fields import line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_readers, for_recorders, person_of
from cavyround.web.medicines.order_fields import medicine_names
from cavyround.web.medicines.shelf_forms import (
    LotChangeForm,
    LotForm,
    MoveForm,
    ProductForm,
    offer_second,
    plain,
    product_initial,
    second_field,
)

MOVES_SHOWN = 60


@for_readers
def shelf(request: HttpRequest) -> HttpResponse:
    """The page."""
    stock = supply(timezone.now())
    page = {
        "here": "shelf",
        "kinds": [
            (words, [_row(one, stock) for one in stock.shelf.products if one.kind == kind])
            for kind, words in ProductKind.choices
        ],
        "words": to_look_at(stock.shelf),
        "ahead": [(stock.products[one.product], one, _ahead(one)) for one in stock.plan.products],
        "until": stock.plan.until,
        "not_known": stock.not_known,
        "spare": book().number("supply_spare_pct"),
    }
    return render(request, "web/medicines/shelf.html", page)


def _row(product: Product, stock: Supply) -> dict[str, Any]:
    lots = stock.shelf.lots.get(product.pk, [])
    return {
        "product": product,
        "lots": [
            {
                "lot": lot,
                "left": _left_words(stock.shelf.left.get(lot.pk), product),
                "usable": stock.shelf.may_be_used(lot),
                "last_day": stock.shelf.last_day(lot)
                if lot.expires_on or (lot.opened_on and product.use_within_days)
                else None,
            }
            for lot in lots
        ],
    }


def _left_words(left: Decimal | None, product: Product) -> str:
    return "nobody knows how much" if left is None else f"{plain(left)} {product.unit}"


def _ahead(one: ProductAhead) -> dict[str, str]:
    """What the courses need of one product, in words."""
    return {
        "needed": f"{_tenth(one.needed)} {one.unit}",
        "to_have": f"{_tenth(one.to_have)} {one.unit}",
        "usable": f"{_tenth(one.usable)} {one.unit}",
        "short": f"{_tenth(one.short_by)} {one.unit}",
    }


def _tenth(amount: Decimal) -> str:
    return plain(round(amount, 2))


@for_readers
def product(request: HttpRequest, product_id: UUID) -> HttpResponse:
    """One product: its label, its lots, what came and went."""
    one = get_object_or_404(Product, pk=product_id)
    lots = list(one.lots.all())
    left = left_in(lot.pk for lot in lots)
    moves = [
        move
        for lot in lots
        for move in lot.movements.select_related("made_by", "second").order_by("-at")
    ]
    drawn = DoseEntry.objects.filter(lot__product=one, corrections=None, amount__isnull=False)
    page = {
        "here": "shelf",
        "product": one,
        "lots": [(lot, _left_words(left[lot.pk], one)) for lot in lots],
        "moves": sorted(moves, key=lambda move: move.at, reverse=True)[:MOVES_SHOWN],
        "drawn": drawn.select_related("course__animal", "made_by", "second", "lot").order_by("-at")[
            :MOVES_SHOWN
        ],
        "statements": one.statements.select_related("made_by").order_by("-made_at"),
        "one_name": is_controlled(one, book()) and drawn.filter(second=None).exists(),
    }
    return render(request, "web/medicines/product.html", page)


@for_recorders
def new_product(request: HttpRequest) -> HttpResponseBase:
    """A product that was not on the shelf before."""
    form = ProductForm(sent(request), initial={"kind": "medicine", "unit": "mL"})

    def make() -> str:
        made = add_product(person_of(request), form.details, timezone.now(), id=form.sending)
        messages.success(request, f"{made} is on the shelf. Next: its lot.")
        return reverse("new-lot", args=[made.pk])

    page = {"here": "shelf", "medicines": medicine_names()}
    return fill_in(request, form, make, "web/medicines/product_form.html", page)


class ProductChangeForm(ProductForm):
    """A product whose label says something else, and why."""

    why = line_field("Why", 200, missing="Say why: the label was read again, or it is a new one.")
    second = second_field("Needed where doses are drawn up by this label, or it is controlled.")

    def __init__(self, *args: Any, person: Person, **kwargs: Any) -> None:
        """Anybody but oneself may be the second person."""
        super().__init__(*args, **kwargs)
        offer_second(self, person)


@for_recorders
def change_product(request: HttpRequest, product_id: UUID) -> HttpResponseBase:
    """Say something new of a product."""
    one = get_object_or_404(Product, pk=product_id)
    person = person_of(request)
    form = ProductChangeForm(sent(request), initial=product_initial(one), person=person)
    controlled = is_controlled(one, book())

    def make() -> str:
        said = form.cleaned_data
        state_product(
            person,
            one,
            form.details,
            said["why"],
            timezone.now(),
            second=said["second"],
            controlled=controlled,
        )
        messages.success(request, "Kept; what was said before stays readable.")
        return reverse("product", args=[product_id])

    page = {"here": "shelf", "product": one, "medicines": medicine_names()}
    return _kept_or_said(request, form, make, "web/medicines/product_form.html", page)


@for_recorders
def new_lot(request: HttpRequest, product_id: UUID) -> HttpResponseBase:
    """A lot came."""
    one = get_object_or_404(Product, pk=product_id)
    person = person_of(request)
    form = LotForm(sent(request), product=one, person=person)

    def make() -> str:
        add_lot(
            person,
            one,
            form.details,
            timezone.now(),
            came=form.cleaned_data["came"],
            second=form.cleaned_data.get("second"),
            controlled=is_controlled(one, book()),
            id=form.sending,
        )
        messages.success(request, "The lot is on the shelf.")
        return reverse("product", args=[product_id])

    page = {"here": "shelf", "product": one}
    return _kept_or_said(request, form, make, "web/medicines/lot.html", page)


@for_recorders
def change_lot(request: HttpRequest, lot_id: UUID) -> HttpResponseBase:
    """Opened, gone, or a date put right."""
    lot = get_object_or_404(Lot.objects.select_related("product"), pk=lot_id)
    names = ("number", "expires_on", "opened_on", "strength", "gone_on")
    begin = {name: getattr(lot, name) for name in names}
    person = person_of(request)
    form = LotChangeForm(sent(request), initial=begin, product=lot.product, person=person)

    def make() -> str:
        why, second = form.cleaned_data["why"], form.cleaned_data.get("second")
        by_two = is_controlled(lot.product, book())
        state_lot(person, lot, form.details, why, timezone.now(), second=second, controlled=by_two)
        messages.success(request, "Kept; what was said before stays readable.")
        return reverse("product", args=[lot.product_id])

    page = {"here": "shelf", "product": lot.product, "lot": lot}
    return _kept_or_said(request, form, make, "web/medicines/lot.html", page)


@for_recorders
def move_lot(request: HttpRequest, lot_id: UUID) -> HttpResponseBase:
    """Something came, was used or thrown away, or was counted."""
    lot = get_object_or_404(Lot.objects.select_related("product"), pk=lot_id)
    person = person_of(request)
    form = MoveForm(sent(request), lot=lot, person=person, initial={"kind": "counted"})
    page = {"here": "shelf", "product": lot.product, "lot": lot, "left": _left_of(lot)}

    def make() -> str:
        said, now = form.cleaned_data, timezone.now()
        moved = Moved(
            kind=said["kind"],
            amount=said["amount"],
            at=now,
            second=said.get("second"),
            controlled=is_controlled(lot.product, book()),
            why=said["why"],
            id=form.sending,
        )
        move_stock(person, lot, moved, now)
        messages.success(request, "Kept.")
        return reverse("product", args=[lot.product_id])

    return _kept_or_said(request, form, make, "web/medicines/move.html", page)


def _kept_or_said(
    request: HttpRequest,
    form: OnceForm,
    make: Callable[[], str],
    template: str,
    page: Mapping[str, Any],
) -> HttpResponseBase:
    """Keep what was sent, or say beside its field why the shelf refuses it."""
    try:
        return fill_in(request, form, make, template, page)
    except ShelfRefusedError as refused:
        form.blame(refused.about, str(refused))
        return render(request, template, {**page, "form": form}, status=422)


def _left_of(lot: Lot) -> str:
    return _left_words(left_in([lot.pk])[lot.pk], lot.product)
