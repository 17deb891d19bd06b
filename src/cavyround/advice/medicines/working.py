"""The dose of a course for today's weight, worked out from the record, or why not."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from decimal import Decimal
from uuid import UUID

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.medicines.running import RunningCourse, courses_here
from cavyround.advice.medicines.shelf import Shelf, the_shelf
from cavyround.advice.weights_today import readings_today
from cavyround.engines.courses import Phase
from cavyround.engines.dosing import (
    AlsoKnown,
    Dose,
    InHand,
    KnownWeight,
    Refusal,
    Running,
    SetAside,
    Syringe,
    known_weight,
    may_be_young,
    work_out,
)
from cavyround.engines.weight.said import Kind, Reading
from cavyround.facts.animal import AnimalFacts, Weighing
from cavyround.facts.orders import Order
from cavyround.record import models
from cavyround.record.allergies import allergies_of
from cavyround.record.building import facts_of_all
from cavyround.record.orders import order_of
from cavyround.record.shelf import as_lot, as_product
from cavyround.record.weighings import weight_facts

# So many weighings say whether the last is plausible and how the weight changes.
LOOKED_AT = 12
TENTH = Decimal("0.1")


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedDose:
    """A dose or its refusal, with the rows it rests on. ``lot`` None: no bottle was found."""

    result: Dose | Refusal
    order: Order
    animal: AnimalFacts
    weight: KnownWeight
    product: models.Product | None
    lot: models.Lot | None
    second: tuple[str, ...] = ()

    @property
    def is_dose(self) -> bool:
        """Whether something may be drawn up."""
        return isinstance(self.result, Dose)


@dataclass(frozen=True, slots=True)
class KnownOfAnimals:
    """What is asked for many animals at once, so that the number of queries stays the same."""

    now: datetime
    facts: Mapping[UUID, AnimalFacts]
    weighings: Mapping[UUID, tuple[Weighing, ...]]
    readings: Mapping[UUID, Reading]
    courses: Mapping[UUID, Sequence[RunningCourse]]
    allergies: Mapping[UUID, Sequence[models.Allergy]]
    shelf: Shelf


def known_of(animals: Sequence[models.Animal], now: datetime) -> KnownOfAnimals:
    """All that doses of these animals rest on."""
    ids = [animal.pk for animal in animals]
    courses: dict[UUID, list[RunningCourse]] = defaultdict(list)
    for one in courses_here(now, ids):
        courses[one.row.animal_id].append(one)
    weighed = weight_facts(animals, now, looked_at=LOOKED_AT)
    return KnownOfAnimals(
        now=timezone.localtime(now),
        facts=facts_of_all(animals, now),
        weighings={
            animal.pk: facts.weighings for animal, facts in zip(animals, weighed, strict=True)
        },
        readings=readings_today(animals, now),
        courses=courses,
        allergies=allergies_of(ids),
        shelf=the_shelf(now),
    )


def work_out_for(
    running: RunningCourse,
    now: datetime,
    *,
    lot: models.Lot | None = None,
    syringes: Sequence[Syringe] | None = None,
) -> WorkedDose:
    """The next dose of a course, from the bottle named or the one that comes first."""
    known = known_of([running.row.animal], now)
    return _course(running, known, _aside([running]), lot, syringes)


def work_out_all(courses: Iterable[RunningCourse], now: datetime) -> dict[UUID, WorkedDose]:
    """The doses of many courses by course id; care without a dose has none."""
    dosed = [one for one in courses if one.row.order.dose]
    animals = list({one.row.animal_id: one.row.animal for one in dosed}.values())
    known = known_of(animals, now)
    aside = _aside(dosed)
    return {one.row.pk: _course(one, known, aside, None, None) for one in dosed}


def work_out_order(
    order: Order,
    row: models.Order,
    animal: models.Animal,
    known: KnownOfAnimals,
    *,
    lot: models.Lot | None = None,
) -> WorkedDose:
    """The dose of an order not yet carried out on an animal: the preview before it is kept."""
    return _work(order, row, animal, known, (), lot=lot, syringes=None, last_dose_g=None)


def _aside(courses: Iterable[RunningCourse]) -> dict[UUID, list[SetAside]]:
    said: dict[UUID, list[SetAside]] = defaultdict(list)
    orders = {one.row.order_id for one in courses}
    stands = models.ReasonSetAside.objects.filter(order__in=orders, ends=None)
    for row in stands.select_related("made_by"):
        said[row.order_id].append(as_set_aside(row))
    return said


def as_set_aside(row: models.ReasonSetAside) -> SetAside:
    """A setting aside as the engine takes it."""
    return SetAside(
        key=row.key,
        order=str(row.order_id),
        by=row.decided_by if row.by_name.strip() else "",
        role="vet" if row.role == "vet" else "carer",
        why=row.why,
        animal=str(row.animal_id) if row.animal_id else "",
    )


def _course(
    running: RunningCourse,
    known: KnownOfAnimals,
    aside: Mapping[UUID, Sequence[SetAside]],
    lot: models.Lot | None,
    syringes: Sequence[Syringe] | None,
) -> WorkedDose:
    row = running.row
    order = order_of(row.order, course=row, stopped_at=running.course.stopped_at)
    used = [one.weight_g for one in running.course.tries if one.weight_g is not None]
    return _work(
        order,
        row.order,
        row.animal,
        known,
        aside.get(row.order_id, ()),
        lot=lot,
        syringes=syringes,
        last_dose_g=used[-1] if used else None,
    )


def _work(
    order: Order,
    row: models.Order,
    animal: models.Animal,
    known: KnownOfAnimals,
    aside: Sequence[SetAside],
    *,
    lot: models.Lot | None,
    syringes: Sequence[Syringe] | None,
    last_dose_g: Decimal | None,
) -> WorkedDose:
    facts = known.facts[animal.pk]
    product = lot.product if lot else known.shelf.product_for(row)
    lot = lot or known.shelf.lot_for(product)
    weight = weight_of(animal, known, row, last_dose_g)
    result = work_out(
        order,
        facts,
        weight,
        InHand(
            product=as_product(product) if product else None,
            lot=as_lot(lot) if lot else None,
            syringes=tuple(known.shelf.syringes if syringes is None else syringes),
        ),
        now=known.now,
        book=book(),
        also=AlsoKnown(
            running=_running(animal.pk, row.pk, known),
            allergies=tuple(one.name for one in known.allergies.get(animal.pk, ())),
            set_aside=tuple(aside),
        ),
    )
    return WorkedDose(
        result=result,
        order=order,
        animal=facts,
        weight=weight,
        product=product,
        lot=lot,
        second=_second(result, row, product),
    )


def _second(
    result: Dose | Refusal, row: models.Order, product: models.Product | None
) -> tuple[str, ...]:
    """Why two people work it out: the order says so, the bottle is controlled, or the engine."""
    why = ["the order asks for it"] if row.second_check else []
    if (product is not None and product.controlled) or (
        isinstance(result, Dose) and result.controlled
    ):
        why.append("a controlled medicine")
    if isinstance(result, Dose):
        why += result.second_person
    return tuple(dict.fromkeys(why))


def weight_of(
    animal: models.Animal,
    known: KnownOfAnimals,
    order: models.Order,
    last_dose_g: Decimal | None = None,
) -> KnownWeight:
    """The weight to dose by: the last weighing, doubted where the row of weighings doubts it."""
    weighings = known.weighings[animal.pk]
    heaviest = max((one.grams for one in weighings), default=Decimal(0))
    facts = known.facts[animal.pk]
    grown = not may_be_young(facts, heaviest, now=known.now, book=book())
    weight = known_weight(weighings, grown=grown, book=book(), last_dose_g=last_dose_g)
    reading = known.readings.get(animal.pk)
    if reading is not None and reading.sure and reading.trend_pct is not None:
        change = Decimal(repr(reading.trend_pct.mid)).quantize(TENTH)
        weight = replace(weight, change_pct_week=change)
    if not weight.doubt and reading is not None and reading.alarm.kind is Kind.WEIGH_AGAIN:
        weight = replace(weight, doubt=" ".join(reading.alarm.why))
    return _old_for_order(weight, order, known.now)


def _old_for_order(weight: KnownWeight, order: models.Order, now: datetime) -> KnownWeight:
    """The order's own word on how old a weighing may be is stricter than the usual."""
    most = order.weight_within_days
    if weight.at is None or weight.doubt or most is None:
        return weight
    old = (now.date() - timezone.localdate(weight.at)).days
    if old <= most:
        return weight
    return replace(weight, doubt=f"it is {old} days old, the order wants at most {most}")


