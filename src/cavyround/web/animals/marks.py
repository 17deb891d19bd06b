"""Standing marks: things known and judged harmless, with their place on the outline."""

from datetime import date
from decimal import Decimal
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from cavyround.record.models import Animal, StandingMark
from cavyround.record.promises import Judged, end_mark, mark_standing
from cavyround.web.animals.fields import choose_field, day_field, line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.animals.promises import offer_place
from cavyround.web.gate import for_recorders, person_of

VIEWS = [("", "No place on the outline"), ("above", "Seen from above"), ("below", "From below")]
EDGE = 1000
LARGEST_MM = Decimal(300)
TAKEN_OVER = ("region", "finding", "side", "view", "x", "y", "words")


def _slider(label: str, hint: str) -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        required=False,
        min_value=0,
        max_value=EDGE,
        help_text=hint,
        widget=forms.NumberInput(attrs={"type": "range", "step": 10}),
        error_messages={"invalid": "Tap the place on the outline again."},
    )


class StandingMarkForm(OnceForm):
    """What is there, where, and who judged it harmless."""

    region = choose_field("Where on the body", [], listed=True, missing="Choose where it is.")
    side = choose_field("Its own side", [], listed=True)
    finding = choose_field("What it is", [], listed=True, missing="Choose what it is.")
    words = line_field(
        "In words", 200, missing="Say what it is, so that the next pair of hands knows it again."
    )
    size_mm = forms.DecimalField(
        label="Size in mm, across",
        required=False,
        min_value=Decimal("0.1"),
        max_value=LARGEST_MM,
        decimal_places=1,
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
        help_text="Leave empty if nobody measured.",
        error_messages={
            "invalid": "This is no number. Write millimetres with digits, like 12 or 12.5.",
            "min_value": "A size is more than nothing. Measure, or leave it empty.",
            "max_value": "No place on a guinea pig is over 300 mm. Is it in millimetres?",
        },
    )
    said_by = line_field(
        "Who judged it", 120, missing="Say who judged it harmless: without that it is a finding."
    )
    said_on = day_field("Judged on", required=True)
    view = choose_field("Place", VIEWS)
    x = _slider("From its left or right", "Tap the outline, or move this.")
    y = _slider("From nose to rump", "Tap the outline, or move this.")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer the regions and findings of the knowledge."""
        super().__init__(*args, **kwargs)
        offer_place(self, optional=False)

    def clean_said_on(self) -> date:
        """Nobody has judged anything tomorrow."""
        said_on: date = self.cleaned_data["said_on"]
        if said_on > timezone.localdate():
            msg = "This day is still to come. Give the day it was judged."
            raise forms.ValidationError(msg)
        return said_on

    def clean(self) -> dict[str, Any]:
        """A view needs its place."""
        said = super().clean() or self.cleaned_data
        if said.get("view") and (said.get("x") is None or said.get("y") is None):
            self.blame("view", "Tap the place on the outline, or choose “No place”.")
        return said

    @property
    def judged(self) -> Judged:
        """The mark as the record's writer takes it."""
        said = self.cleaned_data
        placed = bool(said["view"])
        return Judged(
            region=said["region"],
            finding=said["finding"],
            side=said["side"] or "N",
            words=said["words"],
            said_by=said["said_by"],
            said_on=said["said_on"],
            size_mm=said["size_mm"],
            view=said["view"],
            x=said["x"] if placed else None,
            y=said["y"] if placed else None,
        )


@for_recorders
def standing_mark(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """Add a standing mark; a tap on the outline places it."""
    animal = get_object_or_404(Animal, pk=animal_id)
    begin: dict[str, Any] = {"said_on": timezone.localdate(), "side": "N", "x": 500, "y": 500}
    begin |= {name: request.GET[name] for name in TAKEN_OVER if name in request.GET}
    form = StandingMarkForm(sent(request), initial=begin)

    def make() -> str:
        mark_standing(person_of(request), animal, form.judged, timezone.now())
        messages.success(request, "Kept. The check will ask: the same, bigger or gone?")
        return reverse("animal", args=[animal.pk])

    page = {"animal": animal, "here": "animals"}
    return fill_in(request, form, make, "web/animals/mark.html", page)


class EndForm(OnceForm):
    """Why a standing mark no longer holds."""

    reason = line_field(
        "Why it no longer holds", 300, missing="Say why: gone, grown, or judged anew by whom."
    )


@for_recorders
def standing_mark_end(request: HttpRequest, mark_id: UUID) -> HttpResponseBase:
    """A standing mark no longer holds; it stays readable."""
    mark = get_object_or_404(StandingMark.objects.select_related("animal"), pk=mark_id)
    form = EndForm(sent(request))

    def make() -> str:
        if mark.ends.exists():
            messages.info(request, "This mark has ended already; nothing was added.")
        else:
            end_mark(person_of(request), mark, form.cleaned_data["reason"], timezone.now())
            messages.success(request, "The mark no longer softens what is found there.")
        return reverse("animal", args=[mark.animal_id])

    page = {"animal": mark.animal, "mark": mark, "here": "animals"}
    return fill_in(request, form, make, "web/animals/mark_end.html", page)
