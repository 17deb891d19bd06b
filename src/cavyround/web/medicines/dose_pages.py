"""Doses written down after the round, and entries put right: both stay readable."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.medicines.drawn import drawn_of
from cavyround.advice.medicines.working import work_out_for
from cavyround.record.doses import DoseRefusedError, correct_dose, keep_dose
from cavyround.record.models import DoseEntry
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_recorders, person_of
from cavyround.web.medicines.course_pages import running_of
from cavyround.web.medicines.dose_forms import CorrectForm, DoseForm


@for_recorders
def dose_earlier(request: HttpRequest, course_id: UUID) -> HttpResponseBase:
    """A dose that was given, or tried, and not written down at the time."""
    now = timezone.now()
    running, person = running_of(course_id, now), person_of(request)
    local = timezone.localtime(now)
    begin = {"on": local.date(), "at": local.time()}
    drawn = drawn_of(work_out_for(running, now)) if running.row.order.dose else None
    form = DoseForm(sent(request), running=running, person=person, drawn=drawn, initial=begin)

    def make() -> str:
        keep_dose(person, form.said(running), timezone.now())
        messages.success(request, "Kept.")
        return reverse("course", args=[course_id])

    page = {"here": "medicines", "running": running, "animal": running.row.animal}
    return _answer(request, form, make, "web/medicines/dose_earlier.html", page)


@for_recorders
def dose_correct(request: HttpRequest, dose_id: UUID) -> HttpResponseBase:
    """An entry was wrong: another stands in its place, or none."""
    now: datetime = timezone.now()
    entries = DoseEntry.objects.select_related("made_by", "lot__product")
    entry = get_object_or_404(entries, pk=dose_id, corrections=None)
    running, person = running_of(entry.course_id, now), person_of(request)
    form = CorrectForm(sent(request), running=running, person=person, entry=entry)

    def make() -> str:
        instead = form.replacement(running)
        why = form.cleaned_data["correct_why"]
        correct_dose(person, entry, why, timezone.now(), replacement=instead)
        messages.success(request, "Corrected; the old entry stays readable.")
        return reverse("course", args=[entry.course_id])

    page = {
        "here": "medicines",
        "running": running,
        "animal": running.row.animal,
        "entry": entry,
    }
    return _answer(request, form, make, "web/medicines/dose_correct.html", page)


def _answer(
    request: HttpRequest, form: OnceForm, make: Any, template: str, page: dict[str, Any]
) -> HttpResponseBase:
    try:
        return fill_in(request, form, make, template, page)
    except DoseRefusedError as refused:
        form.blame("", str(refused))
        return render(request, template, {**page, "form": form}, status=422)
