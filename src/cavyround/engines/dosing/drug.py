"""Whether this drug may be given to a guinea pig at all, this way, beside what it has."""

from collections.abc import Iterable

from cavyround.engines.dosing.given import AlsoKnown
from cavyround.engines.dosing.naming import drug_words, likely_meant, names_of
from cavyround.engines.dosing.said import Findings, Reason
from cavyround.facts.orders import Order, Product
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.medicine_names import folded
from cavyround.knowledge.medicines import Medicine

NAMED_BY_VET = "Only the vet can decide this, by name and with the reason."
BY_ITS_SUBSTANCE = (
    "Write the active substance as the label names it. If that is what stands there, the vet "
    "decides it, by name and with the reason."
)

NAME_IT = (
    "Name the substance that stands on the label, not the trade name: in the order, or among "
    "the active parts of the product. Until then nobody can say that it does not kill."
)


def look_at_drug(
    order: Order, product: Product | None, also: AlsoKnown, *, book: Knowledge
) -> Findings:
    """Dangers, routes, what else runs, allergies, and what to know beside it."""
    found = Findings()
    medicine = book.medicines.named(order.drug)
    route = book.medicines.route_named(order.route)
    names = names_of(order, product)
    found.reasons += _dangers(names, route, book)
    found.reasons += _route(order, medicine, route, book)
    found.reasons += _beside(order, names, also, book)
    found.reasons += _allergies(names, also, found, book)
    for part in product.contains if product else ():
        if book.medicines.named(part) is None and not book.medicines.dangers_in([part]):
            found.say(f"The label also names {part}, of which nothing is known here: ask the vet.")
    if medicine is None:
        found.reasons += _unknown(order, product, route, book)
        found.second.append("a medicine this formulary does not know")
    else:
        for caution in medicine.cautions:
            found.say(caution.words, caution.sources)
        if medicine.second_person:
            found.second.append(medicine.second_person)
    return found


def never_given(names: Iterable[str], route_named: str, book: Knowledge) -> tuple[Reason, ...]:
    """Why medicines of these names must not be given this way at all, whoever orders it."""
    route = book.medicines.route_named(route_named)
    return tuple(one for one in _dangers(tuple(names), route, book) if one.may == "nobody")


def _dangers(names: tuple[str, ...], route: str, book: Knowledge) -> list[Reason]:
    reasons = []
    for danger in book.medicines.dangers_in(names):
        # A route nobody could read may be any of them.
        if danger.routes and route and route not in danger.routes:
            continue
        do = "Do not give it. Ring the vet." if danger.may == "nobody" else NAMED_BY_VET
        if danger.may == "carer":
            do = "Ask the vet or the pharmacy, then confirm."
        reasons.append(
            Reason(
                code="dangerous",
                words=danger.words,
                do=do,
                may=danger.may,
                about=danger.id,
                sources=danger.sources,
            )
        )
    return reasons


def _route(order: Order, medicine: Medicine | None, route: str, book: Knowledge) -> list[Reason]:
    if not order.route.strip():
        return []
    if not route:
        known = ", ".join(one.words for one in book.medicines.routes.values())
        words = f"{order.route!r} is no way of giving that is known here; one of {known}."
        do = "Ask the vet how it is given."
        return [Reason(code="unknown_route", words=words, do=do, may="nobody")]
    reasons = []
    known_route = book.medicines.routes[route]
    if known_route.by == "vet":
        words = f"Given {known_route.words}, which a vet does."
        do = "The vet gives it, or orders another way."
        reasons.append(Reason(code="route_for_vets", words=words, do=do, may="vet"))
    if medicine is not None and route not in medicine.routes:
        ways = " or ".join(book.medicines.routes[code].words for code in medicine.routes)
        words = f"{medicine.name} is published {ways}, not {known_route.words}."
        reasons.append(
            Reason(
                code="wrong_route",
                words=words,
                do=NAMED_BY_VET,
                may="vet",
                sources=medicine.sources,
            )
        )
    return reasons


