"""A new animal comes, or one that left comes back."""

from datetime import date
from typing import TYPE_CHECKING, Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.arriving import against_newcomer
from cavyround.facts.animal import Born, Known, Sex
from cavyround.facts.breeding import Breeder, Sure
from cavyround.record.animals import Coming, add_animal, arrive, move
from cavyround.record.breeding_facts import breeders_of
from cavyround.record.models import Animal, Pen
from cavyround.record.models.animals import ArrivalHow, ArrivalSource, SexChoice
from cavyround.web.animals.details import DetailsForm
from cavyround.web.animals.fields import choose_field, day_field, line_field, words_field
from cavyround.web.animals.listing import is_pen_number
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_recorders, person_of

if TYPE_CHECKING:
    from cavyround.engines.housing import Why


class ComingForm(OnceForm):
    """How it came."""

    how = choose_field("How it came", ArrivalHow.choices, missing="Choose how it came.")
    on = day_field("Came on", required=True)
    came_from = line_field("From whom or where", 120)
    source = choose_field(
        "Health where it comes from",
        ArrivalSource.choices,
        hint="It decides how long it is kept apart: 21 days from a home known to be well, else 35.",
    )
    sexed_as = choose_field(
        "Signed in as", SexChoice.choices, hint="What the paper or person said."
    )
    told = words_field(
        "What is told of it", hint="Food, company, illness, why it comes: in their words."
    )
    pen = forms.ModelChoiceField(
        label="Pen",
        queryset=Pen.objects.select_related("room"),
        required=False,
        empty_label="No pen yet",
        error_messages={"invalid_choice": "There is no such pen any more. Choose another."},
    )

    def clean_on(self) -> date:
        """No animal has come tomorrow."""
        on: date = self.cleaned_data["on"]
        if on > timezone.localdate():
            msg = "This day is still to come. Give the day it came."
            raise forms.ValidationError(msg)
        return on

    all_the_same = forms.BooleanField(
        label="I have read what speaks against it, and it goes there all the same",
        required=False,
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Nothing is asked about a pen before something speaks against it."""
        super().__init__(*args, **kwargs)
        self.against: tuple[Why, ...] = ()
        self.fields["all_the_same"].widget = forms.HiddenInput()

    def look_at_pen(self, newcomer: Breeder) -> None:
        """What speaks against the pen is read before anybody is put there; nothing is blocked."""
        pen = self.cleaned_data.get("pen")
        if pen is None or self.errors:
            return
        self.against = against_newcomer(newcomer, self.coming, pen, timezone.now())
        if not self.against:
            return
        self.fields["all_the_same"].widget = forms.CheckboxInput()
        if not self.cleaned_data.get("all_the_same"):
            words = (
                "Something speaks against this pen: it stands above. Choose another, or tick "
                "that it goes there all the same."
            )
            self.blame("all_the_same", words)

    @property
    def coming(self) -> Coming:
        """The arrival as the record's writer takes it."""
        said = self.cleaned_data
        return Coming(
            on=said["on"],
            how=said["how"],
            came_from=said["came_from"],
            told=said["told"],
            sexed_as=said["sexed_as"] or "unknown",
            source=said["source"] or ArrivalSource.NOT_KNOWN,
        )


GROUPS = (
    ("Who it is", ("name", "sex", "sex_sure", "sexed_as", "neutered", "pregnant", "due_from")),
    ("Age", ("birth", "born_on", "born_earliest", "born_latest")),
    ("Looks", ("coat", "colour", "skin", "identity_marks", "microchip")),
    ("Arrival", ("how", "on", "came_from", "source", "told", "pen", "all_the_same")),
)


class NewAnimalForm(DetailsForm, ComingForm):
    """A new animal: who it is and how it came, on one page."""

    field_order = tuple(name for _, names in GROUPS for name in names)

    def clean(self) -> dict[str, Any]:
        """Refuse a birth after the arrival."""
        cleaned = super().clean()
        earliest, on = self.details["born_earliest"], cleaned.get("on")
        if earliest and on and earliest > on:
            self.blame(
                "born_earliest", "It would have been born after it came. Look at both days again."
            )
        if not self.errors:
            self.look_at_pen(self._newcomer())
        return cleaned

    def _newcomer(self) -> Breeder:
        """The animal as far as breeding goes: what is not said may be either."""
        said = self.details
        return Breeder(
            id="newcomer",
            name=said["name"],
            sex=Sex(said["sex"]),
            sure=Sure(said["sex_sure"]),
            neutered=Known(said["neutered"]),
            born=Born(earliest=said["born_earliest"], latest=said["born_latest"]),
            born_here=self.cleaned_data["how"] == "born_here",
            first_seen_on=self.cleaned_data["on"],
        )


class ReturnForm(ComingForm):
    """One that left comes back: it is known who it is."""

    def __init__(self, *args: Any, animal: Animal, **kwargs: Any) -> None:
        """The pen is looked at for ``animal``."""
        self.animal = animal
        super().__init__(*args, **kwargs)

    def clean(self) -> dict[str, Any]:
        """What speaks against the pen, by all that is known of it."""
        cleaned = super().clean() or self.cleaned_data
        if not self.errors and not self.animal.is_here:
            [known] = breeders_of([self.animal], timezone.now())
            self.look_at_pen(known)
        return cleaned


def _arrival_check(animal: Animal) -> str:
    return f"{reverse('check')}?animal={animal.pk}&kind=arrival"


@for_recorders
def new_animal(request: HttpRequest) -> HttpResponseBase:
    """One form for a new animal; after it comes the arrival check."""
    pen = request.GET.get("pen", "")
    begin = {"on": timezone.localdate(), "sexed_as": "unknown", "source": "not_known"}
    if is_pen_number(pen):
        begin["pen"] = pen
    form = NewAnimalForm(sent(request), initial=begin)
    page = {"here": "new", "groups": GROUPS}
    return fill_in(request, form, lambda: _add(request, form), "web/animals/new.html", page)


def _add(request: HttpRequest, form: NewAnimalForm) -> str:
    animal = add_animal(
        person_of(request),
        form.details,
        form.coming,
        timezone.now(),
        pen=form.cleaned_data["pen"],
    )
    if form.chip and form.chip.warning:
        messages.warning(request, form.chip.warning)
    messages.success(request, f"{animal} is in the record. Next: the arrival check.")
    return _arrival_check(animal)


@for_recorders
def animal_return(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """One that left comes back: a new arrival, the same animal and story."""
    animal = get_object_or_404(Animal, pk=animal_id)
    begin = {
        "on": timezone.localdate(),
        "how": "returned",
        "sexed_as": animal.sex,
        "source": "not_known",
    }
    form = ReturnForm(sent(request), animal=animal, initial=begin)
    page = {"animal": animal, "here": "animals"}
    return fill_in(
        request, form, lambda: _take_back(request, animal, form), "web/animals/return.html", page
    )


def _take_back(request: HttpRequest, animal: Animal, form: ReturnForm) -> str:
    animal.refresh_from_db()
    if animal.is_here:
        messages.info(request, f"{animal} is here already; nothing was added.")
        return reverse("animal", args=[animal.pk])
    now = timezone.now()
    arrive(person_of(request), animal, form.coming, now)
    pen = form.cleaned_data["pen"]
    if pen is not None:
        move(person_of(request), animal, pen, now, why="came back")
    messages.success(request, f"{animal} is back. Next: the arrival check.")
    return _arrival_check(animal)
