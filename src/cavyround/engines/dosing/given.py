"""What a dose is worked out from beside order and animal: weight, syringes, what else runs."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Literal

from cavyround.facts.animal import Weighing
from cavyround.facts.quantities import over, times
from cavyround.knowledge.book import Knowledge

DAYS_IN_WEEK = Decimal(7)
HUNDRED = Decimal(100)
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownWeight:
    """The last weighing as it is to be dosed by. ``grams`` None: never weighed.

    ``doubt`` says in words why it should be weighed again, empty where it is believed.
    ``change_pct_week`` is how much it gains (or, less than nought, loses) in a week, None
    where nobody can say. ``at_last_dose_g`` is the weight the last dose was worked out from.
    """

    grams: Decimal | None = None
    at: datetime | None = None
    doubt: str = ""
    change_pct_week: Decimal | None = None
    at_last_dose_g: Decimal | None = None

    def __post_init__(self) -> None:
        """Refuse what is no number, a weight of nothing, and a weight of no day."""
        numbers = (self.grams, self.change_pct_week, self.at_last_dose_g)
        if any(number is not None and not number.is_finite() for number in numbers):
            msg = "a weight and its change are numbers"
            raise ValueError(msg)
        if any(grams is not None and grams <= 0 for grams in (self.grams, self.at_last_dose_g)):
            msg = "a weight is more than nought"
            raise ValueError(msg)
        if (self.grams is None) != (self.at is None):
            msg = "a weight needs the moment it was weighed, and the moment its weight"
            raise ValueError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Syringe:
    """A syringe in the hand. ``only_for`` is the one class of medicine it is for."""

    code: str
    words: str
    holds_ml: Decimal
    mark_ml: Decimal
    marked_in: Literal["mL", "units"] = "mL"
    only_for: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """Another order that runs on this animal now, or still works in it.

    By the name of its drug; ``contains`` are the active parts the label of what it is
    drawn from names, so that a trade name hides no substance.
    """

    order: str
    drug: str
    contains: tuple[str, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """Every name it goes by."""
        return (self.drug, *self.contains)


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAside:
    """Who sets a reason aside, and why. ``key`` is the reason's own, ``order`` the order it is for.

    ``animal`` empty: for every animal of the order. ``role`` is ``vet`` or ``carer``.
    """

    key: str
    order: str
    by: str
    role: Literal["vet", "carer"]
    why: str = ""
    animal: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AlsoKnown:
    """What else is known of the animal that may speak against a dose.

    ``allergies`` are names of drugs or classes as somebody noted them.
    """

    running: tuple[Running, ...] = ()
    allergies: tuple[str, ...] = ()
    set_aside: tuple[SetAside, ...] = ()


def syringe_in_hand(book: Knowledge, code: str) -> Syringe:
    """A syringe of the knowledge by its code; KeyError for one there is not."""
    kind = book.medicines.syringes[code]
    return Syringe(
        code=code,
        words=kind.words,
        holds_ml=kind.holds_ml,
        mark_ml=kind.mark_ml,
        marked_in=kind.marked_in,
        only_for=kind.only_for,
    )


def known_weight(
    weighings: Sequence[Weighing],
    *,
    grown: bool,
    book: Knowledge,
    last_dose_g: Decimal | None = None,
) -> KnownWeight:
    """The weight to dose by, from plain weighings in any order.

    A caller that has the weight engine's reading says its trend and doubt instead.
    """
    if not weighings:
        return KnownWeight(at_last_dose_g=last_dose_g)
    most = book.number("doubtful_change_pct_adult" if grown else "doubtful_change_pct_young")
    in_order = sorted(weighings, key=lambda one: (one.at, one.grams))
    last, good = in_order[-1], [one for one in in_order[:-1] if not one.doubted]
    return KnownWeight(
        grams=last.grams,
        at=last.at,
        doubt="the last weighing is doubted" if last.doubted else _doubt(last, good, most, book),
        change_pct_week=_change(last, good, book),
        at_last_dose_g=last_dose_g,
    )


def _doubt(last: Weighing, good: Sequence[Weighing], most: Decimal, book: Knowledge) -> str:
    within = timedelta(days=int(book.number("doubtful_change_days")))
    before = next((one for one in reversed(good) if last.at - one.at <= within), None)
    if before is None:
        return ""
    change = _percent(last.grams, before.grams)
    if abs(change) <= most:
        return ""
    more = "more" if change > 0 else "less"
    days = (last.at - before.at).days
    return f"{abs(change):.0f} % {more} than {before.grams:f} g {days} days before"


def _change(last: Weighing, good: Sequence[Weighing], book: Knowledge) -> Decimal | None:
    span = book.span("dose_trend_days")
    least, most = timedelta(days=int(span.low)), timedelta(days=int(span.high))
    within = [one for one in good if last.at - one.at <= most]
    long_enough = [one for one in within if last.at - one.at >= least]
    if long_enough:
        before = long_enough[-1]
        days = Decimal((last.at - before.at) // timedelta(seconds=1)) / Decimal(86400)
        return over(times(_percent(last.grams, before.grams), DAYS_IN_WEEK), days)
    # Too close together for a rate: the change itself, not blown up to a week.
    return _percent(last.grams, within[-1].grams) if within else None


def _percent(now: Decimal, before: Decimal) -> Decimal:
    return over(times(now - before, HUNDRED), before)
