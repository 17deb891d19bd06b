"""The stays of an animal, what is wrong with them, and how a move is mended."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from cavyround.facts.stays import Stay, StayFault, faults_of
from cavyround.record.animals import move
from cavyround.record.models import Animal, Move, Pen
from cavyround.record.stays import correct_move, stays_of
from cavyround.web.animals.fields import line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.contagion.sharing import moment_field
from cavyround.web.contagion.words import short_day
from cavyround.web.gate import for_readers, for_recorders, person_of

SHEET = "web/contagion/sheet.html"


@for_readers
def animal_stays(request: HttpRequest, animal_id: UUID) -> HttpResponse:
    """Where an animal was, with who moved it and why; faults stand beside their stay."""
    animal = get_object_or_404(Animal, pk=animal_id)
    stays = stays_of([animal.pk])
    pens = {str(pen.pk): str(pen) for pen in Pen.objects.select_related("room")}
    faults: dict[str, list[StayFault]] = {}
    for fault in faults_of(stays):
        faults.setdefault(fault.stays[-1].id, []).append(fault)
    rows = [_row(stay, pens, faults.get(stay.id, [])) for stay in reversed(stays)]
    page = {"animal": animal, "rows": rows, "faults": sum(map(len, faults.values()))}
    return render(request, "web/contagion/stays.html", {**page, "here": "animals"})


def _row(stay: Stay, pens: dict[str, str], faults: list[StayFault]) -> dict[str, Any]:
    is_move = not stay.id.startswith("arrival")
    return {
        "stay": stay,
        "pen": pens.get(stay.pen, "not known where"),
        "faults": faults,
        "move": stay.id if is_move else "",
    }


def faults_now() -> list[tuple[Animal, StayFault]]:
    """What is wrong with the stays of the animals here."""
    here = {str(animal.pk): animal for animal in Animal.objects.filter(left_on=None)}
    found = faults_of(stays_of({animal.pk for animal in here.values()}))
    return [(here[fault.animal], fault) for fault in found]


class CorrectForm(OnceForm):
    """When it was moved, or that it never was, and why that is said now."""

    withdrawn = forms.BooleanField(
        label="It was never moved so", required=False, help_text="The wrong animal, the wrong pen."
    )
    at = moment_field("When it was moved", required=False)
    why = line_field(
        "Why this is mended", 200, missing="Say why: what was wrong, who knows better."
    )


@for_recorders
def move_correct(request: HttpRequest, move_id: UUID) -> HttpResponseBase:
    """Mend a move that was written down wrongly."""
    row = get_object_or_404(Move.objects.select_related("animal", "pen__room"), pk=move_id)
    local = timezone.localtime(row.at).replace(second=0, microsecond=0, tzinfo=None)
    form = CorrectForm(sent(request), initial={"at": local})
    page = {
        "title": f"Mend: {row.animal} to {row.pen or 'no pen'}",
        "lead": f"Written down by {row.made_by}. What was written stays readable.",
        "button": "Keep this",
        "back": reverse("animal-stays", args=[row.animal_id]),
        "back_words": f"Where {row.animal} was",
        "here": "animals",
    }
    return fill_in(request, form, lambda: _correct(request, row, form), SHEET, page)


def _correct(request: HttpRequest, row: Move, form: CorrectForm) -> str:
    said = form.cleaned_data
    correct_move(
        person_of(request),
        row,
        timezone.now(),
        at=None if said["withdrawn"] else said["at"],
        withdrawn=said["withdrawn"],
        why=said["why"],
    )
    messages.success(request, "Mended. What was written before stays readable.")
    return reverse("animal-stays", args=[row.animal_id])


class EarlierForm(OnceForm):
    """A move that nobody wrote down."""

    pen = forms.ModelChoiceField(
        label="Pen",
        queryset=Pen.objects.select_related("room"),
        error_messages={
            "required": "Choose the pen it was in.",
            "invalid_choice": "There is no such pen any more. Choose another.",
        },
    )
    at = moment_field("Since when it was there")
    why = line_field("How this is known", 200, missing="Say how this is known.")

    def __init__(self, *args: object, animal: Animal, **kwargs: object) -> None:
        """Where it was hangs on when ``animal`` came."""
        self.animal = animal
        super().__init__(*args, **kwargs)

    def clean_at(self) -> datetime:
        """Not before it first came."""
        at: datetime = self.cleaned_data["at"]
        came = self.animal.arrivals.order_by("on").first()
        if came is not None and timezone.localdate(at) < came.on:
            msg = f"It came on {short_day(came.on)}: before that it was not here. Look again."
            raise forms.ValidationError(msg)
        return at


@for_recorders
def move_earlier(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """Write down a move that happened earlier and was forgotten."""
    animal = get_object_or_404(Animal, pk=animal_id)
    form = EarlierForm(sent(request), animal=animal)
    page = {
        "title": f"Where {animal} was",
        "lead": "A move nobody wrote down. Later moves stand as they are.",
        "button": "Keep it",
        "back": reverse("animal-stays", args=[animal.pk]),
        "back_words": f"Where {animal} was",
        "here": "animals",
    }

    def keep() -> str:
        said = form.cleaned_data
        now = timezone.now()
        move(person_of(request), animal, said["pen"], now, why=said["why"], at=said["at"])
        messages.success(request, "Kept.")
        return reverse("animal-stays", args=[animal.pk])

    return fill_in(request, form, keep, SHEET, page)
