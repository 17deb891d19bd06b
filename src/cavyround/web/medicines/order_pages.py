"""An order as the vet gave it: what it says, whom it runs on, who set what aside."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.medicines.running import standing
from cavyround.advice.medicines.working import work_out_all
from cavyround.engines.courses import Phase
from cavyround.facts.reading_amounts import NotRead, read_dose
from cavyround.facts.saying_amounts import dose_words
from cavyround.record.allergies import (
    AsideSaid,
    NoteRefusedError,
    end_set_aside,
    set_aside,
)
from cavyround.record.courses import what_words
from cavyround.record.models import Course, Order, Person, ReasonSetAside
from cavyround.record.models.orders import OrderWord
from cavyround.record.orders import limits_of, schedule_of, stop_order
from cavyround.web.animals.fields import choose_field, day_field, line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_orders, for_readers, person_of
from cavyround.web.medicines.course_pages import StopForm
from cavyround.web.medicines.lines import line_of
from cavyround.web.medicines.worked import MAY_WORDS, shown

BY_ANOTHER = [one for one in OrderWord.choices if one[0] != OrderWord.SELF]
ROLES = [("vet", "A vet decides it"), ("carer", "Read back and confirmed by a carer")]


@for_readers
def order(request: HttpRequest, order_id: UUID) -> HttpResponse:
    """The page of one order."""
    now = timezone.now()
    orders = Order.objects.select_related("made_by", "product", "replaces")
    one = get_object_or_404(orders, pk=order_id)
    rows = Course.objects.filter(order=one, animal__left_on=None)
    running = standing(
        rows.select_related("order__product", "order__made_by", "animal__pen__room").order_by(
            "animal__name"
        ),
        now,
    )
    worked = work_out_all([r for r in running if r.due.phase is Phase.RUNNING], now)
    page: dict[str, Any] = {
        "here": "medicines",
        "order": one,
        "what": what_words(one, book()),
        "schedule": schedule_of(one),
        "limits": limit_words(one),
        "route": _route_words(one),
        "dose_read": _dose_words(one),
        "infections": [
            found.name for key in one.against if (found := book().infection(key)) is not None
        ],
        "stops": one.stops.select_related("made_by"),
        "successor": one.replaced_by.first(),
        "courses": [
            (line_of(r), shown(worked[r.row.pk]) if r.row.pk in worked else None) for r in running
        ],
        "aside": one.set_aside.filter(ends=None).select_related("made_by", "animal"),
    }
    return render(request, "web/medicines/order.html", page)


def _route_words(one: Order) -> str:
    known = book().medicines.routes.get(one.route)
    return known.words if known else one.route


def _dose_words(one: Order) -> str:
    """The dose as it was understood, so that a slip shows: ``25 mcg`` is 0.025 mg."""
    if not one.dose:
        return ""
    read = read_dose(one.dose)
    return f"cannot be read: {read.words}" if isinstance(read, NotRead) else dose_words(read)


def limit_words(one: Order) -> list[str]:
    """For which animals it is not, in words."""
    limits = limits_of(one)
    said = [
        (limits.not_under_g, "not under {} g"),
        (limits.not_over_g, "not over {} g"),
        (limits.not_under_days, "not under {} days of age"),
        (limits.not_over_days, "not over {} days of age"),
    ]
    words = [text.format(value) for value, text in said if value is not None]
    words += ["not when pregnant"] if limits.not_pregnant else []
    words += ["not while suckling pups"] if limits.not_nursing else []
    return words


@for_orders
def order_stop(request: HttpRequest, order_id: UUID) -> HttpResponseBase:
    """Stop an order, and with it its courses."""
    one = get_object_or_404(Order, pk=order_id)
    form = StopForm(sent(request))

    def make() -> str:
        if not one.stops.exists():
            stop_order(person_of(request), one, form.cleaned_data["why"], timezone.now())
        messages.success(request, "The order is stopped, and with it its courses.")
        return reverse("order", args=[order_id])

    page = {"here": "medicines", "order": one}
    return fill_in(request, form, make, "web/medicines/stop_order.html", page)


class AsideForm(OnceForm):
    """Who decides, and why."""

    role = choose_field("Who decides", ROLES, missing="Choose who decides.")
    by_name = line_field("Name", 80, missing="Say who decided: a name.")
    why = line_field("The reason, in their words", 200)
    word = choose_field("How the vet's word came", [("", "Choose …"), *BY_ANOTHER], listed=True)
    said_on = day_field("The vet said it on")

    def __init__(self, *args: Any, person: Person, may: str = "vet", **kwargs: Any) -> None:
        """``may`` is who may set this reason aside; a vet at the page needs no word of one."""
        self.may = may
        self.by_vet = person.may_answer
        super().__init__(*args, **kwargs)
        if self.by_vet:
            del self.fields["word"], self.fields["said_on"]

    def clean(self) -> dict[str, Any]:
        """A vet's decision needs the vet's reason; what only a vet may, no carer does."""
        said = super().clean() or self.cleaned_data
        if self.may == "vet" and said.get("role") == "carer":
            self.blame("role", "Only a vet may set this aside. Ask the vet; nothing was changed.")
        if said.get("role") == "vet" and not said.get("why"):
            self.blame("why", "Say the vet's reason, in the vet's words: it stands with the dose.")
        if said.get("role") == "vet" and not self.by_vet:
            if not said.get("word"):
                self.blame("word", "Say how the vet said it: by telephone, in writing.")
            if not said.get("said_on"):
                self.blame("said_on", "Say on which day the vet said it.")
            elif said["said_on"] > timezone.localdate():
                self.blame("said_on", "This day is still to come.")
        return said


@for_orders
def reason_aside(request: HttpRequest, course_id: UUID) -> HttpResponseBase:
    """Set one reason against a dose aside: a vet by name and reason, or a carer who confirms."""
    now = timezone.now()
    row = get_object_or_404(
        Course.objects.select_related("order__product", "order__made_by", "animal__pen__room"),
        pk=course_id,
    )
    (running,) = standing([row], now)
    worked = work_out_all([running], now).get(row.pk)
    key = request.GET.get("reason", "")
    given = shown(worked) if worked else None
    reason = next((one for one in given.reasons if one.key == key), None) if given else None
    page: dict[str, Any] = {
        "here": "medicines",
        "running": running,
        "animal": row.animal,
        "reason": reason,
        "may_words": MAY_WORDS,
    }
    if reason is None or reason.may not in ("vet", "carer"):
        # Asked for without a reason that stands, it says so; nothing is ever kept.
        status = 404 if request.method == "POST" else 200
        return render(request, "web/medicines/aside_not.html", page, status=status)
    person = person_of(request)
    begin = {"role": reason.may, "by_name": str(person) if person.may_answer else ""}
    form = AsideForm(sent(request), initial=begin, may=reason.may, person=person)

    def make() -> str:
        said = form.cleaned_data
        aside = AsideSaid(
            id=form.sending,
            key=key,
            words=reason.words,
            by_name=said["by_name"],
            role=said["role"],
            why=said["why"],
            word=said.get("word", ""),
            said_on=said.get("said_on"),
            animal=row.animal,
        )
        try:
            set_aside(person, row.order, aside, timezone.now())
            messages.success(request, "Kept, with the name and the reason.")
        except NoteRefusedError as refused:
            messages.error(request, str(refused))
        return reverse("course", args=[course_id])

    return fill_in(request, form, make, "web/medicines/aside.html", page)


@for_orders
def aside_end(request: HttpRequest, aside_id: UUID) -> HttpResponseBase:
    """A setting aside no longer holds."""
    one = get_object_or_404(ReasonSetAside.objects.select_related("order", "animal"), pk=aside_id)
    form = StopForm(sent(request))

    def make() -> str:
        if not one.ends.exists():
            end_set_aside(person_of(request), one, form.cleaned_data["why"], timezone.now())
        messages.success(request, "It no longer holds.")
        return reverse("order", args=[one.order_id])

    page = {"here": "medicines", "aside": one, "order": one.order}
    return fill_in(request, form, make, "web/medicines/aside_end.html", page)
