"""Write orders, and read them back as the values a dose is worked out from.

An order is never changed: another replaces it and says why, the old one is stopped and
stays readable.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cache
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from pydantic import TypeAdapter

from cavyround.facts.lengths import days
from cavyround.facts.orders import Limits, Order
from cavyround.facts.quantities import Volume
from cavyround.facts.reading_amounts import read_dose, read_strength
from cavyround.facts.schedules import Schedule
from cavyround.facts.strengths import DosePer
from cavyround.record import models
from cavyround.record.models.entries import kept_already, new_id


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderSaid:
    """An order as it is entered; the fields are those of ``facts.orders.Order``, as typed.

    ``id`` is made where it is entered, so that sending it twice writes it once.
    """

    vet: str
    ordered_at: datetime
    why: str
    schedule: Schedule
    id: UUID = field(default_factory=new_id)
    drug: str = ""
    care: str = ""
    word: str = models.orders.OrderWord.WRITTEN
    dose: str = ""
    route: str = ""
    standing: bool = False
    strength: str = ""
    counted_as: str = ""
    diluent: str = ""
    limits: Limits = field(default_factory=Limits)
    withdrawal_days: int | None = None
    weight_within_days: int | None = None
    recheck_days: int | None = None
    against: tuple[str, ...] = ()
    lasts_days: int | None = None
    kills_eggs: bool | None = None
    second_check: bool = False
    product: UUID | None = None
    note: str = ""


NO_STRENGTH = "Say the strength of the product the vet means, as 10 mg/mL: the label must agree."


class OrderRefusedError(ValueError):
    """Why an order cannot be kept, with the field it belongs to."""

    def __init__(self, about: str, words: str) -> None:
        """Keep the field so that a form can show the words beside it."""
        super().__init__(words)
        self.about = about


@cache
def _schedules() -> TypeAdapter[Schedule]:
    return TypeAdapter(Schedule)


@cache
def _limits() -> TypeAdapter[Limits]:
    return TypeAdapter(Limits)


def place_order(person: models.Person, said: OrderSaid, now: datetime) -> models.Order:
    """Write an order down; sent twice it is written once."""
    return _place(person, said, now, replaces=None)


@transaction.atomic
def replace_order(
    person: models.Person, old: models.Order, said: OrderSaid, why: str, now: datetime
) -> models.Order:
    """Another order instead of one, and why; the old one is stopped."""
    if not why.strip():
        about, words = "correction_why", "Say why the order is changed."
        raise OrderRefusedError(about, words)
    new = _place(person, said, now, replaces=old)
    if not old.stops.exists():
        stop_order(person, old, f"replaced: {why}", now)
    return new


def _place(
    person: models.Person, said: OrderSaid, now: datetime, *, replaces: models.Order | None
) -> models.Order:
    _refuse_incomplete(said, now)
    known = kept_already(models.Order, said.id)
    if known is not None:
        return known
    order = as_row(person, said, now, replaces=replaces)
    order.save()
    return order


def as_row(
    person: models.Person,
    said: OrderSaid,
    now: datetime,
    *,
    replaces: models.Order | None = None,
) -> models.Order:
    """The order as it would stand in the record; nothing is written."""
    return models.Order(
        id=said.id,
        drug=said.drug.strip(),
        care=said.care,
        vet=said.vet.strip(),
        word=said.word,
        ordered_at=said.ordered_at,
        why=said.why.strip(),
        dose=said.dose.strip(),
        route=said.route,
        schedule=_schedules().dump_python(said.schedule, mode="json"),
        standing=said.standing,
        strength=said.strength.strip(),
        counted_as=said.counted_as.strip(),
        diluent=said.diluent.strip(),
        limits=_limits().dump_python(said.limits, mode="json"),
        withdrawal_days=said.withdrawal_days,
        weight_within_days=said.weight_within_days,
        recheck_days=said.recheck_days,
        against=list(said.against),
        lasts_days=said.lasts_days,
        kills_eggs=said.kills_eggs,
        second_check=said.second_check,
        product_id=said.product,
        replaces=replaces,
        note=said.note.strip(),
        made_at=now,
        made_by=person,
    )


def _refuse_incomplete(said: OrderSaid, now: datetime) -> None:
    """An order without its vet, its medicine or its reason is none; care may do without a vet."""
    needed = [("why", said.why, "Say what it is for.")]
    if said.care:
        if said.drug.strip():
            about, words = "care", "Either a medicine or care that is none, not both."
            raise OrderRefusedError(about, words)
    else:
        needed = [
            ("drug", said.drug, "Say which medicine."),
            ("vet", said.vet, "Say which vet ordered it: without a vet there is no order."),
            ("dose", said.dose, "Say the dose, as 0.4 mg/kg."),
            ("route", said.route, "Say how it is given."),
            *needed,
        ]
    if not said.care and wants_strength(said.dose):
        needed.append(("strength", said.strength, NO_STRENGTH))
    for about, given, words in needed:
        if not given.strip():
            raise OrderRefusedError(about, words)
    if said.ordered_at > now:
        about, words = "ordered_on", "That lies in the future: a vet's order comes first."
        raise OrderRefusedError(about, words)


def wants_strength(dose: str) -> bool:
    """Whether an order of this dose must say how strong the product is.

    A wash carries its own strength, and what is ordered as so many mL may have none.
    """
    read = read_dose(dose)
    return isinstance(read, DosePer) and not isinstance(read.amount, Volume)


def stop_order(
    person: models.Person, order: models.Order, why: str, now: datetime
) -> models.OrderStopped:
    """An order holds no longer, and with it none of its courses."""
    if not why.strip():
        about, words = "why", "Say why it is stopped."
        raise OrderRefusedError(about, words)
    stopped = models.OrderStopped(order=order, why=why.strip(), made_at=now, made_by=person)
    stopped.save()
    return stopped


def schedule_of(order: models.Order, course: models.Course | None = None) -> Schedule:
    """When the doses are due; for one course from its own beginning."""
    schedule = _schedules().validate_python(order.schedule)
    if course is None:
        return schedule
    zone = timezone.get_current_timezone()
    first_at = course.first_at.astimezone(zone) if course.first_at else None
    return replace(schedule, first_on=course.first_on, first_at=first_at)


def limits_of(order: models.Order) -> Limits:
    """For which animals the vet said no."""
    return _limits().validate_python(order.limits)


def order_of(
    order: models.Order,
    *,
    course: models.Course | None = None,
    animals: Iterable[UUID] = (),
    stopped_at: datetime | None = None,
) -> Order:
    """An order as the dosing engine takes it; of ``course`` it has the days and the animal.

    ``stopped_at`` is left to the caller, who knows it of many at once.
    """
    ids = {str(one) for one in animals}
    if course is not None:
        ids.add(str(course.animal_id))
    return Order(
        id=str(order.pk),
        drug=order.drug,
        vet=order.vet,
        ordered_at=order.ordered_at,
        why=order.why,
        dose=read_dose(order.dose),
        route=order.route,
        schedule=schedule_of(order, course),
        animals=frozenset(ids),
        # A standing order is for whoever somebody confirmed it for, and no other.
        standing=order.standing and course is None,
        entered_by=str(order.made_by),
        strength=read_strength(order.strength) if order.strength else None,
        counted_as=order.counted_as,
        diluent=order.diluent,
        limits=limits_of(order),
        withdrawal=days(order.withdrawal_days) if order.withdrawal_days else None,
        stopped_at=stopped_at,
    )


def as_stored(schedule: Schedule) -> Any:
    """A schedule as it stands in the record."""
    return _schedules().dump_python(schedule, mode="json")
