"""Medicines and care at a glance: what is due, what runs, what is proposed, what asks the vet."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from cavyround.advice.medicines.arrivals import Proposal, proposals, standing_orders
from cavyround.advice.medicines.running import RunningCourse
from cavyround.advice.medicines.supply import supply, to_look_at
from cavyround.advice.medicines.today import DosesToday, doses_today
from cavyround.engines.courses import DoseToGive, Phase
from cavyround.record.courses import CourseRefusedError, begin_course, decline_standing
from cavyround.record.models import Animal, DayOff, Order
from cavyround.record.orders import schedule_of
from cavyround.web.gate import for_orders, for_readers, person_of
from cavyround.web.medicines.lines import line_of
from cavyround.web.medicines.worked import shown


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseLine:
    """One dose of today in a list."""

    running: RunningCourse
    number: int
    state: str
    until: Any


@for_readers
def medicines(request: HttpRequest) -> HttpResponse:
    """The page."""
    now = timezone.now()
    today = doses_today(now)
    stock = supply(now)
    words = to_look_at(stock.shelf)
    running = sorted(today.courses.values(), key=lambda one: (one.row.animal.name, one.course.what))
    page = {
        "here": "medicines",
        "now": now,
        "sittings": [_doses(sitting.doses, today) for sitting in today.round.sittings],
        "done": len(today.round.done),
        "ask_vet": [line_of(today.courses[one.course.id]) for one in today.round.ask_vet],
        "courses": [line_of(one) for one in running if one.due.phase is Phase.RUNNING],
        "to_look": [line_of(one) for one in running if one.due.phase is not Phase.RUNNING],
        "proposals": [
            (one.order, one.animal, shown(one.worked) if one.worked else None)
            for one in sorted(proposals(now), key=_fits_first)
        ],
        "standing": [(one, schedule_of(one)) for one in standing_orders()],
        "runs_out": [one for one in stock.plan.products if one.runs_out is not None],
        "shelf_words": words,
        "days_off": DayOff.objects.filter(day__gte=timezone.localdate(now), taken_back=None),
    }
    return render(request, "web/medicines/home.html", page)


def _fits_first(one: Proposal) -> bool:
    """Those it can be worked out for come first."""
    return one.worked is not None and not one.worked.is_dose


def _doses(doses: tuple[DoseToGive, ...], today: DosesToday) -> list[DoseLine]:
    return [
        DoseLine(
            running=today.courses[one.course.id],
            number=one.slot.number,
            state=str(one.slot.state),
            until=one.until_at,
        )
        for one in doses
    ]


@for_orders
@require_POST
def follow_standing(request: HttpRequest, order_id: UUID, animal_id: UUID) -> HttpResponseBase:
    """Confirm a standing order for a newcomer, or decline it with a reason."""
    order = get_object_or_404(Order, pk=order_id, standing=True)
    animal = get_object_or_404(Animal, pk=animal_id, left_on=None)
    now, person = timezone.now(), person_of(request)
    try:
        if request.POST.get("answer") == "decline":
            decline_standing(person, order, animal, request.POST.get("why", ""), now)
            messages.success(request, f"{animal} does not get {order}; why is kept.")
            return redirect("medicines")
        schedule = schedule_of(order)
        first = {"first_at": now} if schedule.in_hours else {"first_on": timezone.localdate(now)}
        course = begin_course(person, order, animal, now, **first)
    except CourseRefusedError as refused:
        messages.error(request, str(refused))
        return redirect("medicines")
    messages.success(request, f"{order} begins today for {animal}.")
    return redirect("course", course.pk)
