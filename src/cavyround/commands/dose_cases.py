"""Dosing cases from a file: an order, an animal, a bottle and syringes, written by hand."""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, model_validator

from cavyround.commands.cases import KNOWN, SEXES, Signalment, born_at
from cavyround.engines.dosing import (
    AlsoKnown,
    InHand,
    KnownWeight,
    Running,
    SetAside,
    Syringe,
    known_weight,
    may_be_young,
    syringe_in_hand,
)
from cavyround.facts.animal import AnimalFacts, Event, Weighing
from cavyround.facts.orders import Limits, Lot, Order, Product
from cavyround.facts.reading_amounts import read_dose, read_drop_size, read_strength
from cavyround.facts.schedules import Ending, Length, Schedule, Unit, days
from cavyround.knowledge.book import Knowledge

NOON = time(12)
ANIMAL = "animal"
EVERY = re.compile(r"(?P<amount>[0-9]{1,4}) (?P<unit>hour|day|week)s?")
DAYS_IN_WEEK = 7


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


def _often(given: object) -> object:
    """``once``, or a length such as ``12 hours`` or ``10 days``."""
    if not isinstance(given, str) or given == "once":
        return given
    read = EVERY.fullmatch(given)
    if read is None:
        msg = f"{given!r} is neither `once` nor a time such as 12 hours, 10 days or 2 weeks"
        raise ValueError(msg)
    amount = int(read["amount"])
    if read["unit"] == "hour":
        return Length(amount=amount, unit=Unit.HOURS)
    return days(amount * (DAYS_IN_WEEK if read["unit"] == "week" else 1))


Often = Annotated[Length | Literal["once"], BeforeValidator(_often)]


class SaidLimits(_Part):
    """The order's own limits."""

    not_under_g: Decimal | None = Field(default=None, gt=0)
    not_over_g: Decimal | None = Field(default=None, gt=0)
    not_under_days: int | None = Field(default=None, gt=0)
    not_over_days: int | None = Field(default=None, gt=0)
    not_pregnant: bool = False
    not_nursing: bool = False


class SaidOrder(_Part):
    """The order; what is left out the vet did not say."""

    drug: str = ""
    dose: str = ""
    route: str = ""
    vet: str = ""
    ordered: date | None = None
    why: str = ""
    every: Often | None = None
    doses: int | None = Field(default=None, ge=1)
    until: date | None = None
    strength: str | None = None
    counted_as: str = ""
    diluent: str = ""
    limits: SaidLimits = SaidLimits()
    withdrawal_days: int | None = Field(default=None, ge=1)
    stopped: date | None = None
    for_this_animal: bool = True

    @model_validator(mode="after")
    def _one_end(self) -> "SaidOrder":
        if self.doses is not None and self.until is not None:
            msg = "say `doses` or `until`, not both"
            raise ValueError(msg)
        return self


class SaidAnimal(Signalment):
    """The animal, and how many days ago it gave birth where it did."""

    gave_birth_days_ago: int | None = Field(default=None, ge=0)


class SaidWeight(_Part):
    """One weighing of a day."""

    date: date
    g: Decimal = Field(gt=0)
    doubted: bool = False


class SaidProduct(_Part):
    """The label of the product."""

    drug: str
    name: str = ""
    strength: str | None = None
    contains: tuple[str, ...] = ()
    counted_as: str = ""
    drop: str | None = None
    g_per_ml: Decimal | None = Field(default=None, gt=0)
    use_within_days: int | None = Field(default=None, ge=1)


class SaidLot(_Part):
    """This very bottle."""

    expires: date | None = None
    opened: date | None = None
    strength: str | None = None


class OwnSyringe(_Part):
    """A syringe that is not in the list."""

    holds_ml: Decimal = Field(gt=0)
    mark_ml: Decimal = Field(gt=0)


class SaidSetAside(_Part):
    """Who sets which reason aside, and why."""

    key: str
    by: str
    role: Literal["vet", "carer"]
    why: str = ""


