"""The order of the round, split over the people present."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.rounds import round_of
from cavyround.engines.housing import Stretch
from cavyround.record.models import Animal, Pen, Person, Role
from cavyround.web.gate import for_readers

MOST_PEOPLE = 8


@dataclass(frozen=True, slots=True)
class NamedStop:
    """A stop with its pen, its animals, and what is changed before it."""

    pen: Pen | None
    animals: tuple[Animal, ...]
    group: object | None


@for_readers
def split(request: HttpRequest) -> HttpResponse:
    """Each person's stretch, from healthy to contagious."""
    people = list(Person.objects.filter(is_active=True, role__in=(Role.CARER, Role.LEAD)))
    asked = set(request.GET.getlist("person"))
    present = [one for one in people if str(one.pk) in asked][:MOST_PEOPLE]
    names = [str(one) for one in present] or ["One person"]
    animals = {str(one.pk): one for one in Animal.objects.filter(left_on=None)}
    pens = {str(pen.pk): pen for pen in Pen.objects.select_related("room")}
    page = {
        "people": people,
        "present": {one.pk for one in present},
        "stretches": [(one, _stops(one, animals, pens)) for one in round_of(names, timezone.now())],
        "groups": book().living.round,
        "shelter_minutes": book().thresholds["care_minutes_per_animal"],
        "here": "house",
    }
    return render(request, "web/house/round.html", page)


def _stops(stretch: Stretch, animals: dict[str, Animal], pens: dict[str, Pen]) -> list[NamedStop]:
    changes = dict(stretch.changes)
    return [
        NamedStop(
            pens.get(stop.pen),
            tuple(animals[key] for key in stop.animals if key in animals),
            changes.get(place),
        )
        for place, stop in enumerate(stretch.stops)
    ]
