"""An animal leaves: fostered, adopted, transferred, died."""

from collections.abc import Sequence
from datetime import date
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.leaving import TO_SOMEBODY, AgainstLeaving, speaks_against_leaving
from cavyround.record.animals import Leaving, depart
from cavyround.record.models import Animal
from cavyround.record.models.animals import DepartureHow
from cavyround.web.animals.fields import choose_field, day_field, line_field, words_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_recorders, person_of


class LeavingForm(OnceForm):
    """How and when it left."""

    how = choose_field(
        "How it leaves",
        DepartureHow.choices,
        missing="Choose how it leaves.",
        hint="A fostered animal stays the rescue's and stays due for its checks.",
    )
    on = day_field("Left on", required=True)
    went_to = line_field("To whom or where", 120)
    note = words_field("Note")
    told = forms.BooleanField(
        label="I have read what speaks against it, and whoever takes it is told",
        required=False,
    )

    def __init__(
        self,
        *args: object,
        animal: Animal,
        against: Sequence[AgainstLeaving] = (),
        **kwargs: object,
    ) -> None:
        """Leaving hangs on when ``animal`` came, and on what is ``against`` it."""
        self.animal, self.against = animal, against
        super().__init__(*args, **kwargs)
        if not against:
            self.fields["told"].widget = forms.HiddenInput()

    def clean(self) -> dict[str, Any]:
        """What speaks against it is read before somebody takes it; nothing is blocked."""
        said = super().clean() or self.cleaned_data
        if self.against and said.get("how") in TO_SOMEBODY and not said.get("told"):
            words = (
                "Something speaks against letting it go: it stands above. Keep it here, or tick "
                "that whoever takes it is told."
            )
            self.blame("told", words)
        return said

    def clean_on(self) -> date:
        """Not tomorrow, and not before it came."""
        on: date = self.cleaned_data["on"]
        if on > timezone.localdate():
            msg = "This day is still to come. Enter it when it has left."
            raise forms.ValidationError(msg)
        if self.animal.arrived_on and on < self.animal.arrived_on:
            msg = "It would have left before it came. Look at the day again."
            raise forms.ValidationError(msg)
        return on


@for_recorders
def animal_depart(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """Enter a departure."""
    animal = get_object_or_404(Animal, pk=animal_id)
    against = speaks_against_leaving(animal, timezone.now())
    begin = {"on": timezone.localdate()}
    form = LeavingForm(sent(request), animal=animal, against=against, initial=begin)
    page = {"animal": animal, "here": "animals", "against": against}
    return fill_in(
        request, form, lambda: _leave(request, animal, form), "web/animals/depart.html", page
    )


def _leave(request: HttpRequest, animal: Animal, form: LeavingForm) -> str:
    address = reverse("animal", args=[animal.pk])
    animal.refresh_from_db()
    if not animal.is_here:
        messages.info(request, f"{animal} has left already; nothing was added.")
        return address
    said = form.cleaned_data
    leaving = Leaving(on=said["on"], how=said["how"], went_to=said["went_to"], note=said["note"])
    depart(person_of(request), animal, leaving, timezone.now())
    messages.success(request, f"The departure of {animal} is in the record.")
    return address
