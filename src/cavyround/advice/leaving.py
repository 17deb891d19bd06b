"""What speaks against letting an animal go, and what whoever takes it must be told."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime

from django.utils import timezone

from cavyround.advice.breeding import BreedingNow
from cavyround.advice.keeping_apart import apart_now
from cavyround.advice.latest import latest_advice
from cavyround.advice.medicines.running import RunningCourse, courses_here
from cavyround.advice.medicines.withdrawal import withheld
from cavyround.advice.open_cases import open_cases
from cavyround.advice.outbreaks import cases_of, kind_of, open_outbreaks
from cavyround.engines.courses import Phase
from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import Animal

# The ways of leaving on which somebody takes a living animal home.
TO_SOMEBODY = frozenset({"fostered", "adopted", "transferred_out", "other"})


@dataclass(frozen=True, slots=True)
class AgainstLeaving:
    """One thing that speaks against it; ``what`` names it, ``words`` say why and until when."""

    what: str
    words: str


def speaks_against_leaving(animal: Animal, now: datetime) -> tuple[AgainstLeaving, ...]:
    """All that is known of it; what is catching first. Nothing is forbidden by it."""
    if not animal.is_here:
        return ()
    return tuple(_against(animal, now))


def _against(animal: Animal, now: datetime) -> Iterator[AgainstLeaving]:
    key = str(animal.pk)
    for outbreak in open_outbreaks():
        if any(one.animal == key and one.counts for one in cases_of(outbreak, now)):
            words = f"It is a case of {kind_of(outbreak).words}, and the outbreak is open."
            yield AgainstLeaving("Catching", words)
    for case in open_cases(now):
        if case.animal == animal.pk and case.was_closed:
            words = (
                f"It is a case of {kind_of(case.outbreak).words}. That outbreak was closed, and "
                "nobody has said that this case is over."
            )
            yield AgainstLeaving("Catching", words)
    apart = apart_now(now)
    exposed = apart.exposed.get(key)
    if exposed is not None:
        until = f"until {_day(exposed.until)}" if exposed.until else "while the contact lasts"
        yield AgainstLeaving("Exposed", f"It was exposed to {exposed.words}: watched {until}.")
    quarantined = apart.quarantined.get(key)
    if quarantined is not None:
        kept = apart.of(key)
        yield AgainstLeaving("In quarantine", f"{kept.because if kept else ''}.".capitalize())
    yield from _by_advice(animal)
    courses = courses_here(now, [animal.pk])
    for one in withheld(courses, now):
        yield AgainstLeaving("Not to be adopted yet", one.words.capitalize())
    yield from _running(courses)
    yield from _pups(animal, now)


def _by_advice(animal: Animal) -> Iterator[AgainstLeaving]:
    given = latest_advice(Animal.objects.filter(pk=animal.pk)).get(animal.pk)
    if given is not None and given.urgency > Urgency.CARER_RECHECK:
        words = "The latest check says that a vet is to see it."
        if given.isolate:
            words = "The latest check says to keep it apart, and that a vet is to see it."
        yield AgainstLeaving("Not well", words)
    elif given is not None and given.isolate and given.urgency > Urgency.NORMAL:
        yield AgainstLeaving("Not well", "The latest check says to keep it apart.")


def _running(courses: list[RunningCourse]) -> Iterator[AgainstLeaving]:
    for one in courses:
        if one.due.phase is Phase.RUNNING:
            words = f"{one.course.what}: not all doses are given; they go on where it goes."
            yield AgainstLeaving("A course runs", words[:1].upper() + words[1:])


def _pups(animal: Animal, now: datetime) -> Iterator[AgainstLeaving]:
    today = timezone.localdate(now)
    breeding = BreedingNow(now)
    for one in breeding.expecting:
        if one.animal == str(animal.pk):
            last = one.possible.last
            until = f", until {_day(last)}" if last is not None and last >= today else ""
            said = animal.pregnant in ("yes", "possible")
            words = f"She may be pregnant{until}."
            if one.history_unknown and not said:
                words = f"Nobody knows whether she met a boar before she came: {words.lower()}"
            yield AgainstLeaving("Pups may come", words)
    for litter in breeding.litters:
        if any(
            pup.animal == str(animal.pk) and _is_young(pup.part_by, today) for pup in litter.pups
        ):
            yield AgainstLeaving("Young", "It is not three weeks old: it still sucks.")


def _is_young(part_by: date | None, today: date) -> bool:
    return part_by is not None and today < part_by


def _day(day: date) -> str:
    return f"{day.day} {day:%B %Y}"
