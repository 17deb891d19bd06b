"""Orders, bottles and weighings for tests of the dosing engine, with only what a test says."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any, Literal

from cavyround.engines.dosing import (
    AlsoKnown,
    Dose,
    InHand,
    KnownWeight,
    Refusal,
    SetAside,
    Syringe,
    syringe_in_hand,
    work_out,
)
from cavyround.facts.animal import AnimalFacts
from cavyround.facts.orders import Lot, Order, Product
from cavyround.facts.reading_amounts import (
    read_dose,
    read_drop_size,
    read_strength,
)
from cavyround.facts.schedules import Ending, Schedule, days, hours
from cavyround.knowledge.book import Knowledge
from tests.builders import NOW, a_boar

FIRST = date(2026, 3, 3)
USUAL = ("ml_1_by_0_01", "ml_2_5_by_0_1", "ml_5_by_0_2", "ml_10_by_0_5", "ml_20_by_1")


def every(amount: int, *, doses: int = 4) -> Schedule:
    """Every so many days, counted in days."""
    return Schedule(every=days(amount), ends=Ending(doses=doses), first_on=FIRST)


def every_hours(amount: int, *, doses: int = 10) -> Schedule:
    return Schedule(every=hours(amount), ends=Ending(doses=doses), first_at=NOW)


ONCE = Schedule(every=None, ends=Ending(doses=1), first_on=FIRST)


def an_order(dose: str = "0.4 mg/kg", drug: str = "ivermectin", **said: Any) -> Order:
    """A vet's order for the boar of the tests: ivermectin under the skin, four times."""
    known: dict[str, Any] = {
        "id": "order",
        "drug": drug,
        "vet": "Isla Fern",
        "ordered_at": NOW - timedelta(days=1),
        "why": "mites seen in a scraping",
        "dose": read_dose(dose),
        "route": "under_skin",
        "schedule": every(10),
        "animals": frozenset({"boar", "sow"}),
        **said,
    }
    if isinstance(known.get("strength"), str):
        known["strength"] = read_strength(known["strength"])
    return Order(**known)


def a_product(strength: str | None = "10 mg/mL", drug: str = "ivermectin", **said: Any) -> Product:
    known: dict[str, Any] = {
        "id": "product",
        "name": f"{drug} of the tests",
        "drug": drug,
        "strength": None if strength is None else read_strength(strength),
        **said,
    }
    if isinstance(known.get("drop"), str):
        known["drop"] = read_drop_size(known["drop"])
    return Product(**known)


GOOD_LOT = Lot(id="lot", product="product", expires_on=date(2027, 1, 1))


def weighing(grams: object, *, days_ago: float = 0, **said: Any) -> KnownWeight:
    return KnownWeight(grams=Decimal(str(grams)), at=NOW - timedelta(days=days_ago), **said)


def syringes(book: Knowledge, *codes: str) -> tuple[Syringe, ...]:
    return tuple(syringe_in_hand(book, code) for code in codes or USUAL)


def worked(  # noqa: PLR0913 -- each is one thing a test may say
    book: Knowledge,
    order: Order | None,
    grams: object = 800,
    *,
    product: Product | None = None,
    animal: AnimalFacts | None = None,
    weight: KnownWeight | None = None,
    lot: Lot | None = GOOD_LOT,
    hand: Sequence[str] = (),
    also: AlsoKnown | None = None,
    now: datetime = NOW,
) -> Dose | Refusal:
    """What comes of an order, for a grown boar weighed today unless said otherwise."""
    return work_out(
        order,
        animal or a_boar(),
        weight or weighing(grams),
        InHand(product=product or a_product(), lot=lot, syringes=syringes(book, *hand)),
        now=now,
        book=book,
        also=also or AlsoKnown(),
    )


def a_dose(book: Knowledge, order: Order | None, grams: object = 800, **said: Any) -> Dose:
    """What comes of an order that must not be refused."""
    result = worked(book, order, grams, **said)
    assert isinstance(result, Dose), [(r.key, r.words) for r in result.reasons]
    return result


def refused(book: Knowledge, order: Order | None, grams: object = 800, **said: Any) -> Refusal:
    """What comes of an order that must be refused."""
    result = worked(book, order, grams, **said)
    assert isinstance(result, Refusal), result
    return result


def keys(refusal: Refusal) -> set[str]:
    return {reason.what for reason in refusal.reasons}


VET = "Isla Fern"


def by_mouth(dose: str, drug: str, **said: Any) -> Order:
    """An order by mouth, every day unless said otherwise."""
    return an_order(dose, drug, **{"route": "by_mouth", "schedule": every(1), **said})


def aside(key: str, role: Literal["vet", "carer"] = "vet", **said: Any) -> AlsoKnown:
    """That somebody set a reason aside; a vet, with name and reason, unless said otherwise."""
    known = {"order": "order", "by": VET, "why": "meant so", **said}
    return AlsoKnown(set_aside=(SetAside(key=key, role=role, **known),))
