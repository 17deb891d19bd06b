"""The doses of the day, in the order of the round, with the rows behind them."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.due import ORDER
from cavyround.advice.latest import latest_advice
from cavyround.advice.medicines.running import RunningCourse, courses_running
from cavyround.engines.courses import DoseRound, PenOfRound, dose_round
from cavyround.record import models
from cavyround.record.days_off import days_off

# An animal that was advised to be kept apart comes last, also where it still sits in its pen.
APART = "/apart"


@dataclass(frozen=True, slots=True)
class DosesToday:
    """The engine's round, and the courses behind it by their id as text."""

    round: DoseRound
    courses: Mapping[str, RunningCourse]


def doses_today(now: datetime) -> DosesToday:
    """Every dose of the day across the herd: by pen, from healthy to contagious.

    A pen's id in the round is its own; with ``/apart`` behind it for those of its animals
    that were advised to be kept apart, who come last.
    """
    running = courses_running(now)
    animals = {one.row.animal_id: one.row.animal for one in running}
    return DosesToday(
        round=dose_round(
            [one.course for one in running],
            pens_of_round(animals.values()),
            now=now,
            zone=timezone.get_current_timezone(),
            book=book(),
            days_off=days_off(timezone.localdate(now)) if running else (),
        ),
        courses={one.course.id: one for one in running},
    )


def pens_of_round(animals: Iterable[models.Animal]) -> list[PenOfRound]:
    """The pens of these animals in the order of the round; their rows come with pen and room."""
    animals = list(animals)
    ids = [animal.pk for animal in animals]
    advised = latest_advice(models.Animal.objects.filter(pk__in=ids))
    places: dict[tuple[int, int, int, str], list[models.Animal]] = defaultdict(list)
    for animal in animals:
        given = advised.get(animal.pk)
        apart = given is not None and given.isolate
        if animal.pen is not None:
            places[_place(animal.pen, apart=apart)].append(animal)
    return [
        PenOfRound(
            pen=key[3],
            animals=tuple(str(one.pk) for one in sorted(here, key=lambda one: one.name)),
        )
        for key, here in sorted(places.items(), key=lambda item: item[0])
    ]


def _place(pen: models.Pen, *, apart: bool) -> tuple[int, int, int, str]:
    group = ORDER.index("isolation" if apart else pen.kind)
    return (group, pen.room.position, pen.position, f"{pen.pk}{APART if apart else ''}")


def ids_of(courses: Iterable[RunningCourse]) -> list[UUID]:
    """The animals of these courses, each once."""
    return list(dict.fromkeys(one.row.animal_id for one in courses))
