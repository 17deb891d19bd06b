"""Open an outbreak: from a finding, from advice, or from nothing."""

from datetime import date, datetime, time
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.giving import answer_of
from cavyround.record.contagion import (
    CaseSaid,
    open_outbreak,
)
from cavyround.record.models import (
    AdviceGiven,
    Animal,
    OutbreakCase,
)
from cavyround.web.animals.fields import choose_field, day_field, line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_recorders, person_of

SHEET = "web/contagion/sheet.html"


class CaseFields(OnceForm):
    """What is said of a case."""

    signs_on = day_field("First sign seen on", required=True)
    sure = choose_field("How sure", OutbreakCase.SURE[:2], missing="Choose how sure it is.")
    why = line_field("What it rests on", 200, missing="Say which sign, test or vet's word.")


def _kinds() -> list[tuple[str, str]]:
    return [(one.id, one.words) for one in book().contagion.outbreaks]


class OpenForm(CaseFields):
    """A new outbreak with its first case."""

    animal = forms.ModelChoiceField(
        label="First case",
        queryset=Animal.objects.filter(left_on=None),
        error_messages={"required": "Choose the animal that has it.", "invalid_choice": "Choose."},
    )
    kind = choose_field("What it may be", _kinds, listed=True, missing="Choose what it may be.")
    name = line_field("What to call it", 80, hint="Left empty, it is named by what it is.")
    field_order = ("once", "animal", "kind", "signs_on", "sure", "why", "name")


@for_recorders
def outbreak_new(request: HttpRequest) -> HttpResponseBase:
    """Open an outbreak, from a finding, from advice, or from nothing."""
    advice = _advice_named(request)
    form = OpenForm(sent(request), initial=_beginning(request, advice))
    page = {
        "title": "Something catching was found",
        "lead": "This lists who was exposed, whom to look at on which days and whom to tell. It "
        "diagnoses nothing: isolate first, then ring the vet.",
        "button": "Open the outbreak",
        "back": reverse("outbreaks"),
        "back_words": "Outbreaks",
        "kinds": book().contagion.outbreaks,
        "here": "apart",
    }
    return fill_in(request, form, lambda: _open(request, form, advice), SHEET, page)


def _advice_named(request: HttpRequest) -> AdviceGiven | None:
    try:
        key = UUID(request.GET.get("advice", ""))
    except ValueError:
        return None
    return AdviceGiven.objects.filter(pk=key).first()


def _beginning(request: HttpRequest, advice: AdviceGiven | None) -> dict[str, Any]:
    start: dict[str, Any] = {"signs_on": timezone.localdate(), "sure": "suspected"}
    if advice is None:
        return start | {"animal": request.GET.get("animal", "")}
    problems = tuple(one.code for one in answer_of(advice).problems)
    kind = book().contagion.suggested_by(problems)
    return start | {
        "animal": advice.animal_id,
        "kind": kind.id if kind else "not_known",
        "why": f"advice of {timezone.localdate(advice.made_at).isoformat()}: "
        + "; ".join(answer_of(advice).isolate)[:150],
    }


def noon_of(day: date) -> datetime:
    """A day as a moment: its noon, or now where that is still to come."""
    zone = timezone.get_current_timezone()
    return min(datetime.combine(day, time(12), zone), timezone.now())


def _open(request: HttpRequest, form: OpenForm, advice: AdviceGiven | None) -> str:
    said = form.cleaned_data
    kind = book().contagion.kind(said["kind"])
    words = kind.words if kind else said["kind"]
    definition = f"Suspected: {kind.suspected} Confirmed: {kind.confirmed}" if kind else ""
    row = open_outbreak(
        person_of(request),
        said["kind"],
        said["name"] or words.capitalize(),
        definition,
        said["animal"],
        CaseSaid(signs_at=noon_of(said["signs_on"]), sure=said["sure"], why=said["why"]),
        timezone.now(),
        advice=advice,
    )
    messages.success(request, f"{row} is open: isolate {said['animal']} first.")
    return reverse("outbreak", args=[row.pk])