class DoseCase(_Part):
    """One case. ``now`` is the clock's where it is left out."""

    id: str
    story: str = ""
    now: datetime | None = None
    order: SaidOrder | None = None
    animal: SaidAnimal = SaidAnimal()
    weights: tuple[SaidWeight, ...] = ()
    last_dose_g: Decimal | None = Field(default=None, gt=0)
    product: SaidProduct | None = None
    lot: SaidLot | None = None
    syringes: tuple[str | OwnSyringe, ...] = ()
    running: tuple[str, ...] = ()
    allergies: tuple[str, ...] = ()
    set_aside: tuple[SaidSetAside, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyDose:
    """A case as the engine takes it."""

    order: Order | None
    animal: AnimalFacts
    weight: KnownWeight
    in_hand: InHand
    also: AlsoKnown
    now: datetime


def ready_dose(case: DoseCase, *, clock: datetime, book: Knowledge) -> ReadyDose:
    """The values of a case; KeyError for an unknown syringe, ValueError for an odd schedule."""
    now = case.now or clock
    now = now if now.tzinfo else now.replace(tzinfo=UTC)
    animal = _animal(case.animal, now)
    return ReadyDose(
        order=_order(case.order, now) if case.order else None,
        animal=animal,
        weight=_weight(case, animal, now, book),
        in_hand=InHand(
            product=_product(case.product) if case.product else None,
            lot=_lot(case.lot) if case.lot else None,
            syringes=tuple(_syringe(one, book) for one in case.syringes),
        ),
        also=AlsoKnown(
            running=tuple(Running(order=f"running {drug}", drug=drug) for drug in case.running),
            allergies=case.allergies,
            set_aside=tuple(
                SetAside(key=one.key, order="order", by=one.by, role=one.role, why=one.why)
                for one in case.set_aside
            ),
        ),
        now=now,
    )


def _animal(said: SaidAnimal, now: datetime) -> AnimalFacts:
    births: tuple[Event, ...] = ()
    if said.gave_birth_days_ago is not None:
        day = date.fromordinal(now.date().toordinal() - said.gave_birth_days_ago)
        births = (Event(what="gave_birth", on=day),)
    return AnimalFacts(
        id=ANIMAL,
        sex=SEXES[said.sex],
        neutered=KNOWN[said.neutered],
        born=born_at(said.age_months, now),
        pregnant=KNOWN[said.pregnant],
        events=births,
    )


def _weight(case: DoseCase, animal: AnimalFacts, now: datetime, book: Knowledge) -> KnownWeight:
    weighings = [
        Weighing(at=_moment(one.date, now), grams=one.g, doubted=one.doubted)
        for one in case.weights
    ]
    heaviest = max((one.grams for one in weighings), default=Decimal(0))
    grown = not may_be_young(animal, heaviest, now=now, book=book)
    return known_weight(weighings, grown=grown, book=book, last_dose_g=case.last_dose_g)


def _moment(day: date, now: datetime) -> datetime:
    noon = datetime.combine(day, NOON, now.tzinfo)
    # Weighed today is weighed before now, whatever the hour.
    return min(noon, now) if day == now.date() else noon


def _order(said: SaidOrder, now: datetime) -> Order:
    return Order(
        id="order",
        drug=said.drug,
        vet=said.vet,
        ordered_at=_moment(said.ordered, now) if said.ordered else None,
        why=said.why,
        dose=read_dose(said.dose),
        route=said.route,
        schedule=_schedule(said, now),
        animals=frozenset({ANIMAL}) if said.for_this_animal else frozenset(),
        strength=None if said.strength is None else read_strength(said.strength),
        counted_as=said.counted_as,
        diluent=said.diluent,
        limits=Limits(**said.limits.model_dump()),
        withdrawal=days(said.withdrawal_days) if said.withdrawal_days else None,
        stopped_at=_moment(said.stopped, now) if said.stopped else None,
    )


def _schedule(said: SaidOrder, now: datetime) -> Schedule | None:
    if said.every is None:
        return None
    first = said.ordered or now.date()
    if said.every == "once":
        return Schedule(every=None, ends=Ending(doses=1), first_on=first)
    ends = Ending(doses=said.doses, last_day=said.until)
    if said.every.unit is Unit.HOURS:
        return Schedule(every=said.every, ends=ends, first_at=_moment(first, now))
    return Schedule(every=said.every, ends=ends, first_on=first)


def _product(said: SaidProduct) -> Product:
    return Product(
        id="product",
        name=said.name,
        drug=said.drug,
        strength=None if said.strength is None else read_strength(said.strength),
        contains=said.contains,
        counted_as=said.counted_as,
        drop=None if said.drop is None else read_drop_size(said.drop),
        g_per_ml=said.g_per_ml,
        use_within=days(said.use_within_days) if said.use_within_days else None,
    )


def _lot(said: SaidLot) -> Lot:
    return Lot(
        id="lot",
        product="product",
        expires_on=said.expires,
        opened_on=said.opened,
        strength=None if said.strength is None else read_strength(said.strength),
    )


def _syringe(said: str | OwnSyringe, book: Knowledge) -> Syringe:
    if isinstance(said, str):
        return syringe_in_hand(book, said)
    words = f"{said.holds_ml:f} mL syringe with marks of {said.mark_ml:f} mL"
    return Syringe(code=words, words=words, holds_ml=said.holds_ml, mark_ml=said.mark_ml)
