"""A labour is timed: it begins, what is seen is tapped, and it is over. All see the same page."""

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from cavyround.advice.book import book
from cavyround.advice.labour import LabourNow, care_in_labour, labour_now
from cavyround.record.animals import ImpossibleError
from cavyround.record.clocks import PhoneClock, said_moment
from cavyround.record.labour import OverSaid, begin_labour, end_labour, see, take_back
from cavyround.record.labour_facts import open_labour_of, standing
from cavyround.record.models import Animal, Labour, LabourOver, LabourSeen, VetNumber
from cavyround.record.models.entries import new_id
from cavyround.web.animals.fields import choose_field, words_field
from cavyround.web.animals.labouring import seen_words
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.contagion.sharing import moment_field
from cavyround.web.gate import for_readers, for_recorders, person_of, wants_json
from cavyround.web.house.births import pups_number

# What a thumb can choose before a clock is looked at.
MINUTES_AGO = (5, 10, 20, 30, 60)
LONGEST_AGO = timedelta(days=2)
TAPPED = frozenset({"pup_alive", "pup_dead", "pup", "rests", "strains", "vet_rung"})
NO_TAP = "This page no longer fits what was tapped. Load it again and tap once more."
TOO_LONG_AGO = (
    "That is more than two days ago. Look at the day again; if nobody knows, say so, and ring "
    "the vet now."
)


class SinceForm(OnceForm):
    """Since when she strains: a button, or a time."""

    start = forms.CharField(required=False)
    at = moment_field("Since this time", required=False)

    def clean(self) -> dict[str, Any]:
        """Exactly one answer; ``since`` None where nobody knows."""
        said = self.cleaned_data
        now, start = timezone.now(), said.get("start") or ""
        if start.startswith("ago") and start[3:] in {str(one) for one in MINUTES_AGO}:
            said["since"] = now - timedelta(minutes=int(start[3:]))
        elif start == "now":
            said["since"] = now
        elif start == "unknown":
            said["since"] = None
        elif "at" in self.errors:
            pass
        elif said.get("at") is None:
            self.add_error("at", "Give the time, or tap one of the answers above.")
        elif said["at"] < now - LONGEST_AGO:
            self.add_error("at", TOO_LONG_AGO)
        else:
            said["since"] = said["at"]
        return said


