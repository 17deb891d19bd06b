"""Bottles on the shelf, drawn from dose by dose: which may be used on a day, and what is left."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from cavyround.facts.lengths import Length, Unit
from cavyround.facts.orders import Lot

DAY = timedelta(days=1)
PAST_ITS_DATE = "past its date"
OPEN_TOO_LONG = "open for longer than it keeps"
AMOUNT_NOT_KNOWN = "nobody knows how much is left"
DATE_NOT_KNOWN = "nobody knows its date"
OTHER_UNIT = "counted in another unit than the doses"


@dataclass(frozen=True, slots=True, kw_only=True)
class OnShelf:
    """One bottle and what is left in it; ``left`` None where nobody knows.

    ``use_within`` is how long it keeps once opened, None where it keeps to its date.
    A lot without an opened day is taken as not yet opened.
    """

    lot: Lot
    left: Decimal | None
    unit: str
    use_within: Length | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NotCounted:
    """A bottle that is not counted on, and why."""

    lot: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WontLast:
    """A bottle with something left in it that may not be used from a day on, and why."""

    lot: str
    unusable_from: date
    unused: Decimal
    why: str


@dataclass(slots=True)
class _Bottle:
    lot: str
    left: Decimal
    expires_on: date
    opened_on: date | None
    use_within: Length | None

    def last_day(self, day: date) -> date:
        """The last day it may be used, if it were opened on ``day`` at the latest."""
        keeps = _keeps(self.use_within)
        if keeps is None:
            return self.expires_on
        return min(self.expires_on, (self.opened_on or day) + keeps)

    def may_be_used(self, day: date) -> bool:
        return day <= self.last_day(day)

    def why_not(self) -> str:
        keeps = _keeps(self.use_within)
        opened = self.opened_on is not None and keeps is not None
        if opened and self.opened_on is not None and keeps is not None:
            return OPEN_TOO_LONG if self.opened_on + keeps < self.expires_on else PAST_ITS_DATE
        return PAST_ITS_DATE


def _keeps(use_within: Length | None) -> timedelta | None:
    """Whole days it keeps once opened: hours are rounded down, for only the day is known."""
    if use_within is None:
        return None
    hours = use_within.unit is Unit.HOURS
    return timedelta(days=use_within.amount // 24 if hours else use_within.amount)


class Shelf:
    """The bottles of one product, used up as doses are drawn."""

    def __init__(self, bottles: Iterable[OnShelf], unit: str) -> None:
        """Take the bottles that can be counted on; the others stay in ``not_counted``."""
        self._bottles: list[_Bottle] = []
        self.not_counted: tuple[NotCounted, ...] = ()
        for one in sorted(bottles, key=lambda one: one.lot.id):
            self._put(one, unit)

    def _put(self, one: OnShelf, unit: str) -> None:
        why = ""
        if one.unit != unit:
            why = OTHER_UNIT
        elif one.left is None:
            why = AMOUNT_NOT_KNOWN
        elif one.lot.expires_on is None:
            why = DATE_NOT_KNOWN
        if why or one.left is None or one.lot.expires_on is None:
            self.not_counted += (NotCounted(lot=one.lot.id, why=why),)
            return
        lot = one.lot
        self._bottles.append(
            _Bottle(lot.id, one.left, one.lot.expires_on, lot.opened_on, one.use_within)
        )

    def usable(self, day: date) -> Decimal:
        """What all bottles that may be used on a day hold together."""
        return sum((one.left for one in self._bottles if one.may_be_used(day)), Decimal(0))

    def draw(self, amount: Decimal, day: date) -> str | None:
        """Draw one whole dose from one bottle; None where none may be used or holds enough.

        An opened bottle comes first, then the one that may be used for the shortest time.
        """
        fit = [one for one in self._bottles if one.left >= amount and one.may_be_used(day)]
        if not fit:
            return None
        first = min(fit, key=lambda one: (one.opened_on is None, one.last_day(day), one.lot))
        first.left -= amount
        first.opened_on = first.opened_on or day
        return first.lot

    def wont_last(self, day: date) -> tuple[WontLast, ...]:
        """Bottles not yet empty that may no longer be used on ``day``."""
        return tuple(
            WontLast(
                lot=one.lot,
                unusable_from=one.last_day(day) + DAY,
                unused=one.left,
                why=one.why_not(),
            )
            for one in self._bottles
            if one.left > 0 and not one.may_be_used(day)
        )
