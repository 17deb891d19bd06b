"""Server time of the pages, in process and warm: request in, bytes out, no network."""

import importlib
from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path

from django.db import connections
from django.test import Client
from django.urls import reverse

from benchmarks.herd_here import make_herd
from benchmarks.long_record import Size, lay_under
from benchmarks.timing import Times, timed
from cavyround.record.models import AdviceGiven, Person

HERE = 200
ANIMAL = "Animal 17"


def addresses() -> Mapping[str, str]:
    """The pages that are measured."""
    given = AdviceGiven.objects.filter(animal__name=ANIMAL).order_by("made_at").last()
    if given is None:
        msg = f"{ANIMAL} has no advice; the herd was not made as expected"
        raise LookupError(msg)
    return {
        "today": reverse("today"),
        "animals list": reverse("animals"),
        "animals that left": f"{reverse('animals')}?where=left",
        "search among all animals": f"{reverse('animals')}?where=all&q=animal+17",
        "animal page": reverse("animal", args=[given.animal_id]),
        "weight plot": reverse("animal-weights", args=[given.animal_id]),
        "check shell": reverse("check"),
        "round.json": reverse("round"),
        "weigh-in pens.json": reverse("weigh-in-pens"),
        "advice page": reverse("advice", args=[given.id]),
        "knowledge": reverse("knowledge"),
    }


def measure(person: Person, times: int) -> dict[str, Times]:
    """Every page so many times, one after the other."""
    client = Client(headers={"Accept-Encoding": "gzip"})  # as every browser asks
    client.force_login(person)
    return {name: timed(_get(client, path), times=times) for name, path in addresses().items()}


def _get(client: Client, path: str) -> Callable[[], None]:
    def get() -> None:
        answer = client.get(path)
        if answer.status_code != 200:
            msg = f"{path} answered {answer.status_code}"
            raise AssertionError(msg)

    return get


def at_two_sizes(
    database: Path, past: Size, *, times: int, now: datetime, say: Callable[[str], None]
) -> tuple[dict[str, Times], dict[str, Times]]:
    """The pages of a rescue of 200, and the same rescue again with a long record under it."""
    say(f"making {HERE} animals here")
    lead = make_herd(HERE, now)
    say("measuring the pages")
    importlib.import_module("cavyround.web.wsgi")  # makes ready as the serving process does
    small = measure(lead, times)
    say(f"writing {past.animals:,} past animals and {past.weighings:,} weighings")
    connections.close_all()
    lay_under(database, past, person=lead.pk, now=now, say=say)
    size = database.stat().st_size / 1e9
    say(f"the record is {size:.1f} GB now; measuring the pages again")
    return small, measure(lead, times)
