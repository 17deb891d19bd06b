"""Whether the product in the hand is what was ordered, and still good."""

from datetime import datetime

from cavyround.engines.dosing.said import Findings, Reason
from cavyround.facts.orders import Lot, Order, Product
from cavyround.facts.reading_amounts import NotRead
from cavyround.facts.saying_amounts import strength_words
from cavyround.facts.strengths import Mix, Strength
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.medicine_names import same_name
from cavyround.knowledge.medicines import Medicine

TAKE_ANOTHER = "Take another bottle, or ask the vet."
READ_LABEL = "Read the label again, and write down its strength as it stands there."


def look_at_product(
    order: Order,
    product: Product | None,
    lot: Lot | None,
    *,
    now: datetime,
    book: Knowledge,
) -> Findings:
    """Every reason not to use this product, or this bottle of it."""
    found = Findings()
    if product is None:
        words = "No product was named to take it from."
        found.reasons.append(_against("no_product", words, "Say which bottle is in your hand."))
        return found
    medicine = book.medicines.named(order.drug)
    found.reasons += _another_drug(order, product, medicine, book)
    found.reasons += _counted(order, product, medicine)
    _look_at_strength(order, product, lot, found)
    if isinstance(product.drop, NotRead):
        words = f"The drop size {product.drop.text!r} cannot be read: {product.drop.words}."
        found.reasons.append(_against("unknown_unit", words, READ_LABEL, "drop_size"))
    _look_at_dates(product, lot, now, found)
    return found


def _another_drug(
    order: Order, product: Product, medicine: Medicine | None, book: Knowledge
) -> list[Reason]:
    if same_name(order.drug, product.drug):
        return []
    if medicine is not None and book.medicines.named(product.drug) is medicine:
        return []
    words = f"The order says {order.drug}, the label says {product.drug or 'nothing'}."
    return [_against("another_drug", words, "Take the product that was ordered, or ask the vet.")]


def _counted(order: Order, product: Product, medicine: Medicine | None) -> list[Reason]:
    ways = medicine.counted_as if medicine else ()
    if not ways:
        return []
    said = (order.counted_as, product.counted_as)
    if said[0] == said[1] and said[0] in ways:
        return []
    words = (
        f"The dose may count {' or '.join(ways)}: the order says {said[0] or 'neither'}, "
        f"the strength on the label {said[1] or 'neither'}."
    )
    return [_against("counted_as_unsaid", words, "Ask the vet which is meant, and read the label.")]


def _look_at_strength(order: Order, product: Product, lot: Lot | None, found: Findings) -> None:
    label = product.strength
    if isinstance(label, NotRead):
        words = f"The strength on the label, {label.text!r}, cannot be read: {label.words}."
        found.reasons.append(_against("unknown_unit", words, READ_LABEL, "label"))
    ordered = order.strength
    # A wash is made up from whatever concentrate there is; the order's strength is the wash's.
    if ordered is None and not isinstance(order.dose, Mix) and label is not None:
        found.say("The order names no strength: read the label's aloud against the order.")
        # A label typed wrong would be followed: nobody else has said how strong it is.
        found.second.append("the order names no strength")
    found.reasons += _differs("order", "the order", ordered, label)
    bottle = lot.strength if lot else None
    if isinstance(bottle, NotRead):
        words = f"The strength on this bottle, {bottle.text!r}, cannot be read: {bottle.words}."
        found.reasons.append(_against("unknown_unit", words, READ_LABEL, "bottle"))
    found.reasons += _differs("bottle", "this bottle", bottle, label)


def _differs(
    about: str, who: str, one: Strength | NotRead | None, label: Strength | NotRead | None
) -> list[Reason]:
    """Nothing where either is unknown or unread: that is said on its own."""
    if one is None or label is None or isinstance(one, NotRead) or isinstance(label, NotRead):
        return []
    if one.is_as_strong_as(label):
        return []
    words = (
        f"The strengths differ: {who} says {strength_words(one)}, "
        f"the product {strength_words(label)}."
    )
    do = "Take the strength that was ordered, or have the vet order anew."
    return [_against("strength_unlike", words, do, about)]


def _look_at_dates(product: Product, lot: Lot | None, now: datetime, found: Findings) -> None:
    if lot is None or lot.expires_on is None:
        found.say("The expiry date is not known here: read it on the bottle before you draw up.")
    elif lot.expires_on < now.date():
        words = f"This bottle expired on {lot.expires_on.day} {lot.expires_on:%B %Y}."
        found.reasons.append(_against("expired", words, TAKE_ANOTHER))
    if lot is not None and lot.product != product.id:
        words = "This bottle is recorded as another product."
        found.reasons.append(_against("another_product", words, TAKE_ANOTHER))
    if product.use_within is None:
        return
    if lot is None or lot.opened_on is None:
        found.say(
            f"Once opened it keeps for {product.use_within.words}; when it was opened is not known."
        )
    elif lot.opened_on + product.use_within.span < now.date():
        words = (
            f"This bottle was opened on {lot.opened_on.day} {lot.opened_on:%B %Y} "
            f"and keeps for {product.use_within.words}."
        )
        found.reasons.append(_against("open_too_long", words, TAKE_ANOTHER))


def _against(code: str, words: str, do: str, about: str = "") -> Reason:
    return Reason(code=code, words=words, do=do, may="nobody", about=about)
