"""The animal's page: who it is, what matters now, and its story."""

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.utils import timezone

from cavyround.advice.giving import answer_of
from cavyround.advice.labour import labour_of
from cavyround.record.models import AdviceGiven, Animal, FollowUp, StandingMark, WeighIn
from cavyround.web.animals.aloneness import alone_shown
from cavyround.web.animals.details import chip_shown, coat_words
from cavyround.web.animals.parts import show, wants_part
from cavyround.web.animals.photos import PhotoForm
from cavyround.web.animals.places import outlines_of
from cavyround.web.animals.stating import may_state
from cavyround.web.animals.timeline import Cursor, story_of
from cavyround.web.gate import for_readers, person_of
from cavyround.web.medicines.on_animal import medicines_of

PHOTOS_SHOWN = 8


@for_readers
def animal(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """The page; with ``before`` the older part of the story."""
    one = get_object_or_404(Animal.objects.select_related("pen__room", "face"), pk=animal_id)
    before = Cursor.read(request.GET.get("before", ""))
    part = wants_part(request) and before is not None
    page: dict[str, Any] = {
        "animal": one,
        "here": "animals",
        "story": story_of(one, before),
        "older_only": before is not None,
    }
    if part:
        template = "web/animals/timeline.html"
    elif before is not None:
        template = "web/animals/older.html"
    else:
        template = "web/animals/animal.html"
        page |= _now(request, one, timezone.now())
    return show(request, template, page)


def _now(request: HttpRequest, one: Animal, now: datetime) -> dict[str, Any]:
    """What the page says above the story."""
    held = list(StandingMark.objects.filter(animal=one, ends=None).select_related("made_by"))
    follow_ups = list(FollowUp.objects.filter(animal=one, outcomes=None))
    tomorrow = timezone.localtime(now).replace(hour=0, minute=0, second=0) + timedelta(days=1)
    due = [promise for promise in follow_ups if promise.due_at < tomorrow]
    given = AdviceGiven.objects.filter(animal=one).defer("inputs").order_by("-made_at").first()
    arrival = one.arrivals.select_related("made_by").order_by("-on", "-id").first()
    departure = one.departures.order_by("-on", "-id").first()
    weight = WeighIn.objects.filter(animal=one).order_by("-at", "-id").first()
    return {
        "chip": chip_shown(one),
        "coat": coat_words(one.coat),
        "arrival": arrival,
        "departure": departure if departure and _is_last(departure, arrival) else None,
        "weight": weight,
        "given": given,
        "answer": answer_of(given) if given else None,
        "follow_ups": follow_ups,
        "due": due,
        "held": held,
        "outlines": outlines_of(one, held, now),
        "questions": one.vet_questions.filter(answers=None).select_related("made_by"),
        "photos": one.photos.order_by("-made_at", "-id")[:PHOTOS_SHOWN],
        "photo_form": PhotoForm(),
        "may_state": may_state(person_of(request), one),
        "medicines": medicines_of(one, now),
        "alone": alone_shown(one),
        "labour": labour_of(one, now),
        "now": now,
    }


def _is_last(departure: Any, arrival: Any) -> bool:
    return arrival is None or departure.made_at > arrival.made_at
