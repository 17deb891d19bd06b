"""State something new of an animal, with the reason; read what was stated before."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, cast
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase, QueryDict
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from cavyround.record.animals import ImpossibleError, state
from cavyround.record.models import Animal, AnimalStatement, Person
from cavyround.record.models.animals import KnownChoice, SexChoice, SureChoice
from cavyround.web.animals.details import DetailsForm, coat_words
from cavyround.web.animals.fields import line_field
from cavyround.web.animals.meanwhile import (
    Meanwhile,
    as_shown,
    changed,
    read_shown,
    stated_meanwhile,
)
from cavyround.web.animals.once import fill_in, sent
from cavyround.web.gate import for_readers, person_of, refuse
from cavyround.web.templatetags.words import day

LABELS = {
    "name": "Name",
    "sex": "Sex",
    "sex_sure": "How sure",
    "neutered": "Neutered",
    "born_earliest": "Not born before",
    "born_latest": "Not born after",
    "pregnant": "Pregnant",
    "due_from": "Pups may come from",
    "coat": "Coat",
    "colour": "Colour and pattern",
    "dark_skin": "Dark skin",
    "identity_marks": "Marks",
    "microchip": "Microchip",
}
CHOICES: dict[str, Mapping[str, str]] = {
    "sex": dict(SexChoice.choices),
    "sex_sure": dict(SureChoice.choices),
    "neutered": dict(KnownChoice.choices),
    "pregnant": dict(KnownChoice.choices),
}
GROUPS = (
    ("Who it is", ("name", "sex", "sex_sure", "neutered", "pregnant", "due_from")),
    ("Age", ("birth", "born_on", "born_earliest", "born_latest")),
    ("Looks", ("coat", "colour", "skin", "identity_marks", "microchip")),
    ("Why it changes", ("reason",)),
)
ON_THE_FORM = {"dark_skin": "skin"}


class StatingForm(DetailsForm):
    """The details again, and why they change; ``was`` is what they were when it was opened."""

    was = forms.CharField(widget=forms.HiddenInput, required=False)
    reason = line_field(
        "Why",
        300,
        missing="Say why, so that the next reader knows which statement to trust.",
        hint="For example: two people looked and agree; the vet neutered him on Monday.",
    )

    def __init__(self, *args: Any, animal: Animal, **kwargs: Any) -> None:
        """Begin with what is stated, and remember it."""
        super().__init__(*args, animal=animal, initial={"was": as_shown(animal)}, **kwargs)
        self.stated = animal

    @property
    def shown(self) -> dict[str, Any]:
        """What the form showed when it was opened."""
        return read_shown(self.cleaned_data.get("was", ""), self.stated)

    @property
    def changes(self) -> dict[str, Any]:
        """The details that differ from what the form showed."""
        return changed(self.details, self.shown)

    def clean(self) -> dict[str, Any]:
        """Refuse a statement that says nothing new, or that somebody else has overtaken."""
        cleaned = super().clean()
        if self.errors:
            return cleaned
        if not self.changes:
            self.add_error("reason", "Nothing differs from what is stated. Change it, or go back.")
        meanwhile = list(stated_meanwhile(self.changes, self.shown, self.stated))
        for one in meanwhile:
            self.blame(ON_THE_FORM.get(one.field, one.field), overtaken(self.stated, one))
        if meanwhile:
            # Sent again it is said in knowledge of what stands now.
            known = self.shown | {one.field: one.now for one in meanwhile}
            self.data = self._sent_with(json.dumps(known))
        return cleaned

    def _sent_with(self, was: str) -> QueryDict:
        """What was sent, as though the form had shown this."""
        again = cast("QueryDict", self.data).copy()
        again["was"] = was
        return again

    def blame(self, field: str, words: str) -> None:
        """Beside what the person sees: with no birth day given there is only the question."""
        if field.startswith("born_") and self.cleaned_data.get("birth") == "unknown":
            field = "birth"
        super().blame(field, words)


def overtaken(animal: Animal, one: Meanwhile) -> str:
    """Who stated what in the meantime, and what this form says instead."""
    last = next((s for s in animal.statements.order_by("-id") if one.field in s.fields), None)
    who = f"{last.made_by}" if last else "somebody else"
    return (
        f"{LABELS[one.field]}: since you opened this form {who} has stated "
        f"“{_value_words(one.field, one.now)}”; you say “{_value_words(one.field, one.typed)}”. "
        "Nothing is kept yet. Ask each other; then set it right here, or send it as it is."
    )


def may_state(person: Person, animal: Animal) -> bool:
    """A lead may always; a carer while all that is stated is their own."""
    if person.may_lead:
        return True
    return person.may_record and not animal.statements.exclude(made_by=person).exists()


@dataclass(frozen=True, slots=True)
class Said:
    """One statement in words."""

    by: Person
    at: Any
    reason: str
    lines: tuple[tuple[str, str], ...]


def statements_of(animal: Animal) -> list[Said]:
    """All statements of an animal in words, newest first."""
    rows = animal.statements.select_related("made_by").order_by("-id")
    return [Said(row.made_by, row.made_at, row.reason, tuple(in_words(row))) for row in rows]


def in_words(statement: AnimalStatement) -> Iterator[tuple[str, str]]:
    """Label and value of every field that was stated; unknowns are said as such."""
    for name, value in statement.fields.items():
        yield LABELS.get(name, name), _value_words(name, value)


def _value_words(name: str, value: Any) -> str:
    if name in CHOICES:
        return str(CHOICES[name].get(value, value))
    if name in ("born_earliest", "born_latest", "due_from"):
        return day(date.fromisoformat(value)) if value else "not known"
    if name == "dark_skin":
        return {True: "yes", False: "no"}.get(value, "not known")
    if name == "coat":
        return coat_words(value) or "not said"
    return str(value) if value else "nothing said"


@for_readers
def animal_state(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """The statements, and for those who may the form for a new one."""
    animal = get_object_or_404(Animal, pk=animal_id)
    may = may_state(person_of(request), animal)
    if request.method == "POST" and not may:
        return refuse(
            request, "Others stated this: only a lead may state it anew. Nothing was changed."
        )
    form = StatingForm(sent(request), animal=animal)
    page = {
        "animal": animal,
        "may": may,
        "groups": GROUPS,
        "statements": statements_of(animal),
        "here": "animals",
    }
    return fill_in(
        request, form, lambda: _state(request, animal, form), "web/animals/state.html", page
    )


def _state(request: HttpRequest, animal: Animal, form: StatingForm) -> str:
    # Locked and read anew: whoever states the same detail at this moment comes before or after.
    animal = Animal.objects.select_for_update().get(pk=animal.pk)
    for one in stated_meanwhile(form.changes, form.shown, animal):
        raise ImpossibleError(ON_THE_FORM.get(one.field, one.field), overtaken(animal, one))
    state(person_of(request), animal, form.changes, form.cleaned_data["reason"], timezone.now())
    if form.chip and form.chip.warning:
        messages.warning(request, form.chip.warning)
    messages.success(request, "The new statement is kept; the earlier ones stay readable.")
    return reverse("animal", args=[animal.pk])
