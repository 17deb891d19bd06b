"""Enter an order on a vet's word: worked out before it is kept, so that a slip shows at once."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.medicines.working import known_of, work_out_order
from cavyround.engines.dosing import never_given
from cavyround.facts.deviations import IfLate, IfMissed, IfPartly
from cavyround.record.courses import begin_course
from cavyround.record.models import Animal, Order, Person
from cavyround.record.models.orders import OrderWord
from cavyround.record.orders import (
    OrderRefusedError,
    OrderSaid,
    as_row,
    order_of,
    place_order,
    replace_order,
)
from cavyround.web.animals.once import fill_in, sent
from cavyround.web.gate import for_orders, person_of
from cavyround.web.medicines.order_fields import GROUPS, medicine_names, vet_names
from cavyround.web.medicines.order_form import OrderForm
from cavyround.web.medicines.order_initial import initial_of
from cavyround.web.medicines.worked import Shown, shown

LOOK = "look"
TEMPLATE = "web/medicines/enter_order.html"
# So many are shown worked out before the order is kept; the others when it is.
MOST_LOOKED_AT = 60


@for_orders
def enter_order(request: HttpRequest) -> HttpResponseBase:
    """A new order, for one animal or many, or standing for newcomers."""
    person = person_of(request)
    form = OrderForm(sent(request), initial=_blank(request, person))

    def make() -> str:
        now = timezone.now()
        order = place_order(person, form.said(form.sending, now), now)
        return _begun(request, person, order, form, now)

    return _answer(request, form, make, {"heading": "Enter a vet's order"})


@for_orders
def change_order(request: HttpRequest, order_id: UUID) -> HttpResponseBase:
    """Another order instead of one; the old one is stopped and stays readable."""
    old = get_object_or_404(Order, pk=order_id)
    person = person_of(request)
    form = OrderForm(sent(request), initial=initial_of(old))
    why = request.POST.get("change_why", "").strip()
    page: dict[str, Any] = {
        "heading": f"Change the order of {old}",
        "old": old,
        "change_why": why,
        "why_missing": request.method == "POST" and not why,
    }

    def make() -> str:
        now = timezone.now()
        try:
            order = replace_order(person, old, form.said(form.sending, now), why, now)
        except OrderRefusedError as refused:
            raise AssertionError from refused  # the form has asked for all of it
        return _begun(request, person, order, form, now)

    if form.is_bound and not why:
        form.is_valid()
        return render(request, TEMPLATE, {**page, **_around(form), "form": form}, status=422)
    return _answer(request, form, make, page)


def _answer(
    request: HttpRequest, form: OrderForm, make: Any, page: dict[str, Any]
) -> HttpResponseBase:
    if form.is_bound and request.POST.get("act") == LOOK:
        return _look(request, form, page)
    if form.is_bound and form.is_valid():
        _refuse_what_kills(form)
    if form.is_bound and form.is_valid() and not person_of(request).may_answer:
        _refuse_self(form)
    return fill_in(request, form, make, TEMPLATE, {**page, **_around(form)})


def _refuse_self(form: OrderForm) -> None:
    if form.cleaned_data["word"] == OrderWord.SELF:
        form.blame("word", "Only a vet who is signed in enters an order so. How did it come?")


def _refuse_what_kills(form: OrderForm) -> None:
    """What nobody may ever give this way is not kept as an order: it would run as a course."""
    said = form.cleaned_data
    if said["kind"] == "care":
        return
    product = said["product"]
    label = (product.drug, product.name, *product.contains) if product else ()
    for reason in never_given((said["drug"], *label), said["route"], book()):
        form.blame("drug", f"{reason.words} {reason.do}")


def _look(request: HttpRequest, form: OrderForm, page: dict[str, Any]) -> HttpResponse:
    """What the order comes to for each animal today; nothing is kept."""
    around = {**page, **_around(form), "form": form}
    if not form.is_valid():
        return render(request, TEMPLATE, around, status=422)
    now = timezone.now()
    said = form.said(form.sending, now)
    animals = list(form.cleaned_data["animals"][:MOST_LOOKED_AT])
    looked = previews(person_of(request), said, animals, now)
    return render(
        request,
        TEMPLATE,
        {**around, "looked": looked, "looked_at": now, "is_care": bool(said.care)},
    )


def previews(
    person: Person, said: OrderSaid, animals: Sequence[Animal], now: datetime
) -> list[Shown]:
    """The dose, or its refusal, of each animal by an order that is not yet kept."""
    if said.care or not animals:
        return []
    row = as_row(person, said, now)
    known = known_of(animals, now)
    order = order_of(row, animals=[animal.pk for animal in animals])
    return [shown(work_out_order(order, row, animal, known)) for animal in animals]


def _begun(
    request: HttpRequest, person: Person, order: Order, form: OrderForm, now: datetime
) -> str:
    for animal in form.cleaned_data["animals"]:
        begin_course(person, order, animal, now)
    count = len(form.cleaned_data["animals"])
    if order.standing:
        messages.success(request, "The standing order is kept. It proposes; a person confirms.")
    else:
        messages.success(
            request, f"The order is kept, with {count} course{'' if count == 1 else 's'}."
        )
    return reverse("order", args=[order.pk])


def _blank(request: HttpRequest, person: Person) -> dict[str, Any]:
    """What may be filled in without guessing: today, the asking page's animal, a vet's own name."""
    today: date = timezone.localdate()
    vet = str(person) if person.may_answer else ""
    return {
        "kind": "medicine",
        "word": "self" if vet else "written",
        "vet": vet,
        "ordered_on": today,
        "first_on": today,
        "animals": [one for one in request.GET.getlist("animal") if _is_id(one)],
        "standing": request.GET.get("standing") == "1",
        "if_late": IfLate.ASK_VET,
        "if_missed": IfMissed.ASK_VET,
        "if_partly": IfPartly.ASK_VET,
    }


def _is_id(text: str) -> bool:
    try:
        return bool(UUID(text))
    except ValueError:
        return False


def _around(form: OrderForm) -> dict[str, Any]:
    """What the page needs beside its form: animals by pen, names to offer."""
    chosen = {str(one) for one in form["animals"].value() or ()}
    here = Animal.objects.filter(left_on=None).select_related("pen__room").order_by("name")
    by_pen: dict[tuple[bool, int, int, str], list[tuple[Animal, bool]]] = defaultdict(list)
    for animal in here:
        pen = animal.pen
        place = (
            (True, 0, 0, "In no pen")
            if pen is None
            else (False, pen.room.position, pen.position, str(pen))
        )
        by_pen[place].append((animal, str(animal.pk) in chosen))
    faulty = set(form.errors) if form.is_bound else set()
    return {
        "here": "medicines",
        "groups": [
            (heading, summary, names, bool(faulty & set(names)) or _is_used(form, names))
            for heading, summary, names in GROUPS
        ],
        "pens": [
            (place[3], animals, any(on for _, on in animals))
            for place, animals in sorted(by_pen.items(), key=lambda item: item[0])
        ],
        "chosen": len(chosen),
        "medicines": medicine_names(),
        "vets": vet_names(),
    }


def _is_used(form: OrderForm, names: Sequence[str]) -> bool:
    """Whether anything in a folded part was said: then it is not folded away."""
    quiet = {"if_late", "if_missed", "if_partly", "day_off"}
    for name in names:
        value = form[name].value()
        if name in quiet:
            if value not in (None, "", "ask_vet", "keep"):
                return True
        elif value not in (None, "", False, []):
            return True
    return False
