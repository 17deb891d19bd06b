"""Days on which nobody is there: said once for the house, moved off only where an order allows."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from cavyround.record.days_off import note_day_off, take_back_day_off
from cavyround.record.models import DayOff
from cavyround.web.animals.fields import day_field, line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_recorders, person_of


class DayOffForm(OnceForm):
    """Which day, and why."""

    day = day_field("Day", required=True)
    why = line_field("Why", 120)


@for_recorders
def day_off_add(request: HttpRequest) -> HttpResponseBase:
    """Say that nobody is there on a day."""
    form = DayOffForm(sent(request))

    def make() -> str:
        said = form.cleaned_data
        person, now = person_of(request), timezone.now()
        note_day_off(person, said["day"], now, why=said["why"], id=form.sending)
        words = "Kept. Doses move off it only where their order allows; the others stay due."
        messages.success(request, words)
        return reverse("medicines")

    return fill_in(request, form, make, "web/medicines/day_off.html", {"here": "medicines"})


@for_recorders
@require_POST
def day_off_end(request: HttpRequest, day_off_id: UUID) -> HttpResponseBase:
    """Somebody is there after all."""
    one = get_object_or_404(DayOff, pk=day_off_id)
    if not one.taken_back.exists():
        take_back_day_off(person_of(request), one, timezone.now())
    messages.success(request, "Taken back: doses of that day stand where they were.")
    return redirect("medicines")
