"""What was written down of an animal's sex and litters: read, added to, and taken back."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.breeding import take_back
from cavyround.record.living import add_pups
from cavyround.record.living_standing import MODELS, standing_rows
from cavyround.record.models import Animal, Litter, LivingTakenBack, Person
from cavyround.web.animals.fields import line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_readers, for_recorders, person_of
from cavyround.web.house.choosing import animals_field
from cavyround.web.templatetags.words import day

OF = {"sexing": "animal", "castration": "animal", "pups_felt": "animal", "litter": "dam"}


@dataclass(frozen=True, slots=True)
class Written:
    """One thing that was written down, and why it was taken back, if it was."""

    what: str
    key: UUID
    words: str
    by: Person
    at: datetime
    back: LivingTakenBack | None

    @property
    def is_litter(self) -> bool:
        """Whether pups can be added to it."""
        return self.what == "litter" and self.back is None


@for_readers
def written(request: HttpRequest, animal_id: UUID) -> HttpResponse:
    """Every look at the sex, castration, pups felt and litter of one animal."""
    animal = get_object_or_404(Animal, pk=animal_id)
    page = {"animal": animal, "written": list(_written(animal)), "here": "animals"}
    return render(request, "web/house/written.html", page)


def _written(animal: Animal) -> Iterator[Written]:
    rows = LivingTakenBack.objects.filter(animal=animal).select_related("made_by")
    backs = {row.entry: row for row in rows}
    for what, model in MODELS.items():
        own = model.objects.filter(**{OF[what]: animal}).select_related("made_by")
        for row in own.order_by("-made_at", "-id"):
            words = _words(what, row)
            yield Written(what, row.pk, words, row.made_by, row.made_at, backs.get(row.pk))


def _words(what: str, row: Any) -> str:
    if what == "sexing":
        who = f", {row.looked_by}" if row.looked_by else ""
        how = f": {row.how}" if row.how else ""
        return f"{row.get_sex_display()}, {row.get_sure_display().lower()}{who}{how}"
    if what == "castration":
        return f"Neutered on {day(row.on)}{f' by {row.by_whom}' if row.by_whom else ''}"
    if what == "pups_felt":
        moving = ", they moved" if row.moving else ""
        sure = "" if row.sure else ", not sure"
        count = f", {row.pups} counted" if row.pups else ""
        return f"Pups felt on {day(row.on)}{moving}{sure}{count}"
    alive = "not known" if row.born_alive is None else row.born_alive
    dead = "not known" if row.born_dead is None else row.born_dead
    return f"A litter, born {day(row.born_on)}: alive {alive}, dead {dead}"


class BackForm(OnceForm):
    """What was wrong."""

    why = line_field(
        "What was wrong",
        200,
        missing="Say what was wrong: who reads it later must understand it.",
        hint="For example: the wrong sow was chosen.",
    )


@for_recorders
def written_back(
    request: HttpRequest, animal_id: UUID, what: str, entry_id: UUID
) -> HttpResponseBase:
    """Take one of them back; it stays readable and counts no more."""
    animal = get_object_or_404(Animal, pk=animal_id)
    if what not in MODELS:
        raise Http404
    row = get_object_or_404(MODELS[what], pk=entry_id, **{OF[what]: animal})
    form = BackForm(sent(request))
    address = reverse("animal-written", args=[animal.pk])
    page = {
        "title": f"Take back: {animal}",
        "hint": f"{_words(what, row)}, written down by {row.made_by}. It stays readable; nothing "
        "is reckoned from it any more, and what it had changed is stated as before.",
        "back": address,
        "back_to": animal,
        "here": "animals",
    }

    def make() -> str:
        why = form.cleaned_data["why"]
        take_back(person_of(request), animal, what, row.pk, why, timezone.now())
        messages.success(request, "Taken back. Look at who may give birth, and who lives where.")
        return address

    return fill_in(request, form, make, "web/house/form.html", page)


class PupsForm(OnceForm):
    """Which of the animals here are of this litter."""

    pups = animals_field(
        "Its pups", hint="Each pup gets its own page by Arrival, born here; then tick it here."
    )


@for_recorders
def litter_pups(request: HttpRequest, litter_id: UUID) -> HttpResponseBase:
    """More of the pups have a page now."""
    rows = standing_rows(Litter).select_related("dam")
    litter: Litter = get_object_or_404(rows, pk=litter_id)
    form = PupsForm(sent(request))
    page = {
        "title": f"Pups of {litter.dam}, born {day(litter.born_on)}",
        "back": reverse("house-expectant"),
        "here": "house",
    }

    def make() -> str:
        add_pups(person_of(request), litter, form.cleaned_data["pups"], timezone.now())
        messages.success(request, f"Kept with the litter of {litter.dam}.")
        return reverse("house-expectant")

    return fill_in(request, form, make, "web/house/form.html", page)