@for_recorders
def labour_begin(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """She strains: since when? Where her labour is timed already, that page."""
    animal = get_object_or_404(Animal, pk=animal_id)
    running = open_labour_of(animal)
    if running is not None:
        return redirect("labour", running.pk)
    form = SinceForm(sent(request))
    page = _since_page(animal, "She is straining", reverse("animal", args=[animal.pk]))
    return fill_in(
        request, form, lambda: _begun(request, animal, form), "web/house/labour_since.html", page
    )


def _begun(request: HttpRequest, animal: Animal, form: SinceForm) -> str:
    row, is_new = begin_labour(
        person_of(request), animal, form.cleaned_data["since"], timezone.now()
    )
    if not is_new:
        messages.warning(request, f"{row.made_by} times this birth already: this is the page.")
    return reverse("labour", args=[row.pk])


@for_recorders
def labour_since(request: HttpRequest, labour_id: UUID) -> HttpResponseBase:
    """She began at another time than was said."""
    row = _row(labour_id)
    form = SinceForm(sent(request))
    page = _since_page(row.animal, "When did she begin?", reverse("labour", args=[row.pk]))
    return fill_in(
        request, form, lambda: _began(request, row, form), "web/house/labour_since.html", page
    )


def _began(request: HttpRequest, row: Labour, form: SinceForm) -> str:
    see(person_of(request), row, "since", form.cleaned_data["since"], timezone.now())
    return reverse("labour", args=[row.pk])


def _since_page(animal: Animal, title: str, back: str) -> dict[str, Any]:
    minutes = book().span("labour_active_minutes").low
    return {
        "title": title,
        "animal": animal,
        "minutes_ago": MINUTES_AGO,
        "limit": minutes,
        "back": back,
        "vets": list(VetNumber.objects.all()),
        "here": "house",
    }


@for_readers
def labour(request: HttpRequest, labour_id: UUID) -> HttpResponse:
    """The clocks, what the limits say now, whom to ring, and what was seen."""
    row = _row(labour_id)
    now = timezone.now()
    state = labour_now(row, now, standing(row))
    over = row.ends.select_related("made_by", "litter").first()
    page = {
        "state": state,
        "row": row,
        "animal": row.animal,
        "over": over,
        "seen": [(one, seen_words(one)) for one in reversed(state.seen)],
        "signs": [sign for sign in book().living.birth_signs if sign.button],
        "care": care_in_labour(row.animal, now),
        "vets": list(VetNumber.objects.all()),
        "entry": new_id(),
        "now": now,
        "here": "house",
    }
    return render(request, "web/house/labour.html", page)


@for_recorders
@require_POST
def labour_seen(request: HttpRequest, labour_id: UUID) -> HttpResponseBase:
    """One tap: what, when by the phone's clock, and under which id it was made."""
    row = _row(labour_id)
    what, sign = request.POST.get("what", ""), request.POST.get("sign", "")
    known = {one.id for one in book().living.birth_signs if one.button}
    entry = _id(request.POST.get("entry", ""))
    if entry is None or (sign not in known if sign else what not in TAPPED):
        return _refused(request, row, NO_TAP)
    try:
        now = timezone.now()
        at = _tapped_at(request, now)
        see(person_of(request), row, "sign" if sign else what, at, now, sign=sign, entry=entry)
    except ImpossibleError as why:
        return _refused(request, row, str(why))
    return _done(request, row)


def _tapped_at(request: HttpRequest, now: datetime) -> datetime:
    """When it was tapped, set right where the phone's clock is wrong."""
    at = said_moment(request.POST.get("at"))
    if at is None:
        return now
    return min(now, PhoneClock(now, said_moment(request.POST.get("sent_at"))).set_right(at))


def _id(text: str) -> UUID | None:
    try:
        return UUID(text)
    except ValueError:
        return None


@for_recorders
@require_POST
def labour_take_back(request: HttpRequest, seen_id: UUID) -> HttpResponseBase:
    """That was a slip of the thumb."""
    seen = get_object_or_404(LabourSeen.objects.select_related("labour"), pk=seen_id)
    take_back(person_of(request), seen, timezone.now())
    return redirect("labour", seen.labour_id)


def _refused(request: HttpRequest, row: Labour, why: str) -> HttpResponseBase:
    if wants_json(request):
        return JsonResponse({"why": why}, status=422)
    messages.error(request, why)
    return redirect("labour", row.pk)


def _done(request: HttpRequest, row: Labour) -> HttpResponseBase:
    return JsonResponse({"kept": True}) if wants_json(request) else redirect("labour", row.pk)


class OverForm(OnceForm):
    """How it ended."""

    how = choose_field("How it ended", LabourOver.HOW, missing="Say how it ended.")
    at = moment_field("When")
    alive = pups_number("Born alive, as far as anybody knows")
    dead = pups_number("Born dead")
    words = words_field("What was seen, or what the vet said")


@for_recorders
def labour_over(request: HttpRequest, labour_id: UUID) -> HttpResponseBase:
    """The birth is over, or goes on at the vet's."""
    row = _row(labour_id)
    state = labour_now(row, timezone.now(), standing(row))
    form = OverForm(sent(request), initial=_begin_with(state))
    page = {
        "title": f"The birth of {row.animal} is over",
        "back": reverse("labour", args=[row.pk]),
        "back_to": f"{row.animal} in labour",
        "hint": "While she still strains, or dull, cold or off food, it is not over: ring the vet.",
        "here": "house",
    }
    return fill_in(request, form, lambda: _over(request, row, form), "web/house/form.html", page)


def _begin_with(state: LabourNow) -> dict[str, Any]:
    """What was tapped; where a pup may be alive or dead nobody counts for the carer."""
    begin: dict[str, Any] = {"at": timezone.localtime(state.now)}
    if state.pups and state.pups == state.alive + state.dead:
        begin |= {"how": "born", "alive": state.alive, "dead": state.dead}
    return begin


def _over(request: HttpRequest, row: Labour, form: OverForm) -> str:
    said = form.cleaned_data
    told = OverSaid(
        how=said["how"],
        at=said["at"],
        alive=said["alive"],
        dead=said["dead"],
        words=said["words"],
    )
    over = end_labour(person_of(request), row, told, timezone.now())
    if over.litter is not None and over.litter.made_at < over.made_at:
        messages.warning(
            request,
            f"{over.litter.made_by} wrote this litter down already; no second one was made. "
            "Look whether its numbers are right.",
        )
    else:
        messages.success(request, f"Kept: {over.get_how_display().lower()}.")
    return reverse("labour", args=[row.pk])


def _row(labour_id: UUID) -> Labour:
    rows = Labour.objects.select_related("animal__pen__room", "made_by")
    row: Labour = get_object_or_404(rows, pk=labour_id)
    return row
