"""What people say of an outbreak: cases, what was done, that it is closed."""

from datetime import date
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.open_cases import open_cases
from cavyround.advice.outbreaks import kind_of, outbreak_now
from cavyround.record.contagion import (
    CaseSaid,
    close_outbreak,
    say_case,
    say_done,
)
from cavyround.record.models import (
    Animal,
    Outbreak,
    OutbreakCase,
)
from cavyround.web.animals.fields import choose_field, day_field, line_field, words_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.contagion.opening import AnimalField, CaseFields, noon_of, not_to_come
from cavyround.web.gate import for_recorders, person_of

SHEET = "web/contagion/sheet.html"


def _by_person() -> list[tuple[str, str]]:
    return [(one.code, one.words) for one in book().contagion.closing if one.by == "person"]


class CaseForm(CaseFields):
    """What is said of an animal as a case, also that it is over or never was."""

    animal = AnimalField("Animal", "Choose the animal.")
    sure = choose_field("How sure", OutbreakCase.SURE, missing="Choose how sure it is.")
    over_on = day_field("No longer catching since", hint="Only when what ends a case is met.")
    field_order = ("once", "animal", "signs_on", "sure", "over_on", "why")

    def clean_over_on(self) -> date | None:
        """A planned end ends no case."""
        over = self.cleaned_data["over_on"]
        return not_to_come(over) if over else None


@for_recorders
def outbreak_case(request: HttpRequest, outbreak_id: UUID) -> HttpResponseBase:
    """Say that an animal is a case, is one no longer, or never was."""
    row = get_object_or_404(Outbreak, pk=outbreak_id)
    form = CaseForm(sent(request), initial=_case_as_it_is(request, row))
    kind = kind_of(row)
    page = {
        "title": f"A case of {row}",
        "lead": f"Suspected: {kind.suspected} Confirmed: {kind.confirmed} Over: {kind.over}",
        "button": "Keep this",
        "back": reverse("outbreak", args=[row.pk]),
        "back_words": str(row),
        "here": "apart",
    }

    def keep() -> str:
        said = form.cleaned_data
        case = CaseSaid(
            signs_at=noon_of(said["signs_on"]),
            sure=said["sure"],
            why=said["why"],
            over_at=noon_of(said["over_on"]) if said["over_on"] else None,
        )
        say_case(person_of(request), row, said["animal"], case, timezone.now())
        messages.success(request, f"{said['animal']}: kept.")
        return reverse("outbreak", args=[row.pk])

    return fill_in(request, form, keep, SHEET, page)


def _case_as_it_is(request: HttpRequest, row: Outbreak) -> dict[str, Any]:
    try:
        key = UUID(request.GET.get("animal", ""))
    except ValueError:
        return {"signs_on": timezone.localdate(), "sure": "suspected"}
    known = OutbreakCase.objects.filter(outbreak=row, animal=key).order_by("made_at", "id").last()
    if known is None:
        return {"animal": key, "signs_on": timezone.localdate(), "sure": "suspected"}
    over = timezone.localdate(known.over_at) if known.over_at else None
    signs = timezone.localdate(known.signs_at)
    return {"animal": key, "signs_on": signs, "sure": known.sure, "over_on": over}


class SaidForm(OnceForm):
    """Which condition is met, and how."""

    code = choose_field("What was done", _by_person, missing="Choose what was done.")
    words = words_field("How, and by whom", missing="Say what was done, and by whom.")


@for_recorders
def outbreak_said(request: HttpRequest, outbreak_id: UUID) -> HttpResponseBase:
    """Say that a condition of closing is met."""
    row = get_object_or_404(Outbreak, pk=outbreak_id)
    form = SaidForm(sent(request), initial={"code": request.GET.get("code", "")})
    page = {
        "title": f"Done about {row}",
        "button": "Keep this",
        "back": reverse("outbreak", args=[row.pk]),
        "back_words": str(row),
        "here": "apart",
    }

    def keep() -> str:
        said = form.cleaned_data
        say_done(person_of(request), row, said["code"], said["words"][:200], timezone.now())
        messages.success(request, "Kept.")
        return reverse("outbreak", args=[row.pk])

    return fill_in(request, form, keep, SHEET, page)


class CloseForm(OnceForm):
    """The end, and why where a condition is not met."""

    why = line_field(
        "Why it is closed", 200, hint="Needed where a condition is not met: and on whose word."
    )


def _still_open(row: Outbreak) -> str:
    """Closing frees no case: that is said before it is closed."""
    keys = [one.animal for one in open_cases(timezone.now()) if one.outbreak == row]
    if not keys:
        return ""
    names = ", ".join(Animal.objects.filter(pk__in=keys).values_list("name", flat=True))
    return (
        f"Not over: {names}. Closing ends the looks and the reminders. It frees no case: each "
        "counts as catching until somebody says of it that it is over or never was."
    )


@for_recorders
def outbreak_close(request: HttpRequest, outbreak_id: UUID) -> HttpResponseBase:
    """Close an outbreak; with a condition not met only for a reason."""
    row = get_object_or_404(Outbreak, pk=outbreak_id)
    stands = outbreak_now(row, timezone.now()).stands
    form = CloseForm(sent(request))
    page = {
        "title": f"Close {row}",
        "lead": _still_open(row),
        "needs": stands.conditions,
        "button": "Close it",
        "back": reverse("outbreak", args=[row.pk]),
        "back_words": str(row),
        "here": "apart",
    }

    def close() -> str:
        unmet = [one.code for one in stands.conditions if not one.met]
        why = form.cleaned_data["why"]
        close_outbreak(person_of(request), row, timezone.now(), unmet=unmet, why=why)
        messages.success(request, f"{row} is closed.")
        return reverse("outbreak", args=[row.pk])

    return fill_in(request, form, close, SHEET, page)
