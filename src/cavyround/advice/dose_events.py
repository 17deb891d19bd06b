"""What its doses are for triage: that it had an antibiotic is known without being told."""

from dataclasses import replace
from datetime import datetime, timedelta

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.facts.animal import AnimalFacts, Event
from cavyround.facts.courses import WENT_IN
from cavyround.record.models import Animal, DoseEntry

# The longest time any rule looks back for a medicine is two weeks; a little more harms nothing.
LOOKED_BACK = timedelta(days=21)


def with_dose_events(animal: Animal, facts: AnimalFacts, now: datetime) -> AnimalFacts:
    """The facts with the events its doses of the last weeks are, each day of each once.

    A dose that was refused or not given is none; one that was partly taken is.
    """
    events = [one for one in _events(animal, now) if one not in facts.events]
    return replace(facts, events=(*facts.events, *events)) if events else facts


def _events(animal: Animal, now: datetime) -> list[Event]:
    given = DoseEntry.objects.filter(
        course__animal=animal,
        corrections=None,
        outcome__in=WENT_IN,
        at__gte=now - LOOKED_BACK,
        at__lte=now,
    )
    rows = given.exclude(course__order__drug="").order_by("at")
    given_as = rows.values_list("at", "course__order__drug", "course__order__route")
    found = [
        Event(what=what, on=timezone.localdate(at))
        for at, drug, route in given_as
        for what in _what(drug, route)
    ]
    return list(dict.fromkeys(found))


def _what(drug: str, route: str) -> list[str]:
    """What a dose of this drug is for triage."""
    known = book()
    classes = known.medicines.classes_of([drug])
    kinds = known.dose_kinds_of(classes, known.medicines.route_named(route))
    asked = (one for one in known.after_dose if one.adds_event and set(one.kinds) & set(kinds))
    return list(dict.fromkeys(one.adds_event for one in asked if one.adds_event))
