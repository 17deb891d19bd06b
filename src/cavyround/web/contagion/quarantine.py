"""Quarantine: who is in, until when, what is missing; to set its time and to end it."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.template.defaultfilters import pluralize
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.outbreaks import open_outbreaks
from cavyround.advice.quarantine import Quarantined, in_quarantine, quarantine_of
from cavyround.advice.quarantine_proposed import proposed_for
from cavyround.record.contagion import Apart, end_quarantine, set_quarantine
from cavyround.record.models import Animal
from cavyround.web.animals.fields import choose_field, day_field, line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.contagion.mending import faults_now
from cavyround.web.contagion.words import RESTARTS, days_words
from cavyround.web.gate import for_readers, for_recorders, person_of

DAYS_FAULT = "A whole number of days from 1 to 365."
LONGEST_DAYS, LONGEST_WHY = 365, 120
SHEET = "web/contagion/sheet.html"


@for_readers
def quarantine(request: HttpRequest) -> HttpResponse:
    """Everybody in quarantine, those that end first on top."""
    now = timezone.now()
    inside = in_quarantine(now)
    air = _air_of(inside)
    # Who stands among others comes first: it is moved before anything else is read.
    told = [_row(one, air) for one in sorted(inside, key=lambda one: not one.is_among_others)]
    page = {
        "rows": told,
        "ready": [row for row in told if row["clock"].may_end],
        "outbreaks": open_outbreaks(),
        "faults": faults_now(),
        "rules": book().apart_rules,
        "here": "apart",
    }
    return render(request, "web/contagion/quarantine.html", page)


def _air_of(inside: list[Quarantined]) -> dict[int, list[Animal]]:
    """By room: who is not in quarantine and breathes its air with one that stands among others."""
    rooms = {one.animal.pen.room_id for one in inside if one.is_among_others and one.animal.pen}
    apart = [one.animal.pk for one in inside]
    there = Animal.objects.filter(left_on=None, pen__room__in=rooms).exclude(pk__in=apart)
    air: dict[int, list[Animal]] = defaultdict(list)
    for animal in there.select_related("pen").order_by("name"):
        if animal.pen is not None:
            air[animal.pen.room_id].append(animal)
    return air


def _row(one: Quarantined, air: Mapping[int, list[Animal]]) -> dict[str, Any]:
    clock, pen = one.clock, one.animal.pen
    return {
        "among_others": one.is_among_others,
        "via": one.via,
        "air": air.get(pen.room_id, []) if one.is_among_others and pen is not None else [],
        "animal": one.animal,
        "clock": clock,
        "proposed": one.proposed,
        "set_by": one.set_by,
        "since": one.since,
        "done": max(0, clock.days - clock.days_left),
        "ends": days_words(clock.days_left),
        "why_began": RESTARTS[clock.began.why],
        "earlier": [(RESTARTS[began.why], began) for began in clock.earlier],
    }


def _days_field(label: str, hint: str = "") -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        help_text=hint,
        min_value=1,
        max_value=365,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        error_messages=dict.fromkeys(("required", "invalid", "min_value", "max_value"), DAYS_FAULT),
    )


def suspected_choices() -> list[tuple[str, str]]:
    """What it may have."""
    kinds = [(one.id, one.words) for one in book().contagion.outbreaks]
    return [("", "Nothing in particular"), *kinds]


class ApartForm(OnceForm):
    """How long an animal is kept apart, and what must be clear before it ends."""

    began_on = day_field("From which day", required=True, hint="The day it came, or last met one.")
    suspected = choose_field("What it may have", suspected_choices, listed=True)
    days = _days_field(
        "How many days",
        "Proposed: 21; 35 for itchy ones and unknown sources; more for some of what it may have.",
    )
    second_look_days = _days_field(
        "Second look at coat and skin after so many days",
        "Mites show after two weeks at the least.",
    )
    last_check_days = _days_field("Last whole check within so many days before it ends")
    air_counts = forms.BooleanField(
        label="A newcomer in the same room starts it anew",
        required=False,
        help_text="One in the same pen always does.",
    )
    why = line_field(
        "Why", LONGEST_WHY, missing="Say why it is kept apart: new, itchy, was with a case."
    )
    on_word = line_field(
        "If it is shorter than proposed: on whose word", 60, hint="The vet's name, or yours."
    )

    def __init__(self, *args: Any, animal: Animal, **kwargs: Any) -> None:
        """Of ``animal``, as it stands."""
        self.animal = animal
        super().__init__(*args, **kwargs)

    def clean_began_on(self) -> date:
        """Not before it came."""
        began: date = self.cleaned_data["began_on"]
        came = self.animal.arrived_on
        if came is not None and began < came:
            msg = f"It came on {came:%d %B %Y}: its quarantine cannot begin before."
            raise forms.ValidationError(msg)
        return began

    def clean(self) -> dict[str, Any]:
        """What is laxer than proposed is taken on somebody's word only."""
        said = super().clean() or self.cleaned_data
        laxer = list(self._laxer(said))
        if laxer and not said.get("on_word"):
            words = " ".join(laxer)
            self.blame("on_word", f"{words} It can be laxer on somebody's word: say on whose.")
        return said

    def _laxer(self, said: dict[str, Any]) -> Iterator[str]:
        proposed = proposed_for(self.animal, said.get("suspected", ""), timezone.now())
        needs = {one.code: one.days or 0 for one in book().contagion.quarantine_ends}
        if said.get("days", LONGEST_DAYS) < proposed.days:
            yield f"Proposed are {proposed.days} days. {proposed.words}"
        second, last = needs["second_skin_look"], needs["last_check"]
        if said.get("second_look_days", LONGEST_DAYS) < second:
            yield f"The second look is proposed after {second} days: mites show late."
        if said.get("last_check_days", 0) > last:
            yield f"The last whole check is proposed within {last} days before it ends."


