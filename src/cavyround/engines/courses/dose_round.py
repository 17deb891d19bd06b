"""The day's list of doses: by pen in the order of the round, in as few sittings as can be."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo

from cavyround.engines.courses.clock import day_begins, day_of
from cavyround.engines.courses.due import due_until
from cavyround.engines.courses.slots import CourseDue, Phase, Slot, State
from cavyround.facts.courses import Course
from cavyround.knowledge.book import Knowledge

NO_PEN = ""
# Doses further back than this and answered or missed have no more to say to today's list.
RECENT = timedelta(days=7)


@dataclass(frozen=True, slots=True, kw_only=True)
class PenOfRound:
    """A pen and its animals, each in the order they are taken up."""

    pen: str
    animals: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseToGive:
    """One dose of the day. It may be given from ``from_at`` and before ``until_at``."""

    animal: str
    pen: str
    course: Course
    slot: Slot
    from_at: datetime
    until_at: datetime

    @property
    def treatment(self) -> tuple[str, str, str]:
        """What makes it one treatment with others: the order, its name, the product."""
        return (self.course.order, self.course.what, self.course.product)


@dataclass(frozen=True, slots=True, kw_only=True)
class PenStop:
    """The doses of one pen in one sitting; an empty ``pen`` for animals in no pen."""

    pen: str
    doses: tuple[DoseToGive, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SameTreatment:
    """Doses of one treatment in one sitting, drawn up together, each entered on its own."""

    order: str
    what: str
    product: str
    doses: tuple[DoseToGive, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sitting:
    """Doses that can be given one after the other at any time from ``from_at`` to ``until_at``."""

    from_at: datetime
    until_at: datetime
    stops: tuple[PenStop, ...]

    @property
    def doses(self) -> tuple[DoseToGive, ...]:
        """All of them in the order of the round."""
        return tuple(dose for stop in self.stops for dose in stop.doses)

    @property
    def treatments(self) -> tuple[SameTreatment, ...]:
        """The same doses by treatment, in the order they first come up."""
        by_treatment: dict[tuple[str, str, str], list[DoseToGive]] = defaultdict(list)
        for dose in self.doses:
            by_treatment[dose.treatment].append(dose)
        return tuple(
            SameTreatment(order=order, what=what, product=product, doses=tuple(doses))
            for (order, what, product), doses in by_treatment.items()
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseRound:
    """One day's doses. ``ask_vet`` may be given only after the vet was asked."""

    day: date
    sittings: tuple[Sitting, ...]
    ask_vet: tuple[CourseDue, ...]
    done: tuple[DoseToGive, ...] = ()


def dose_round(
    courses: Iterable[Course],
    pens: Sequence[PenOfRound],
    *,
    now: datetime,
    zone: tzinfo,
    book: Knowledge,
    days_off: Collection[date] = (),
) -> DoseRound:
    """The doses still to be given on the civil day of ``now``, and those done today.

    ``pens`` come in the order of the round, from healthy to contagious. An animal in
    none of them is kept and comes last, together with others in no pen.
    """
    day = day_of(now, zone)
    ends = day_begins(day + timedelta(days=1), zone)
    looked_at = [
        due_until(
            one, now=now, until=ends, zone=zone, book=book, days_off=days_off, since=now - RECENT
        )
        for one in courses
    ]
    standing = [one for one, _ in looked_at]
    places = {animal: pen.pen for pen in pens for animal in pen.animals}
    order = _Order(pens)
    doses = [
        _to_give(one.course, slot, places, now=now, ends=ends)
        for one, slots in looked_at
        for slot in slots
        if slot.wants_giving or (slot.state is State.TO_COME and slot.opens_at < ends)
    ]
    return DoseRound(
        day=day,
        sittings=tuple(_sittings(doses, order)),
        ask_vet=tuple(one for one in standing if asks_vet(one)),
        done=tuple(
            sorted(
                (dose for one in standing for dose in _done(one, places, day, zone)),
                key=order.of,
            )
        ),
    )


def asks_vet(standing: CourseDue) -> bool:
    """Whether the vet is to be asked about anything of this course.

    What did not fit about one dose is over once a later one was given.
    """
    if any(slot.is_open and not slot.wants_giving for slot in standing.slots):
        return True
    went_in = [slot for slot in standing.slots if slot.given_at is not None]
    doubted = bool(went_in) and bool(went_in[-1].doubts)
    over = standing.phase in (Phase.FINISHED, Phase.STOPPED)
    return doubted or (bool(standing.doubts) and not over)


class _Order:
    """The order of the round: by pen, then by animal within it."""

    def __init__(self, pens: Sequence[PenOfRound]) -> None:
        self._pens = {pen.pen: place for place, pen in enumerate(pens)}
        self._animals = {animal: place for pen in pens for place, animal in enumerate(pen.animals)}

    def of(self, dose: DoseToGive) -> tuple[int, int, str, str, str]:
        last = len(self._pens)
        return (
            self._pens.get(dose.pen, last),
            self._animals.get(dose.animal, 0),
            dose.animal,
            dose.course.what,
            dose.course.id,
        )


def _to_give(
    course: Course, slot: Slot, places: dict[str, str], *, now: datetime, ends: datetime
) -> DoseToGive:
    """A dose of today: on time as long as that can be, then until it is missed.

    One that is to be given although it was missed may be given until the day ends.
    """
    from_at = max(now, slot.opens_at)
    until_at = next((at for at in (slot.late_at, slot.missed_at) if at and at > from_at), ends)
    return DoseToGive(
        animal=course.animal,
        pen=places.get(course.animal, NO_PEN),
        course=course,
        slot=slot,
        from_at=from_at,
        until_at=until_at,
    )


def _done(standing: CourseDue, places: dict[str, str], day: date, zone: tzinfo) -> list[DoseToGive]:
    """What went in today."""
    animal = standing.course.animal
    return [
        DoseToGive(
            animal=animal,
            pen=places.get(animal, NO_PEN),
            course=standing.course,
            slot=slot,
            from_at=slot.given_at,
            until_at=slot.given_at,
        )
        for slot in standing.slots
        if slot.given_at is not None and day_of(slot.given_at, zone) == day
    ]


def _sittings(doses: list[DoseToGive], order: _Order) -> list[Sitting]:
    """The fewest sittings in which each dose falls into its window: the most pressing first."""
    waiting = sorted(doses, key=lambda dose: (dose.until_at, *order.of(dose)))
    sittings = []
    while waiting:
        deadline = waiting[0].until_at
        now_done = [dose for dose in waiting if dose.from_at <= deadline]
        waiting = [dose for dose in waiting if dose.from_at > deadline]
        sittings.append(_sitting(sorted(now_done, key=order.of), deadline))
    return sorted(sittings, key=lambda sitting: sitting.until_at)


def _sitting(doses: list[DoseToGive], deadline: datetime) -> Sitting:
    by_pen: dict[str, list[DoseToGive]] = defaultdict(list)
    for dose in doses:
        by_pen[dose.pen].append(dose)
    return Sitting(
        from_at=max(dose.from_at for dose in doses),
        until_at=deadline,
        stops=tuple(PenStop(pen=pen, doses=tuple(several)) for pen, several in by_pen.items()),
    )
