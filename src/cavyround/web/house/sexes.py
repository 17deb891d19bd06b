"""Sexings and castrations as they are entered."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.breeding import (
    sex_animal,
    sires_counted,
)
from cavyround.engines.breeding import (
    castrated_wait,
)
from cavyround.record.animals import ImpossibleError
from cavyround.record.living import (
    Look,
    keep_castration,
)
from cavyround.record.models import Animal
from cavyround.record.models.animals import SexChoice, SureChoice
from cavyround.web.animals.fields import choose_field, day_field, line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_recorders, person_of
from cavyround.web.house.of_one import how_to_hold, page_of

SEXES = [choice for choice in SexChoice.choices if choice[0] != "unknown"]


class SexingForm(OnceForm):
    """What was seen."""

    sex = choose_field(
        "What it is", SEXES, missing="Choose sow or boar; if you cannot tell, ask a second person."
    )
    sure = choose_field("How sure", SureChoice.choices[:4], missing="Say how sure.")
    how = line_field("How it was seen", 200, hint="For example: penis brought out, testicles felt.")
    looked_by = line_field(
        "Who looked, if it was somebody else", 120, hint="Where two people agree: the second one."
    )

    def clean(self) -> dict[str, Any]:
        """Two people are two names, and what settles a sex says how it was seen."""
        said = self.cleaned_data
        if said.get("sure") == "two_people":
            if not said.get("looked_by", "").strip():
                self.add_error("looked_by", "Name the second person: two people are two names.")
            if not said.get("how", "").strip():
                self.add_error("how", "Say how it was seen: this settles the sex.")
        return said


@for_recorders
def sexing(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """Enter a look at the sex of an animal."""
    animal = get_object_or_404(Animal, pk=animal_id)
    form = SexingForm(sent(request))
    return fill_in(
        request,
        form,
        lambda: _sexed(request, animal, form),
        "web/house/form.html",
        page_of(animal, f"Sex of {animal}") | {"hint": how_to_hold(animal)},
    )


def _sexed(request: HttpRequest, animal: Animal, form: SexingForm) -> str:
    said = form.cleaned_data
    me = str(person_of(request)).casefold()
    if said["sure"] == "two_people" and said["looked_by"].strip().casefold() == me:
        field, words = "looked_by", "That is you. Name the second person."
        raise ImpossibleError(field, words)
    look = Look(sex=said["sex"], sure=said["sure"], how=said["how"], looked_by=said["looked_by"])
    sex_animal(person_of(request), animal, look, timezone.now())
    if animal.sex == "unknown":
        messages.warning(
            request,
            "Kept, and it counts as either sex: those who looked do not agree, or it was only "
            "told. Two people look again, together.",
        )
    else:
        messages.success(request, f"Kept: {animal} is a {animal.get_sex_display().lower()}.")
    return reverse("animal", args=[animal.pk])


class NeuteredForm(OnceForm):
    """When, and by whom."""

    on = day_field("On which day", required=True)
    by_whom = line_field("By whom", 120)


@for_recorders
def neutered(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """Enter the day an animal was neutered."""
    animal = get_object_or_404(Animal, pk=animal_id)
    form = NeuteredForm(sent(request))
    wait = book().thresholds["castrated_wait_weeks"]
    page = page_of(animal, f"{animal} was neutered") | {
        "hint": f"A boar still counts as fertile for {book().span('castrated_wait_weeks').high} "
        f"weeks after it: four by one page, six by common practice ({', '.join(wait.sources)}). "
        "The vet can say otherwise."
    }
    return fill_in(
        request, form, lambda: _neutered(request, animal, form), "web/house/form.html", page
    )


def _neutered(request: HttpRequest, animal: Animal, form: NeuteredForm) -> str:
    said, now = form.cleaned_data, timezone.now()
    wait = castrated_wait(book())
    if said["on"] + wait <= timezone.localdate(now) and not said["by_whom"].strip():
        words = (
            f"By this day {animal} is safe at once. Say who neutered it, or whose paper says so; "
            "a slip of the year would hide a risk."
        )
        field = "by_whom"
        raise ImpossibleError(field, words)
    before = sires_counted(now, animal)
    keep_castration(person_of(request), animal, said["on"], now, by_whom=said["by_whom"])
    gone = sorted(before - sires_counted(timezone.now(), animal))
    if gone:
        messages.warning(
            request,
            f"Kept. By this day {animal} no longer counts as a possible sire for "
            f"{', '.join(gone)}. If the day is wrong, take it back under Sex and litters.",
        )
    else:
        messages.success(request, "Kept.")
    return reverse("animal", args=[animal.pk])
