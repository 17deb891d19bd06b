"""Put an animal into another pen."""

from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from cavyround.record.animals import move
from cavyround.record.models import Animal, Pen
from cavyround.web.animals.fields import line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_recorders, person_of


class MovingForm(OnceForm):
    """Where to, and why."""

    pen = forms.ModelChoiceField(
        label="Pen",
        queryset=Pen.objects.select_related("room"),
        required=False,
        empty_label="Out of all pens",
        error_messages={"invalid_choice": "There is no such pen any more. Choose another."},
    )
    why = line_field("Why", 200, hint="For example: sneezes, so apart from the others.")

    def __init__(self, *args: object, animal: Animal, **kwargs: object) -> None:
        """A move is from where ``animal`` is now."""
        self.animal = animal
        super().__init__(*args, **kwargs)

    def clean_pen(self) -> Pen | None:
        """A move into its own pen is none."""
        pen: Pen | None = self.cleaned_data["pen"]
        if pen == self.animal.pen:
            msg = "It is there already. Choose another pen, or go back."
            raise forms.ValidationError(msg)
        return pen


@for_recorders
def animal_move(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """Enter a move."""
    animal = get_object_or_404(Animal.objects.select_related("pen__room"), pk=animal_id)
    form = MovingForm(sent(request), animal=animal, initial={"pen": animal.pen_id})
    page = {"animal": animal, "here": "animals"}
    return fill_in(
        request, form, lambda: _move(request, animal, form), "web/animals/move.html", page
    )


def _move(request: HttpRequest, animal: Animal, form: MovingForm) -> str:
    pen = form.cleaned_data["pen"]
    move(person_of(request), animal, pen, timezone.now(), why=form.cleaned_data["why"])
    messages.success(request, f"{animal} is now in {pen}." if pen else f"{animal} is in no pen.")
    return reverse("animal", args=[animal.pk])