def _unknown(order: Order, product: Product | None, route: str, book: Knowledge) -> list[Reason]:
    if not order.drug.strip() or book.medicines.dangers_in([order.drug]):
        return []
    meant = likely_meant(order.drug, book)
    words = f"{order.drug!r} is not in the formulary: neither its range nor its dangers are known"
    words += f". Did you mean {meant}?" if meant else "."
    # By mouth a trade name may hide what kills by the gut: nobody may wave that through.
    if route in ("by_mouth", "") and not (product and product.contains):
        return [Reason(code="not_in_formulary", words=words, do=NAME_IT, may="nobody")]
    return [Reason(code="not_in_formulary", words=words, do=BY_ITS_SUBSTANCE, may="vet")]


def _beside(order: Order, names: tuple[str, ...], also: AlsoKnown, book: Knowledge) -> list[Reason]:
    mine = book.medicines.classes_of(names)
    reasons = []
    for other in sorted(also.running, key=lambda one: (one.order, one.drug)):
        if other.order == order.id:
            continue
        what = drug_words(other.drug, book)
        if _same_drug(names, other.names, book):
            words = f"{what} runs already by another order."
            reasons.append(_running("same_drug_running", words, other.order))
            continue
        theirs = book.medicines.classes_of(other.names)
        for code in sorted(mine & theirs):
            if book.medicines.classes[code].one_at_a_time:
                words = f"{what} runs already: both are {book.medicines.classes[code].words}."
                reasons.append(_running("same_class_running", words, other.order))
        for code in sorted(mine):
            if theirs & set(book.medicines.classes[code].not_with):
                words = f"{what} runs already, and the two are never given together."
                reasons.append(_running("not_together", words, other.order))
    return reasons


def _same_drug(mine: Iterable[str], theirs: Iterable[str], book: Knowledge) -> bool:
    """Whether any part of the one is a part of the other, under whatever name."""
    one, other = _substances(mine, book), _substances(theirs, book)
    return bool(one & other)


def _substances(names: Iterable[str], book: Knowledge) -> set[str]:
    known = ((name, book.medicines.named(name)) for name in names if folded(name))
    return {medicine.id if medicine is not None else folded(name) for name, medicine in known}


def _running(code: str, words: str, order: str) -> Reason:
    return Reason(code=code, words=words, do=NAMED_BY_VET, may="vet", about=order)


def _allergies(
    names: tuple[str, ...], also: AlsoKnown, found: Findings, book: Knowledge
) -> list[Reason]:
    mine = book.medicines.classes_of(names)
    medicines = {m.id for name in names if (m := book.medicines.named(name)) is not None}
    reasons = []
    for noted in sorted(also.allergies):
        if not folded(noted):
            continue
        named = book.medicines.named(noted)
        if (
            any(_hold_each_other(noted, name) for name in names)
            or mine & book.medicines.classes_of([noted])
            or any(_is_class(noted, code, book) for code in mine)
            or (named is not None and named.id in medicines)
        ):
            words = f"An allergy is noted: {noted}."
            reasons.append(
                Reason(code="allergy", words=words, do=NAMED_BY_VET, may="vet", about=folded(noted))
            )
        elif _is_known(noted, book):
            found.say(f"An allergy is noted: {noted}.")
        else:
            words = (
                f"An allergy is noted: {noted}, and no substance or kind of medicine of that "
                "name is known here: it may be this one."
            )
            do = f"Ask what was meant, and note the substance. {NAMED_BY_VET}"
            about = folded(noted)
            reasons.append(
                Reason(code="allergy_unclear", words=words, do=do, may="vet", about=about)
            )
    return reasons


def _is_known(noted: str, book: Knowledge) -> bool:
    """Whether a note of an allergy names a substance or a kind of medicine."""
    medicines = book.medicines
    return (
        medicines.named(noted) is not None
        or bool(medicines.dangers_in([noted]))
        or bool(medicines.classes_of([noted]))
        or any(_is_class(noted, code, book) for code in medicines.classes)
    )


def _hold_each_other(one: str, other: str) -> bool:
    first, second = folded(one), folded(other)
    return bool(first and second) and (first in second or second in first)


def _is_class(noted: str, code: str, book: Knowledge) -> bool:
    names = (folded(code), folded(book.medicines.classes[code].words))
    return folded(noted).removesuffix("s") in {name.removesuffix("s") for name in names}
