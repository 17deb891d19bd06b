"""Write down what was shared outside the pen, and that a pen was cleaned."""

from collections.abc import Sized
from datetime import datetime, timedelta
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from cavyround.facts.days import why_no_day
from cavyround.record.contagion import clean_pen, share
from cavyround.record.models import Animal, Pen, SharedUse
from cavyround.web.animals.fields import choose_field, line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_recorders, person_of
from cavyround.web.house.meeting import MeetingForm

SHEET = "web/contagion/sheet.html"
FORMATS = ["%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M"]
NO_MOMENT = "Give day and time, like 3 March 2026, 09:30."
STILL_TO_COME = "This lies in the future. Give a time that has been."
CLOCK_CHANGE = (
    "The clock was changed that night: this hour was twice, or never. Give a time before or after."
)


class MomentField(forms.DateTimeField):
    """A day with its time; an hour the clock change repeats or leaves out is asked about."""

    def to_python(self, value: Any) -> datetime | None:
        """Say in words what is wrong with an hour that was twice, or never."""
        try:
            return super().to_python(value)
        except forms.ValidationError as fault:
            if fault.code == "ambiguous_timezone":
                raise forms.ValidationError(CLOCK_CHANGE) from fault
            raise


def possible_moment(moment: datetime) -> None:
    """Refuse a slipped year, and what is still to come."""
    if moment > timezone.now() + timedelta(minutes=1):
        raise forms.ValidationError(STILL_TO_COME)
    why = why_no_day(timezone.localdate(moment), timezone.localdate())
    if why:
        raise forms.ValidationError(why)


def moment_field(label: str, *, required: bool = True, hint: str = "") -> forms.DateTimeField:
    """A day with its time that has been, in the rescue's zone."""
    return MomentField(
        label=label,
        required=required,
        help_text=hint,
        input_formats=FORMATS,
        validators=[possible_moment],
        widget=forms.DateTimeInput(format="%Y-%m-%dT%H:%M", attrs={"type": "datetime-local"}),
        error_messages={"required": NO_MOMENT, "invalid": NO_MOMENT},
    )


class ShareForm(MeetingForm):
    """Who used what, from when until when; several animals at once."""

    animals = forms.ModelMultipleChoiceField(
        label="Which animals",
        queryset=Animal.objects.filter(left_on=None),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose at least one animal."},
    )
    kind = choose_field("What was shared", SharedUse.KINDS, missing="Choose what was shared.")
    name = line_field(
        "Which one",
        60,
        missing="Give it a name, the same each time: Lawn run, brush 2.",
        hint="The same name each time: Lawn run, brush 2, blue box.",
    )
    began_at = moment_field("From")
    ended_at = moment_field("Until", required=False, hint="Empty: a run still in use.")
    field_order = ("once", "animals", "all_the_same", "kind", "name", "began_at", "ended_at")

    def is_a_meeting(self, said: dict[str, Any]) -> bool:
        """A run brings them together; a brush goes from one to the next."""
        return said.get("kind") == "run"


@for_recorders
def shared_new(request: HttpRequest) -> HttpResponseBase:
    """Write down a shared run or thing. Hands at checks are read from the checks."""
    now = timezone.localtime().replace(second=0, microsecond=0, tzinfo=None)
    form = ShareForm(sent(request), initial={"began_at": now, "kind": "run"})
    page = {
        "title": "What was shared",
        "lead": "Runs, brushes, boxes and scales pass things on, in the order of use. Who handled "
        "whom at a check is known already.",
        "button": "Keep it",
        "back": reverse("quarantine"),
        "back_words": "Quarantine",
        "here": "apart",
    }
    return fill_in(request, form, lambda: _share(request, form), SHEET, page)


def _share(request: HttpRequest, form: ShareForm) -> str:
    said, now = form.cleaned_data, timezone.now()
    for animal in said["animals"]:
        share(
            person_of(request),
            animal,
            said["kind"],
            said["name"],
            now,
            began_at=said["began_at"],
            ended_at=said["ended_at"],
        )
    messages.success(request, f"{said['name']} is kept for {_animals(said['animals'])}.")
    return reverse("quarantine")


def _animals(animals: Sized) -> str:
    return "1 animal" if len(animals) == 1 else f"{len(animals)} animals"


class CleanForm(OnceForm):
    """How and when."""

    at = moment_field("When")
    how = line_field(
        "How",
        200,
        missing="Say how: with what, how long it stayed wet, what was thrown away.",
        hint="With what, how long it stayed wet, what was thrown away.",
    )


@for_recorders
def pen_cleaned(request: HttpRequest, pen_id: int) -> HttpResponseBase:
    """A pen was cleaned so that it no longer counts as catching."""
    pen = get_object_or_404(Pen.objects.select_related("room"), pk=pen_id)
    now: datetime = timezone.localtime().replace(second=0, microsecond=0, tzinfo=None)
    form = CleanForm(sent(request), initial={"at": now})
    page = {
        "title": f"{pen} was cleaned",
        "lead": "Only a cleaning that ends what is catching: droppings and hair out first, then a "
        "disinfectant that names it, wet for as long as its label says.",
        "button": "Keep it",
        "back": reverse("quarantine"),
        "back_words": "Quarantine",
        "here": "apart",
    }

    def clean() -> str:
        said = form.cleaned_data
        clean_pen(person_of(request), pen, said["how"], timezone.now(), at=said["at"])
        messages.success(request, f"{pen}: the cleaning is kept.")
        return reverse("quarantine")

    return fill_in(request, form, clean, SHEET, page)
