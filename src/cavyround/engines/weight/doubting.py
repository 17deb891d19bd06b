"""Before a weight is kept: is it this animal's? Asked, never refused."""

from collections.abc import Iterator, Mapping
from decimal import Decimal

from cavyround.engines.weight.said import Doubt, Expected
from cavyround.engines.weight.slips import Slip, slips
from cavyround.knowledge.book import Knowledge

WORDS = {
    "swapped_digits": "Two digits may be swapped: {meant} g?",
    "ounces": "That may be ounces: {typed} oz are {meant} g.",
    "missing_digit": "A digit may be missing: {meant} g?",
    "extra_digit": "There may be a digit too many: {meant} g?",
    "wrong_digit": "One digit may be wrong: {meant} g?",
    "carrier": "Is the tub or carrier on the scale? Set it to nought with the tub on.",
    "neighbour": "It fits {mate} better, who should weigh {low} to {high} g.",
    "far": "Far from what this animal should weigh.",
}


def doubt_of(
    grams: Decimal,
    expected: Expected,
    mates: Mapping[str, Expected],
    *,
    book: Knowledge,
    names: Mapping[str, str] | None = None,
) -> Doubt | None:
    """Why a weight should be read again before it is kept, or None.

    ``mates`` are the pen-mates by id, ``names`` what they are called. Doubted is what lies
    outside the plausible band or far from the middle of the likely one; what a pen-mate
    should weigh; and what a swap of digits or a wrong hundred, put right, would make likely.
    """
    value = float(grams)
    if _likely(value, expected):
        return None
    far = not _plausible(value, expected) or _beyond(value, expected, book, "asked_beyond")
    if not far and not expected.known:
        return None
    found = (_slip(grams, expected) if far else None) or _near_slip(grams, expected)
    if found is not None and found.reason != "wrong_digit":
        return _of_slip(grams, found)
    mate = _fits(value, mates) if _beyond(value, expected, book, "neighbour_beyond") else ""
    if mate:
        band = mates[mate].likely
        called = (names or {}).get(mate, mate)
        words = WORDS["neighbour"].format(mate=called, low=round(band.low), high=round(band.high))
        return Doubt(reason="neighbour", words=words, fits=mate)
    if found is not None:
        return _of_slip(grams, found)
    if not far:
        return None
    tub = book.model_span("carrier_g")
    over = value - expected.likely.mid
    if expected.known and float(tub.low) <= over <= float(tub.high):
        return Doubt(reason="carrier", words=WORDS["carrier"])
    return Doubt(reason="far", words=WORDS["far"])


def _plausible(grams: float, expected: Expected) -> bool:
    return expected.plausible.low <= grams <= expected.plausible.high


def _beyond(grams: float, expected: Expected, book: Knowledge, key: str) -> bool:
    """Whether it lies so many times half the likely band from its middle; never of a stranger."""
    half = (expected.likely.high - expected.likely.low) / 2
    times = float(book.model_number(key))
    return expected.known and abs(grams - expected.likely.mid) > times * half


def _likely(grams: float, expected: Expected) -> bool:
    return expected.likely.low <= grams <= expected.likely.high


def _slip(grams: Decimal, expected: Expected) -> Slip | None:
    """The commonest slip that, put right, lies where this animal should be."""
    if not expected.known:
        return next((one for one in slips(grams) if _meant(one, expected, {"ounces"})), None)
    fitting = [one for one in slips(grams) if _likely(float(one.meant_g), expected)]
    if not fitting:
        return None
    first = fitting[0].reason
    return min(
        (one for one in fitting if one.reason == first),
        key=lambda one: abs(float(one.meant_g) - expected.likely.mid),
    )


def _meant(slip: Slip, expected: Expected, reasons: set[str]) -> bool:
    return slip.reason in reasons and _likely(float(slip.meant_g), expected)


def _near_slip(grams: Decimal, expected: Expected) -> Slip | None:
    fitting = (one for one in _near_slips(grams) if _likely(float(one.meant_g), expected))
    return next(fitting, None) if expected.known else None


def _near_slips(grams: Decimal) -> Iterator[Slip]:
    yield from (one for one in slips(grams) if one.reason == "swapped_digits")
    yield Slip("wrong_digit", grams + 100)
    yield Slip("wrong_digit", grams - 100)


def _of_slip(grams: Decimal, slip: Slip) -> Doubt:
    words = WORDS[slip.reason].format(typed=f"{grams.normalize():f}", meant=round(slip.meant_g))
    return Doubt(reason=slip.reason, words=words, meant_g=slip.meant_g)


def _fits(grams: float, mates: Mapping[str, Expected]) -> str:
    """The pen-mate whose likely weight this is, the nearest first; empty if none."""
    fitting = [
        (abs(grams - one.likely.mid), mate)
        for mate, one in mates.items()
        if one.known and _likely(grams, one)
    ]
    return min(fitting)[1] if fitting else ""
