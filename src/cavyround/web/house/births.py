"""Pups felt and litters as they are entered."""

from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.breeding import (
    not_expected,
)
from cavyround.record.animals import ImpossibleError
from cavyround.record.living import (
    MOST_PUPS,
    Born,
    keep_litter,
    keep_pups_felt,
)
from cavyround.record.models import Animal
from cavyround.web.animals.fields import day_field, line_field, words_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_recorders, person_of
from cavyround.web.house.choosing import animal_field, animals_field
from cavyround.web.house.of_one import how_to_hold, page_of

COUNT = {
    "min_value": "At least %(limit_value)d.",
    "max_value": "At most %(limit_value)d pups.",
    "invalid": "A number of pups, such as 3.",
}


def pups_number(label: str) -> forms.IntegerField:
    """A number of pups that can be."""
    return forms.IntegerField(
        label=label, required=False, min_value=0, max_value=MOST_PUPS, error_messages=COUNT
    )


class PupsFeltForm(OnceForm):
    """What was felt or seen."""

    on = day_field("On which day", required=True)
    moving = forms.BooleanField(label="Pups were felt or seen to move", required=False)
    unsure = forms.BooleanField(label="Not sure", required=False)
    pups = pups_number("How many, where somebody counted (a scan, or the vet)")
    said_by = line_field(
        "Who felt or saw it", 120, hint="The belly is not pressed; the vet or a scan may count."
    )


@for_recorders
def pups_felt(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """Enter that pups were felt or seen."""
    animal = get_object_or_404(Animal, pk=animal_id)
    form = PupsFeltForm(sent(request), initial={"on": timezone.localdate()})
    return fill_in(
        request,
        form,
        lambda: _felt(request, animal, form),
        "web/house/form.html",
        page_of(animal, f"Pups felt in {animal}") | {"hint": how_to_hold(animal)},
    )


def _felt(request: HttpRequest, animal: Animal, form: PupsFeltForm) -> str:
    said = form.cleaned_data
    keep_pups_felt(
        person_of(request),
        animal,
        said["on"],
        timezone.now(),
        moving=said["moving"],
        sure=not said["unsure"],
        pups=said["pups"] or None,
        said_by=said["said_by"],
    )
    messages.success(request, "Kept; the days of birth are reckoned with it.")
    return reverse("house-expectant")


class LitterForm(OnceForm):
    """Mother, day, and how many."""

    dam = animal_field("Mother", sows=True)
    born_on = day_field("Born on", required=True)
    alive = pups_number("Born alive")
    dead = pups_number("Born dead")
    pups = animals_field(
        "Its pups that have a page",
        required=False,
        hint="Each pup gets its own page by Arrival, born here; tick them here.",
    )
    note = words_field("What was seen")
    looked_again = forms.BooleanField(
        label="It is her litter, and this day, though she was expected on others",
        required=False,
        widget=forms.HiddenInput,
    )


@for_recorders
def litter_new(request: HttpRequest) -> HttpResponseBase:
    """Enter a litter."""
    begin = {"dam": request.GET.get("dam", ""), "born_on": timezone.localdate()}
    form = LitterForm(sent(request), initial=begin)
    page = {"title": "A litter was born", "back": reverse("house-expectant"), "here": "house"}
    return fill_in(request, form, lambda: _born(request, form), "web/house/form.html", page)


def _born(request: HttpRequest, form: LitterForm) -> str:
    said = form.cleaned_data
    unlikely = not_expected(said["dam"], said["born_on"], timezone.now())
    if unlikely and not said["looked_again"]:
        field = "looked_again"
        form.fields[field].widget = forms.CheckboxInput()
        raise ImpossibleError(field, unlikely)
    born = Born(on=said["born_on"], alive=said["alive"], dead=said["dead"], note=said["note"])
    keep_litter(person_of(request), said["dam"], born, timezone.now(), pups=said["pups"])
    messages.success(request, f"The litter of {said['dam']} is kept.")
    return reverse("house-expectant")
