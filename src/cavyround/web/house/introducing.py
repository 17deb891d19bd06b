"""Introductions: those under way with their days and weighings, and how they went."""

from datetime import datetime
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.housing import INTRODUCED_BACK, introductions_now
from cavyround.record.living import (
    Between,
    begin_introduction,
    end_introduction,
    keep_tie,
)
from cavyround.record.models import Introduction, IntroductionOutcome, Pen
from cavyround.web.animals.fields import choose_field, line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_readers, for_recorders, person_of
from cavyround.web.house.choosing import animals_field
from cavyround.web.house.meeting import MeetingForm


@for_readers
def introductions(request: HttpRequest) -> HttpResponse:
    """What is due on which day, what the weighings say, and what is known of introducing."""
    shown = []
    for row, state in introductions_now(timezone.now()):
        names = {str(one.animal_id): one.animal for one in row.members.all()}
        days = [(day, [names[animal] for animal in day.not_weighed]) for day in state.days]
        lost = [(names[one.animal], one) for one in state.lost]
        shown.append((row, list(names.values()), days, lost, state))
    page = {"introductions": shown, "days": book().living.introduction, "here": "house"}
    return render(request, "web/house/introductions.html", page)


class IntroductionForm(MeetingForm):
    """Who, where, and since when."""

    animals = animals_field("Who is introduced to whom")
    pen = forms.ModelChoiceField(
        label="Where",
        queryset=Pen.objects.select_related("room"),
        required=False,
        empty_label="On neutral ground, in no pen",
    )
    began_at = forms.DateTimeField(
        label="Begun",
        required=False,
        help_text="Left empty: now.",
        input_formats=["%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M"],
        widget=forms.DateTimeInput(format="%Y-%m-%dT%H:%M", attrs={"type": "datetime-local"}),
        error_messages={
            "invalid": "This is no day and hour. Write it like 2026-03-03 14:30, or leave it empty."
        },
    )
    words = line_field("What to remember", 200)
    field_order = ("once", "animals", "all_the_same", "pen", "began_at", "words")

    def clean_began_at(self) -> datetime | None:
        """Not in the future, and not so long ago that its days would not be shown."""
        began: datetime | None = self.cleaned_data["began_at"]
        now = timezone.now()
        if began is not None and began > now:
            words = "This lies in the future. Say when it began."
            raise forms.ValidationError(words)
        if began is not None and began < now - INTRODUCED_BACK:
            words = (
                f"This is more than {INTRODUCED_BACK.days} days ago: its days to weigh are over. "
                "Write down what is between them as a bond or a quarrel instead."
            )
            raise forms.ValidationError(words)
        return began


@for_recorders
def introduction_new(request: HttpRequest) -> HttpResponseBase:
    """Begin an introduction."""
    form = IntroductionForm(sent(request))
    page = {
        "title": "Begin an introduction",
        "back": reverse("house-introductions"),
        "here": "house",
        "hint": "Only well animals out of quarantine that may share. Weigh both before. This "
        "moves nobody: when they live together, move them.",
    }
    return fill_in(request, form, lambda: _begin(request, form), "web/house/form.html", page)


def _begin(request: HttpRequest, form: IntroductionForm) -> str:
    said = form.cleaned_data
    begin_introduction(
        person_of(request),
        said["animals"],
        timezone.now(),
        pen=said["pen"],
        began_at=said["began_at"],
        words=said["words"],
    )
    messages.success(request, "Begun. The days to weigh come on today's list.")
    return reverse("house-introductions")


class OutcomeForm(OnceForm):
    """How it went."""

    outcome = choose_field("How it went", IntroductionOutcome.OUTCOMES, missing="Say how it went.")
    words = line_field("What was seen", 200)


@for_recorders
def introduction_end(request: HttpRequest, introduction_id: UUID) -> HttpResponseBase:
    """Say how an introduction went; two that are bonded are written down as bonded."""
    row = get_object_or_404(Introduction, pk=introduction_id)
    names = ", ".join(str(one.animal) for one in row.members.select_related("animal"))
    form = OutcomeForm(sent(request))
    page = {
        "title": f"How did it go? {names}",
        "back": reverse("house-introductions"),
        "here": "house",
    }
    return fill_in(request, form, lambda: _end(request, row, form), "web/house/form.html", page)


def _end(request: HttpRequest, row: Introduction, form: OutcomeForm) -> str:
    said, now = form.cleaned_data, timezone.now()
    end_introduction(person_of(request), row, said["outcome"], now, words=said["words"])
    members = [one.animal for one in row.members.select_related("animal")]
    if said["outcome"] == "bonded":
        told = Between(kind="bonded", on=timezone.localdate(now), words="after an introduction")
        for place, one in enumerate(members):
            for other in members[place + 1 :]:
                keep_tie(person_of(request), one, other, told, now)
    messages.success(request, "Kept.")
    return reverse("house-introductions")