def _running(animal: UUID, order: UUID, known: KnownOfAnimals) -> tuple[Running, ...]:
    """Other medicines that run on it, or whose last dose still works."""
    return tuple(
        Running(
            order=one.course.order,
            drug=one.row.order.drug,
            contains=_parts(one.row.order, known.shelf),
        )
        for one in known.courses.get(animal, ())
        if one.row.order_id != order and one.row.order.drug and _works(one, known.now)
    )


def _works(running: RunningCourse, now: datetime) -> bool:
    if running.due.phase is Phase.RUNNING:
        return True
    last = max((one.at for one in running.course.tries if one.went_in), default=None)
    if last is None:
        return False
    lasts = running.course.lasts.span if running.course.lasts else None
    return now < last + (lasts or running.course.schedule.gap or _published_gap(running))


def _published_gap(running: RunningCourse) -> timedelta:
    """How long what is given once counts as still working: the longest time between its doses.

    Of all that is published, also what is only remembered: here that errs on the safe side.
    """
    known = book()
    medicine = known.medicines.named(running.row.order.drug)
    hours = (
        [dose.every_hours.high for dose in medicine.doses if dose.every_hours] if medicine else []
    )
    if hours:
        return timedelta(hours=float(max(hours)))
    return timedelta(days=int(known.number("dose_once_works_days")))


def _parts(order: models.Order, shelf: Shelf) -> tuple[str, ...]:
    """The active parts of what an order is drawn from, as its label names them."""
    product = shelf.product_for(order)
    return (product.drug, *product.contains) if product is not None else ()
