"""Expectant sows and litters, and what is entered of them: sexings, castrations, pups felt."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.breeding import (
    BreedingNow,
    may_be_expecting,
    not_expected,
    sex_animal,
    sires_counted,
)
from cavyround.advice.labour import labours_now
from cavyround.engines.breeding import (
    STATE_WORDS,
    Expecting,
    LitterState,
    Reason,
    castrated_wait,
    sex_of,
)
from cavyround.engines.breeding.reasons import to_do
from cavyround.record.animals import ImpossibleError
from cavyround.record.living import (
    MOST_PUPS,
    Born,
    Look,
    keep_castration,
    keep_litter,
    keep_pups_felt,
)
from cavyround.record.models import Animal
from cavyround.record.models.animals import SexChoice, SureChoice
from cavyround.web.animals.fields import choose_field, day_field, line_field, words_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_readers, for_recorders, person_of
from cavyround.web.house.choosing import animal_field, animals_field

SEXES = [choice for choice in SexChoice.choices if choice[0] != "unknown"]
# What is done of every sow that may give birth: said once.
FOR_ALL = ("sick_emergency", "weigh", "no_pressing", "quiet_place")
COUNT = {
    "min_value": "At least %(limit_value)d.",
    "max_value": "At most %(limit_value)d pups.",
    "invalid": "A number of pups, such as 3.",
}


@dataclass(frozen=True, slots=True)
class Sow:
    """A sow that may give birth, with her row and the names of those she met."""

    row: Animal
    state: Expecting
    words: str
    met: tuple[tuple[str, Any], ...]

    @property
    def own(self) -> tuple[Reason, ...]:
        """What is done of her in particular; what is done of all stands once above them."""
        return tuple(one for one in self.state.do if one.code not in FOR_ALL)

    @property
    def is_emergency_now(self) -> bool:
        """Whether any illness of hers is an emergency today."""
        return any(one.code == "sick_emergency" for one in self.state.do)


@dataclass(frozen=True, slots=True)
class Family:
    """A litter with the rows of its animals."""

    state: LitterState
    dam: Animal | None
    sires: tuple[Animal, ...]
    pups: tuple[tuple[Animal | None, Any], ...]


@for_readers
def expectant(request: HttpRequest) -> HttpResponse:
    """Who may give birth when, litters with who must be parted by when, sexings that disagree."""
    known = BreedingNow(timezone.now())
    sows = [_sow(one, known) for one in known.expecting]
    page = {
        "labours": labours_now(known.now),
        "sows": [one for one in sows if not one.state.history_unknown],
        "unknown": [one for one in sows if one.state.history_unknown],
        "families": [_family(one, known) for one in known.litters],
        "disputed": [
            (known.by_id[one.id], sex_of(one))
            for one in known.breeders
            if known.by_id[one.id].is_here
            and (sex_of(one).disputed or sex_of(one).sex == "unknown")
        ],
        "today": timezone.localdate(known.now),
        "for_all": [to_do(book(), care) for care in FOR_ALL[1:]],
        "signs": book().living.birth_signs,
        "none_wanted": book().living.care("none_wanted"),
        "here": "house",
    }
    return render(request, "web/house/expectant.html", page)


def _sow(one: Expecting, known: BreedingNow) -> Sow:
    met = tuple(
        (known.by_id[c.sire].name if c.sire in known.by_id else "somebody unknown", c)
        for c in one.contacts
    )
    return Sow(known.by_id[one.animal], one, STATE_WORDS[one.state], met)


def _family(one: LitterState, known: BreedingNow) -> Family:
    return Family(
        one,
        known.by_id.get(one.litter.dam),
        tuple(known.by_id[sire] for sire in one.sires if sire in known.by_id),
        tuple((known.by_id.get(pup.animal), pup) for pup in one.pups),
    )


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
        _page(animal, f"Sex of {animal}") | {"hint": _how_to_hold(animal)},
    )


def _how_to_hold(animal: Animal) -> str:
    """What keeps the animal safe while it is looked at, and whether it is to be tipped at all."""
    words = book().living.care("hold_to_look").words
    if animal.pregnant in ("yes", "possible") or may_be_expecting(animal, timezone.now()):
        return f"▲ {book().living.care('hold_expectant').words} {words}"
    return words


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
    page = _page(animal, f"{animal} was neutered") | {
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
        _page(animal, f"Pups felt in {animal}") | {"hint": _how_to_hold(animal)},
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


def _page(animal: Animal, title: str) -> dict[str, Any]:
    return {
        "title": title,
        "back": reverse("animal", args=[animal.pk]),
        "back_to": animal,
        "here": "animals",
    }
