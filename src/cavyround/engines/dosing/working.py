"""Work out one dose for one animal, or say every reason why not."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from cavyround.engines.dosing.by_hand import by_hand
from cavyround.engines.dosing.comparing import compare, may_grow_by
from cavyround.engines.dosing.drug import look_at_drug
from cavyround.engines.dosing.given import AlsoKnown, KnownWeight, SetAside, Syringe
from cavyround.engines.dosing.handing import Handed, hand
from cavyround.engines.dosing.limits import look_at_limits
from cavyround.engines.dosing.measuring import Rounding
from cavyround.engines.dosing.mixing import make_up
from cavyround.engines.dosing.naming import drug_words
from cavyround.engines.dosing.ordered import NO_ORDER, look_at_order
from cavyround.engines.dosing.published import asked, asked_per_kg, sizes_of
from cavyround.engines.dosing.resolving import Resolved, resolve
from cavyround.engines.dosing.said import (
    Caution,
    Comparison,
    Dose,
    Findings,
    Reason,
    Refusal,
    in_order,
)
from cavyround.engines.dosing.setting_aside import sort_out
from cavyround.engines.dosing.shelf import look_at_product
from cavyround.engines.dosing.volumes import ask_second_person, look_at_volume
from cavyround.engines.dosing.weighing import look_at_weight, used
from cavyround.facts.animal import AnimalFacts
from cavyround.facts.orders import Lot, Order, Product
from cavyround.facts.quantities import Activity, Mass, over
from cavyround.facts.saying_amounts import amount_words, both_units_words
from cavyround.facts.strengths import DosePer, Mix, Per
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.medicines import Medicine

NOTHING_ELSE = AlsoKnown()
NOTHING_HANDED = Handed()


@dataclass(frozen=True, slots=True, kw_only=True)
class InHand:
    """What the carer holds: the product, the bottle of it, and the syringes there are."""

    product: Product | None = None
    lot: Lot | None = None
    syringes: tuple[Syringe, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Worked:
    """What could be worked out; parts stay None where a reason stands in the way."""

    resolved: Resolved | None = None
    handed: Handed = NOTHING_HANDED
    published: Comparison | None = None
    by_hand: str = ""


def work_out(
    order: Order | None,
    animal: AnimalFacts,
    weight: KnownWeight,
    in_hand: InHand,
    *,
    now: datetime,
    book: Knowledge,
    also: AlsoKnown = NOTHING_ELSE,
) -> Dose | Refusal:
    """The dose of an order for an animal at its weight, or the refusal with all its reasons.

    ``now`` is in the rescue's zone: expiry and last days are days. Nothing is worked out
    without an order; a reason that somebody rightly set aside is kept with the dose.
    """
    if order is None:
        return Refusal(
            order="",
            animal=animal.id,
            drug="",
            reasons=(NO_ORDER,),
            knowledge_version=book.version,
        )
    found, worked = _look(order, animal, weight, in_hand, now=now, book=book, also=also)
    left, aside = sort_out(in_order(found.reasons), also.set_aside, order, animal)
    if left or worked.resolved is None or worked.handed.measure is None:
        return Refusal(
            order=order.id,
            animal=animal.id,
            drug=drug_words(order.drug, book),
            reasons=left,
            offered=worked.handed.instead,
            set_aside=aside,
            knowledge_version=book.version,
        )
    return _dose(order, animal, weight, worked, found, aside, now=now, book=book)


def _look(
    order: Order,
    animal: AnimalFacts,
    weight: KnownWeight,
    in_hand: InHand,
    *,
    now: datetime,
    book: Knowledge,
    also: AlsoKnown,
) -> tuple[Findings, _Worked]:
    found = look_at_order(order, animal, now=now)
    medicine = book.medicines.named(order.drug)
    # A wash is as strong for a light animal as for a heavy one.
    if not isinstance(order.dose, Mix):
        found.add(look_at_weight(weight, animal, medicine, now=now, book=book))
    found.add(look_at_drug(order, in_hand.product, also, book=book))
    found.add(look_at_limits(order, animal, weight.grams, now=now, book=book))
    found.add(look_at_product(order, in_hand.product, in_hand.lot, now=now, book=book))
    worked = _Worked()
    if isinstance(order.dose, DosePer):
        worked = _per_weight(order, order.dose, weight.grams, in_hand, found, book)
    elif isinstance(order.dose, Mix):
        worked = _wash(order, order.dose, in_hand, found, book)
    return found, worked


def _per_weight(
    order: Order,
    dose: DosePer,
    grams: Decimal | None,
    in_hand: InHand,
    found: Findings,
    book: Knowledge,
) -> _Worked:
    medicine = book.medicines.named(order.drug)
    route = book.medicines.route_named(order.route)
    if dose.per is Per.KG and grams is None:
        # What is ordered for each kg can be held against what is published for each kg.
        _, against = compare(asked_per_kg(dose, order.schedule), medicine, route, book=book)
        found.add(against)
        return _Worked()
    ordered = dose.for_weight(grams) if grams is not None else dose.amount
    resolved = None
    if in_hand.product is not None:
        resolved, not_resolved = resolve(ordered, in_hand.product, medicine, route)
        found.add(not_resolved)
    # Where the bottle cannot be reckoned with, an amount of drug is still held against what
    # is published; a volume, or a number of drops, says nothing then.
    if resolved is None and not isinstance(ordered, Mass | Activity):
        return _Worked()
    amounts = (ordered,) if resolved is None else (ordered, resolved.active, resolved.volume)
    one = asked(dose, sizes_of(*amounts), grams, order.schedule)
    published, against = compare(one, medicine, route, book=book)
    found.add(against)
    if resolved is None or in_hand.product is None:
        return _Worked(published=published)
    down = medicine is not None and medicine.round_down
    rounding = Rounding(down=down, grows=may_grow_by(one, medicine))
    handed, not_handed = hand(
        resolved, order, in_hand.product, in_hand.syringes, rounding, book=book
    )
    found.add(not_handed)
    look_at_volume(resolved, handed, grams, route, found, book)
    ask_second_person(dose, resolved, handed, published, found, book)
    sum_ = by_hand(dose, grams, resolved, in_hand.product, handed.dilution)
    return _Worked(resolved=resolved, handed=handed, published=published, by_hand=sum_)


def _wash(order: Order, mix: Mix, in_hand: InHand, found: Findings, book: Knowledge) -> _Worked:
    medicine = book.medicines.named(order.drug)
    route = book.medicines.route_named(order.route)
    one = asked(mix, {"mg_per_ml": mix.strength.per_ml}, None, order.schedule)
    published, against = compare(one, medicine, route, book=book)
    found.add(against)
    if in_hand.product is None:
        return _Worked(published=published)
    recipe, sum_, not_made = make_up(mix, in_hand.product, in_hand.syringes, book=book)
    found.add(not_made)
    if recipe is None:
        return _Worked(published=published)
    found.second.append("a liquid is thinned")
    active = mix.strength.active_in(mix.volume)
    resolved = Resolved(ordered=mix.volume, active=active, product=mix.volume, volume=mix.volume)
    handed = Handed(measure=recipe.measure, dilution=recipe)
    return _Worked(resolved=resolved, handed=handed, published=published, by_hand=sum_)


def _dose(
    order: Order,
    animal: AnimalFacts,
    weight: KnownWeight,
    worked: _Worked,
    found: Findings,
    aside: tuple[tuple[Reason, SetAside], ...],
    *,
    now: datetime,
    book: Knowledge,
) -> Dose:
    resolved, measure, published = worked.resolved, worked.handed.measure, worked.published
    if resolved is None or measure is None or published is None:
        msg = "a dose is made only of what was worked out"
        raise ValueError(msg)
    medicine = book.medicines.named(order.drug)
    route = book.medicines.route_named(order.route)
    second = [*found.second, *(["a reason was set aside"] if aside else [])]
    wash = isinstance(order.dose, Mix)
    return Dose(
        order=order.id,
        animal=animal.id,
        drug=drug_words(order.drug, book),
        route_words=book.medicines.routes[route].words if route else order.route,
        weight=None if wash else used(weight, now),
        active=resolved.active,
        amount_words=both_units_words(resolved.active or resolved.ordered),
        product=resolved.product,
        measure=measure,
        gives_words=_gives(worked, None if wash else weight.grams),
        by_hand=worked.by_hand,
        published=published,
        dilution=worked.handed.dilution,
        instead=worked.handed.instead,
        cautions=_each_once(found.cautions),
        traps=_traps(medicine, book),
        second_person=tuple(dict.fromkeys(second)),
        controlled=medicine is not None and medicine.controlled,
        withdrawal_words=_withdrawal(order),
        set_aside=aside,
        knowledge_version=book.version,
    )


def _gives(worked: _Worked, grams: Decimal | None) -> str:
    """What really goes in at the mark, and what that is per kg."""
    resolved, measure = worked.resolved, worked.handed.measure
    if resolved is None or measure is None:
        return ""
    of = resolved.active or resolved.ordered
    given = of.scaled(over(Decimal(100) + measure.error_pct, Decimal(100)))
    words = both_units_words(given)
    if grams is None:
        return words
    per_kg = amount_words(given.scaled(over(Decimal(1000), grams)))
    return f"{words}, {per_kg}/kg"


def _withdrawal(order: Order) -> str:
    if order.withdrawal is None:
        return ""
    return f"Not adopted until {order.withdrawal.words} after the last dose."


def _traps(medicine: Medicine | None, book: Knowledge) -> tuple[Caution, ...]:
    if medicine is None:
        return ()
    own = [trap for trap in book.medicines.traps if trap.medicine == medicine.id]
    return tuple(Caution(words=trap.words, sources=trap.sources) for trap in own)


def _each_once(cautions: Iterable[Caution]) -> tuple[Caution, ...]:
    return tuple(dict.fromkeys(cautions))
