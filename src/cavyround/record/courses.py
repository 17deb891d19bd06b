"""Write courses, and read them back as facts: what is due is the engine's business."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from cavyround.facts.courses import Course, GivenDose, LookedAgain, Outcome
from cavyround.facts.lengths import Length, days
from cavyround.facts.reading_amounts import read_dose
from cavyround.facts.strengths import DosePer, Per
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.courses import CareCourse
from cavyround.record import models
from cavyround.record.models.entries import kept_already, new_id
from cavyround.record.orders import schedule_of


class CourseRefusedError(ValueError):
    """Why a course cannot begin, stop or end so, in words."""


@transaction.atomic
def begin_course(
    person: models.Person,
    order: models.Order,
    animal: models.Animal,
    now: datetime,
    *,
    first_on: date | None = None,
    first_at: datetime | None = None,
    id: UUID | None = None,  # noqa: A002 -- made at the source, as of every entry
) -> models.Course:
    """An order is carried out on an animal from a day or moment on; once, however often sent.

    Without a beginning of its own it begins as the order says.
    """
    known: models.Course | None = models.Course.objects.filter(order=order, animal=animal).first()
    if known is not None:
        return known
    if order.stops.exists():
        msg = "The order was stopped: ask the vet for a new one."
        raise CourseRefusedError(msg)
    schedule = schedule_of(order)
    if first_on is None and first_at is None:
        first_on, first_at = schedule.first_on, schedule.first_at
    if (first_at is not None) != schedule.in_hours:
        msg = "A course counted in hours begins at a moment, another on a day."
        raise CourseRefusedError(msg)
    last = schedule.ends.last_day
    begins = first_on or (timezone.localdate(first_at) if first_at else None)
    if last is not None and begins is not None and begins > last:
        msg = "The order's last day is over before this would begin: ask the vet for a new one."
        raise CourseRefusedError(msg)
    course = models.Course(
        id=id or new_id(),
        order=order,
        animal=animal,
        first_on=first_on,
        first_at=first_at,
        made_at=now,
        made_by=person,
    )
    course.save()
    return course


def stop_course(
    person: models.Person, course: models.Course, why: str, now: datetime
) -> models.CourseStopped:
    """A course stops before its end, and why."""
    if not why.strip():
        msg = "Say why the course is stopped, and on whose word."
        raise CourseRefusedError(msg)
    stopped = models.CourseStopped(course=course, why=why.strip(), made_at=now, made_by=person)
    stopped.save()
    return stopped


def look_after(
    person: models.Person,
    course: models.Course,
    now: datetime,
    *,
    clear: bool | None,
    note: str = "",
    id: UUID | None = None,  # noqa: A002 -- made at the source
) -> models.CourseLook:
    """Somebody looked again after the last dose; None where they were not sure."""
    known = kept_already(models.CourseLook, id)
    if known is not None:
        return known
    look = models.CourseLook(
        id=id or new_id(),
        course=course,
        at=now,
        clear=clear,
        note=note.strip(),
        made_at=now,
        made_by=person,
    )
    look.save()
    return look


def decline_standing(
    person: models.Person,
    order: models.Order,
    animal: models.Animal,
    why: str,
    now: datetime,
) -> models.StandingDeclined:
    """A standing order is not followed for an animal, and why."""
    if not why.strip():
        msg = "Say why this animal does not get it."
        raise CourseRefusedError(msg)
    declined = models.StandingDeclined(
        order=order, animal=animal, why=why.strip(), made_at=now, made_by=person
    )
    declined.save()
    return declined


def courses_of(rows: Iterable[models.Course], book: Knowledge) -> Mapping[UUID, Course]:
    """Courses as facts, by id; the number of queries does not grow with them.

    The rows come with their ``order``. What was corrected is left out, what replaces it is in.
    """
    rows = list(rows)
    ids = [row.pk for row in rows]
    doses: dict[UUID, list[GivenDose]] = defaultdict(list)
    standing = models.DoseEntry.objects.filter(course__in=ids, corrections=None)
    for dose in standing.select_related("made_by").order_by("at", "id"):
        doses[dose.course_id].append(given_dose(dose))
    looks: dict[UUID, list[LookedAgain]] = defaultdict(list)
    for look in models.CourseLook.objects.filter(course__in=ids).select_related("made_by"):
        looks[look.course_id].append(
            LookedAgain(at=look.at, clear=look.clear, by=str(look.made_by))
        )
    stops = stops_of(rows)
    return {
        row.pk: _course(row, doses[row.pk], looks[row.pk], stops.get(row.pk), book) for row in rows
    }


def stops_of(rows: Iterable[models.Course]) -> dict[UUID, tuple[datetime, str]]:
    """When and why courses were stopped: each on its own or with its order, the earlier counts."""
    rows = list(rows)
    stopped: dict[UUID, tuple[datetime, str]] = {}
    for one in models.CourseStopped.objects.filter(course__in=[row.pk for row in rows]):
        _earlier(stopped, one.course_id, one.made_at, one.why)
    orders = {row.order_id for row in rows}
    by_order: dict[UUID, tuple[datetime, str]] = {}
    for end in models.OrderStopped.objects.filter(order__in=orders):
        _earlier(by_order, end.order_id, end.made_at, end.why)
    for row in rows:
        if row.order_id in by_order:
            _earlier(stopped, row.pk, *by_order[row.order_id])
    return stopped


def _earlier(stopped: dict[UUID, tuple[datetime, str]], key: UUID, at: datetime, why: str) -> None:
    if key not in stopped or at < stopped[key][0]:
        stopped[key] = (at, why)


def given_dose(row: models.DoseEntry) -> GivenDose:
    """A dose entry as the engine sees it."""
    return GivenDose(
        id=str(row.pk),
        at=row.at,
        outcome=Outcome(row.outcome),
        by=str(row.made_by),
        why=row.why,
        number=row.number,
        weight_g=Decimal(row.weight_g) if row.weight_g is not None else None,
        weighed_at=row.weighed_at,
    )


def _course(
    row: models.Course,
    doses: list[GivenDose],
    looks: list[LookedAgain],
    stopped: tuple[datetime, str] | None,
    book: Knowledge,
) -> Course:
    order = row.order
    stopped_at, stopped_why = stopped or (None, "")
    return Course(
        id=str(row.pk),
        order=str(order.pk),
        animal=str(row.animal_id),
        what=what_words(order, book),
        schedule=schedule_of(order, row),
        doses=tuple(doses),
        care=order.care,
        product=str(order.product_id or ""),
        against=tuple(order.against),
        kinds=_kinds(order, book),
        by_weight=_by_weight(order, book),
        weight_age=_days(order.weight_within_days),
        recheck=_days(order.recheck_days),
        lasts=_days(order.lasts_days),
        kills_eggs=order.kills_eggs,
        stopped_at=stopped_at,
        stopped_why=stopped_why,
        looked_again=tuple(looks),
    )


def what_words(order: models.Order, book: Knowledge) -> str:
    """What is given, as the formulary or the list of care calls it."""
    if order.care:
        care = care_named(order.care, book)
        return care.words if care else order.care
    medicine = book.medicines.named(order.drug)
    return medicine.name if medicine else order.drug


def care_named(code: str, book: Knowledge) -> CareCourse | None:
    """Care that is no medicine, by its code."""
    return next((one for one in book.care_courses if one.id == code), None)


def _kinds(order: models.Order, book: Knowledge) -> frozenset[str]:
    if order.care:
        return frozenset()
    route = book.medicines.route_named(order.route)
    return frozenset(book.dose_kinds_of(book.medicines.classes_of([order.drug]), route))


def _by_weight(order: models.Order, book: Knowledge) -> bool:
    if order.dose:
        dose = read_dose(order.dose)
        return isinstance(dose, DosePer) and dose.per is Per.KG
    care = care_named(order.care, book)
    return care is not None and care.by_weight


def _days(amount: int | None) -> Length | None:
    return None if amount is None else days(amount)
