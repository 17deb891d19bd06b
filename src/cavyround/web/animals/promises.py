"""Follow-ups of an animal: promise to look again, and say how it went."""

from datetime import datetime, time, timedelta
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from cavyround.record.models import Animal, FollowUp, FollowUpOutcome
from cavyround.record.promises import LookAgainAt, promise, settle
from cavyround.web.animals.fields import (
    choose_field,
    day_field,
    finding_choices,
    line_field,
    region_choices,
    side_choices,
)
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_recorders, person_of

WHEN = [
    ("12", "In 12 hours"),
    ("24", "Tomorrow"),
    ("72", "In 3 days"),
    ("168", "In a week"),
    ("day", "On a day"),
]
MORNING = time(9)


class FollowUpForm(OnceForm):
    """What to look at again, and by when."""

    words = line_field(
        "What to look at again", 200, missing="Say what to look at: whoever does it must know."
    )
    when = choose_field("When", WHEN, missing="Choose when.")
    day = day_field("Day", hint="Only with “On a day”.")
    region = choose_field("Where on the body", [], listed=True)
    side = choose_field("Its own side", [], listed=True)
    finding = choose_field("Finding", [], listed=True)
    until_gone = forms.BooleanField(
        label="It should be gone by then",
        required=False,
        help_text="If it is still there, that counts one step more urgent.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer the regions and findings of the knowledge."""
        super().__init__(*args, **kwargs)
        offer_place(self, optional=True)

    def clean(self) -> dict[str, Any]:
        """A day that is still to come; a finding with its place or neither."""
        said = super().clean() or self.cleaned_data
        if said.get("when") == "day":
            if not said.get("day"):
                self.blame("day", "The day is missing. Give it, or choose another answer above.")
            elif said["day"] < timezone.localdate():
                self.blame("day", "This day is over. A promise is for a day still to come.")
        if bool(said.get("region")) != bool(said.get("finding")):
            missing = "finding" if said.get("region") else "region"
            self.blame(missing, "Where and what go together: choose both, or neither.")
        return said

    def due_at(self, now: datetime) -> datetime:
        """The moment by which somebody looks again."""
        if self.cleaned_data["when"] != "day":
            return now + timedelta(hours=int(self.cleaned_data["when"]))
        morning = datetime.combine(self.cleaned_data["day"], MORNING)
        return max(timezone.make_aware(morning), now)


def offer_place(form: forms.Form, *, optional: bool) -> None:
    """Fill the lists of places, sides and findings from the knowledge."""
    none = [("", "No one place")] if optional else [("", "Choose …")]
    for name, choices in (
        ("region", none + region_choices()),
        ("finding", ([("", "No one finding")] if optional else none) + finding_choices()),
        ("side", side_choices()),
    ):
        field = form.fields[name]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101 - narrows the type
        field.choices = choices


@for_recorders
def follow_up_add(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """Promise to look again at an animal."""
    animal = get_object_or_404(Animal, pk=animal_id)
    given = {name: request.GET.get(name, "") for name in ("region", "finding", "side", "words")}
    form = FollowUpForm(sent(request), initial={"when": "24", "side": "N"} | _filled(given))

    def make() -> str:
        said, now = form.cleaned_data, timezone.now()
        again = LookAgainAt(
            due_at=form.due_at(now),
            words=said["words"],
            region=said["region"],
            finding=said["finding"],
            side=said["side"] or "N",
            until_gone=said["until_gone"],
        )
        promise(person_of(request), animal, again, now)
        messages.success(request, f"{animal} is on the list for then.")
        return reverse("animal", args=[animal.pk])

    page = {"animal": animal, "here": "animals"}
    return fill_in(request, form, make, "web/animals/follow_up.html", page)


def _filled(given: dict[str, str]) -> dict[str, str]:
    return {name: value for name, value in given.items() if value}


class OutcomeForm(OnceForm):
    """How a promise was kept."""

    outcome = choose_field("How is it now?", FollowUpOutcome.OUTCOMES, missing="Choose one.")
    reason = line_field("In words", 300)

    def clean(self) -> dict[str, Any]:
        """A promise that is dropped needs its reason."""
        said = super().clean() or self.cleaned_data
        if said.get("outcome") == "dropped" and not said.get("reason"):
            self.blame("reason", "Say why nobody needs to look any more; it is read later.")
        return said


@for_recorders
def follow_up_settle(request: HttpRequest, follow_up_id: UUID) -> HttpResponseBase:
    """Say how a promise was kept, or drop it with a reason."""
    follow_up = get_object_or_404(FollowUp.objects.select_related("animal"), pk=follow_up_id)
    form = OutcomeForm(sent(request))

    def make() -> str:
        if follow_up.outcomes.exists():
            messages.info(request, "Somebody has settled this already; nothing was added.")
        else:
            said = form.cleaned_data
            person = person_of(request)
            settle(person, follow_up, said["outcome"], timezone.now(), reason=said["reason"])
            messages.success(request, "Kept.")
        return reverse("animal", args=[follow_up.animal_id])

    page = {"animal": follow_up.animal, "follow_up": follow_up, "here": "animals"}
    return fill_in(request, form, make, "web/animals/settle.html", page)
