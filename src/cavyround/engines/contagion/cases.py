"""Cases, and from when until when each may have caught it and may have passed it on."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from enum import StrEnum

from cavyround.knowledge.facts_of_trade import Range

DAYS_IN = {"hours": Decimal(1) / 24, "days": Decimal(1), "weeks": Decimal(7)}
DAYS_IN |= {"months": Decimal("30.4375"), "years": Decimal("365.25")}


class Sure(StrEnum):
    """How sure a case is."""

    SUSPECTED = "suspected"
    CONFIRMED = "confirmed"
    RULED_OUT = "ruled_out"


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One animal that fits the case definition.

    ``signs_at`` is when the first sign was seen, ``over_at`` when it stopped being catching
    by the word of whoever closed it; None: not yet.
    """

    animal: str
    signs_at: datetime
    sure: Sure = Sure.SUSPECTED
    over_at: datetime | None = None

    @property
    def counts(self) -> bool:
        """A suspected case counts like a confirmed one until it is ruled out."""
        return self.sure is not Sure.RULED_OUT


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseWindow:
    """The times of one case, as ranges.

    It caught it between ``caught_from`` and ``caught_until`` (None: no incubation is
    published, so nobody knows). It may have passed it on since ``perhaps_since``, which is
    as soon as it may have caught it (None: since it came), and surely since ``surely_since``.
    """

    case: Case
    caught_from: datetime | None
    caught_until: datetime | None
    perhaps_since: datetime | None
    surely_since: datetime
    sources: tuple[str, ...] = ()


def in_days(amount: Decimal, unit: str) -> Decimal:
    """A length of the knowledge in days."""
    return amount * DAYS_IN[unit]


def longest_days(span: Range | None) -> int | None:
    """The upper end of a range in whole days, upwards; None where it is not known."""
    if span is None or span.high is None:
        return None
    return -int(-in_days(span.high, span.unit) // 1)


def shortest_days(span: Range | None) -> int | None:
    """The lower end of a range in whole days, downwards; None where it is not known."""
    if span is None or span.low is None:
        return None
    return int(in_days(span.low, span.unit) // 1)


def window_of(
    case: Case, shortest: int | None, longest: int | None, sources: tuple[str, ...] = ()
) -> CaseWindow:
    """The times of a case from the shortest and longest incubation; None stays not known.

    The time from catching it to being catching is not published for any of these in guinea
    pigs, so it is taken as none: the worst case.
    """
    begin = case.signs_at - timedelta(days=longest) if longest is not None else None
    known = shortest is not None or longest is not None
    return CaseWindow(
        case=case,
        caught_from=begin,
        caught_until=case.signs_at - timedelta(days=shortest or 0) if known else None,
        perhaps_since=begin,
        surely_since=case.signs_at,
        sources=sources,
    )
