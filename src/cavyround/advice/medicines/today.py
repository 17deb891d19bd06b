"""The doses of the day, in the order of the round, with the rows behind them."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.medicines.running import RunningCourse, courses_running
from cavyround.advice.order_of_care import OrderOfCare, order_of_care
from cavyround.engines.courses import DoseRound, PenOfRound, dose_round
from cavyround.record import models
from cavyround.record.days_off import days_off


@dataclass(frozen=True, slots=True)
class DosesToday:
    """The engine's round, and the courses behind it by their id as text."""

    round: DoseRound
    courses: Mapping[str, RunningCourse]
    order: OrderOfCare


def doses_today(now: datetime, order: OrderOfCare | None = None) -> DosesToday:
    """Every dose of the day across the herd: by pen, from healthy to contagious.

    ``order`` is the order of care, where it is known already.
    """
    order = order or order_of_care(now)
    running = courses_running(now)
    animals = {one.row.animal_id: one.row.animal for one in running}
    return DosesToday(
        round=dose_round(
            [one.course for one in running],
            pens_of_round(animals.values(), order),
            now=now,
            zone=timezone.get_current_timezone(),
            book=book(),
            days_off=days_off(timezone.localdate(now)) if running else (),
        ),
        courses={one.course.id: one for one in running},
        order=order,
    )


def pens_of_round(animals: Iterable[models.Animal], order: OrderOfCare) -> list[PenOfRound]:
    """The pens of these animals in the order of the round; their rows come with pen and room."""
    places: dict[models.Pen, list[models.Animal]] = defaultdict(list)
    for animal in animals:
        if animal.pen is not None:
            places[animal.pen].append(animal)

    def place(pen: models.Pen) -> tuple[int, int, int, int]:
        stage = order.of_pen.get(pen.pk, pen.kind)
        return (order.place[stage], pen.room.position, pen.position, pen.pk)

    return [
        PenOfRound(
            pen=str(pen.pk),
            animals=tuple(str(one.pk) for one in sorted(places[pen], key=lambda one: one.name)),
        )
        for pen in sorted(places, key=place)
    ]


def ids_of(courses: Iterable[RunningCourse]) -> list[UUID]:
    """The animals of these courses, each once."""
    return list(dict.fromkeys(one.row.animal_id for one in courses))
