"""Open an outbreak: from a finding, from advice, or from nothing."""

from datetime import date, datetime, time
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.db.models import F, Q
from django.http import HttpRequest, HttpResponseBase
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.giving import answer_of
from cavyround.advice.outbreaks import FURTHEST_BACK, open_outbreaks
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
from cavyround.web.contagion.words import short_day
from cavyround.web.gate import for_recorders, person_of

SHEET = "web/contagion/sheet.html"


class CaseFields(OnceForm):
    """What is said of a case."""

    signs_on = day_field("First sign seen on", required=True)
    sure = choose_field("How sure", OutbreakCase.SURE[:2], missing="Choose how sure it is.")
    why = line_field("What it rests on", 200, missing="Say which sign, test or vet's word.")

    def clean_signs_on(self) -> date:
        """Nobody saw a sign tomorrow."""
        return not_to_come(self.cleaned_data["signs_on"])


def not_to_come(day: date) -> date:
    """Refuse a day that is still to come: taken as today it would say what is not so."""
    if day > timezone.localdate():
        msg = "This day is still to come. Give the day it was seen."
        raise forms.ValidationError(msg)
    return day


class AnimalField(forms.ModelChoiceField):  # type: ignore[type-arg]
    """The animals here first, then those that left since contacts are traced, with when."""

    def __init__(self, label: str, missing: str) -> None:
        """Say what is missing in ``missing``."""
        super().__init__(
            label=label,
            queryset=Animal.objects.none(),
            error_messages={"required": missing, "invalid_choice": "Choose."},
        )

    def __deepcopy__(self, memo: Any) -> "AnimalField":
        """Each form asks anew, for the day it is filled in."""
        field: AnimalField = super().__deepcopy__(memo)
        since = timezone.localdate() - FURTHEST_BACK
        there = Animal.objects.filter(Q(left_on=None) | Q(left_on__gte=since))
        found = Animal.objects.filter(pk__in=there.order_by().values("pk"))
        field.queryset = found.order_by(F("left_on").desc(nulls_first=True), "name")
        return field

    def label_from_instance(self, obj: Animal) -> str:
        """Its name, and when it left."""
        return f"{obj} (left {short_day(obj.left_on)})" if obj.left_on else str(obj)


def _kinds() -> list[tuple[str, str]]:
    return [("", "Choose"), *((one.id, one.words) for one in book().contagion.outbreaks)]


class OpenForm(CaseFields):
    """A new outbreak with its first case."""

    animal = AnimalField("First case", "Choose the animal that has it, here or gone.")
    kind = choose_field("What it may be", _kinds, listed=True, missing="Choose what it may be.")
    name = line_field("What to call it", 80, hint="Left empty, it is named by what it is.")
    another = forms.BooleanField(
        label="It is another outbreak than the one that is open",
        required=False,
    )
    field_order = ("once", "animal", "kind", "another", "signs_on", "sure", "why", "name")

    def __init__(self, *args: object, **kwargs: object) -> None:
        """Whether it is another one is only asked where one of the kind is open."""
        super().__init__(*args, **kwargs)
        kind = self.data.get("kind") if self.is_bound else self.initial.get("kind")
        self.alike = [one for one in open_outbreaks() if one.kind == kind]
        if not self.alike:
            self.fields["another"].widget = forms.HiddenInput()

    def clean(self) -> dict[str, Any]:
        """Two of one kind are two lists of looks, closings and cases: seldom what is meant."""
        said = super().clean() or self.cleaned_data
        if self.alike and not said.get("another"):
            one = self.alike[0]
            words = (
                f"{one} is open since {short_day(one.opened_on)}: add the case there (the link is "
                "above), or tick below that this is another outbreak."
            )
            self.blame("kind", words)
        return said


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
        "open": open_outbreaks(),
        "animal_asked": form["animal"].value() or "",
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
