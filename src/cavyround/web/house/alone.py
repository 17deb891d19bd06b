"""Why an animal lives alone: said, shown, and ended with a reason."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.db.models import Q
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.alone import alone_by
from cavyround.advice.book import book
from cavyround.record.alone import AloneSaid, end_alone, keep_alone
from cavyround.record.models import Animal, LivesAlone, Tie
from cavyround.web.animals.fields import choose_field, day_field, line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_recorders, person_of


def reason_choices() -> list[tuple[str, str]]:
    """Why an animal may live alone, in the words of the knowledge."""
    return [(one.id, one.words.capitalize()) for one in book().living.alone_reasons]


class AloneForm(OnceForm):
    """Why, since when, on whose word."""

    because = choose_field("Why it lives alone", [], missing="Choose why it lives alone.")
    on = day_field("Since which day", required=True)
    said_by = line_field("Who says so", 120, hint="Needed where a vet wants it alone.")
    words = line_field("What was seen", 200, hint="For example: with whom it was tried, and when.")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer the reasons the knowledge has now."""
        super().__init__(*args, **kwargs)
        self.fields["because"].choices = reason_choices()  # type: ignore[attr-defined]


@for_recorders
def alone_new(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """Say why an animal lives alone."""
    animal = get_object_or_404(Animal, pk=animal_id)
    begin = {"on": timezone.localdate(), "because": "last_of_pair" if _is_last(animal) else ""}
    form = AloneForm(sent(request), initial=begin)
    page = _page(animal, f"{animal} lives alone") | {
        "hint": "Guinea pigs live with their own kind. Only what a vet says, and fights with "
        "everybody, keep company off; any other reason is shown with: needs company."
    }
    return fill_in(request, form, lambda: _kept(request, animal, form), "web/house/form.html", page)


def _is_last(animal: Animal) -> bool:
    """Whether one it was bonded with has left."""
    own = Tie.objects.filter(Q(one=animal) | Q(other=animal), kind="bonded")
    return own.exclude(one__left_on=None, other__left_on=None).exists()


def _kept(request: HttpRequest, animal: Animal, form: AloneForm) -> str:
    said = form.cleaned_data
    told = AloneSaid(
        because=said["because"], on=said["on"], said_by=said["said_by"], words=said["words"]
    )
    alone = alone_by(keep_alone(person_of(request), animal, told, timezone.now()))
    more = alone.reason.do if alone.reason is not None else ""
    messages.success(request, f"Kept: {animal} lives alone, {alone.told}. {more}")
    return reverse("animal", args=[animal.pk])


class AloneEndForm(OnceForm):
    """Since when, and what changed."""

    on = day_field("Since which day", required=True)
    why = line_field(
        "What changed",
        200,
        missing="Say what changed: who reads it later must understand it.",
        hint="For example: lives with Sage now.",
    )


@for_recorders
def alone_end(request: HttpRequest, alone_id: UUID) -> HttpResponseBase:
    """It no longer lives alone, or the reason no longer holds."""
    row = get_object_or_404(LivesAlone.objects.select_related("animal"), pk=alone_id)
    form = AloneEndForm(sent(request), initial={"on": timezone.localdate()})
    page = _page(row.animal, f"{row.animal} no longer lives alone") | {
        "hint": f"Written down by {row.made_by}: {alone_by(row).told}."
    }
    return fill_in(request, form, lambda: _ended(request, row, form), "web/house/form.html", page)


def _ended(request: HttpRequest, row: LivesAlone, form: AloneEndForm) -> str:
    said = form.cleaned_data
    end_alone(person_of(request), row, said["on"], said["why"], timezone.now())
    messages.success(request, "Kept: that no longer holds.")
    return reverse("animal", args=[row.animal_id])


def _page(animal: Animal, title: str) -> dict[str, Any]:
    return {
        "title": title,
        "back": reverse("animal", args=[animal.pk]),
        "back_to": animal,
        "here": "animals",
    }