@for_recorders
def quarantine_set(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """Set how long an animal is kept apart."""
    animal = get_object_or_404(Animal.objects.select_related("pen__room"), pk=animal_id)
    now = timezone.now()
    form = ApartForm(sent(request), initial=_as_it_is(animal, now), animal=animal)
    page = {
        "title": f"Quarantine of {animal}",
        "lead": "The days proposed are our own arithmetic from published cycles of mites, lice "
        "and fungi; your vet's word stands above them.",
        "button": "Keep this",
        "back": reverse("quarantine"),
        "back_words": "Quarantine",
        "here": "apart",
    }
    return fill_in(request, form, lambda: _set(request, animal, form), SHEET, page)


def _as_it_is(animal: Animal, now: datetime) -> dict[str, Any]:
    known = quarantine_of(animal, now)
    needs = {one.code: one.days for one in book().contagion.quarantine_ends}
    if known is None:
        return {
            "began_on": timezone.localdate(now),
            "days": proposed_for(animal, "", now).days,
            "second_look_days": needs["second_skin_look"],
            "last_check_days": needs["last_check"],
            "air_counts": True,
        }
    said = known.set_by
    return {
        "began_on": known.since,
        "days": known.clock.days,
        "suspected": said.suspected if said else "",
        "second_look_days": said.second_look_days if said else needs["second_skin_look"],
        "last_check_days": said.last_check_days if said else needs["last_check"],
        "air_counts": said.air_counts if said else True,
        "why": said.why[:LONGEST_WHY] if said else "",
    }


def _set(request: HttpRequest, animal: Animal, form: ApartForm) -> str:
    if not animal.is_here:
        messages.info(request, f"{animal} is not here any more: nothing was kept.")
        return reverse("animal", args=[animal.pk])
    said = form.cleaned_data
    names = ("began_on", "days", "second_look_days", "last_check_days", "air_counts")
    word = f" (on the word of {said['on_word']})" if said["on_word"] else ""
    apart = Apart(
        **{name: said[name] for name in names},
        suspected=said["suspected"],
        why=f"{said['why']}{word}",
    )
    set_quarantine(person_of(request), animal, apart, timezone.now())
    messages.success(
        request, f"{animal} is kept apart for {apart.days} day{pluralize(apart.days)}."
    )
    return reverse("quarantine")


class EndForm(OnceForm):
    """The end, and why where something is missing."""

    why = line_field(
        "Why it ends", 200, hint="Needed where something above is missing: and on whose word."
    )


@for_recorders
def quarantine_end(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """End a quarantine; with something missing only for a reason."""
    animal = get_object_or_404(Animal.objects.select_related("pen__room"), pk=animal_id)
    known = quarantine_of(animal, timezone.now())
    form = EndForm(sent(request))
    page = {
        "title": f"End the quarantine of {animal}",
        "needs": known.clock.needs if known else (),
        "not_in": known is None,
        "button": "End it",
        "back": reverse("quarantine"),
        "back_words": "Quarantine",
        "here": "apart",
    }
    return fill_in(request, form, lambda: _end(request, animal, form), SHEET, page)


def _end(request: HttpRequest, animal: Animal, form: EndForm) -> str:
    known = quarantine_of(animal, timezone.now())
    if known is not None:
        missing = [one.code for one in known.clock.missing]
        why = form.cleaned_data["why"]
        end_quarantine(person_of(request), animal, timezone.now(), missing=missing, why=why)
        messages.success(request, f"{animal}'s quarantine has ended. Move it when a pen is ready.")
    return reverse("animal-move", args=[animal.pk]) if known else reverse("quarantine")
