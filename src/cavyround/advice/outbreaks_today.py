"""What the open outbreaks ask of today, traced once a day for each state of the record."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

from django.db.models import Count
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.open_cases import closed_with_cases, open_cases
from cavyround.advice.outbreaks import kind_of, open_outbreaks, stands_of
from cavyround.engines.contagion.outbreak_said import CheckDay, OutbreakStands
from cavyround.engines.contagion.tracing import Strength
from cavyround.record.models import (
    Arrival,
    Check,
    Departure,
    Move,
    MoveCorrected,
    Outbreak,
    OutbreakCase,
    PenCleaned,
    SharedUse,
)

# Whatever an outbreak is read from: none of these is ever changed, so the newest say whether
# anything is otherwise than it was.
READ_FROM = (
    Arrival,
    Departure,
    Move,
    MoveCorrected,
    OutbreakCase,
    PenCleaned,
    SharedUse,
)
KEPT = 32
CHECKS_WITHIN = timedelta(days=120)
State = tuple[object, ...]
_kept: dict[UUID, tuple[State, OutbreakStands]] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class LookDue:
    """An exposed animal is to be looked at because of an outbreak."""

    animal: UUID
    on: date
    words: str


def looks_due(now: datetime) -> list[LookDue]:
    """The check days of all open outbreaks that have come and are not answered."""
    today = timezone.localdate(now)
    # Two outbreaks of one kind ask for one look: the earlier day counts.
    first: dict[tuple[str, str], date] = {}
    for outbreak, stands in _standing(now):
        if hasattr(outbreak, "closed"):
            continue
        kind = kind_of(outbreak)
        where = ", ".join(step.words.lower() for step in book().steps if step.code in kind.looks)
        words = f"exposed to {kind.words}: look for {kind.look_for} (steps: {where})"
        for animal, on in _first_open(stands.check_days).items():
            if on <= today:
                first[(animal, words)] = min(on, first.get((animal, words), on))
        for animal, on in stands.asked.items():
            asks = f"exposed to {kind.words}, and something was found: say whether it is a case"
            first[(animal, asks)] = min(on, first.get((animal, asks), on))
    return [
        LookDue(animal=UUID(animal), on=on, words=words) for (animal, words), on in first.items()
    ]


def last_contacts(now: datetime) -> dict[str, tuple[datetime, str]]:
    """By animal: its last contact with a case of any open outbreak, and with what."""
    last: dict[str, tuple[datetime, str]] = {}
    for outbreak, stands in _standing(now):
        for one in stands.traced.exposures:
            at = (one.last or now).astimezone(UTC)
            if one.is_direct and (one.animal not in last or last[one.animal][0] < at):
                last[one.animal] = (at, kind_of(outbreak).words)
    return last


def cases_now(now: datetime) -> frozenset[str]:
    """The animals here that are cases and not over it, also where the outbreak was closed."""
    return frozenset(str(one.animal) for one in open_cases(now))


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """An exposed animal is watched: for what, and until when; None while the contact lasts."""

    words: str
    until: date | None
    days: int


def watched(now: datetime) -> dict[str, Watched]:
    """By animal: the exposed that are watched in any outbreak, the longest of each.

    One that was closed with a case still open goes on for those who live with that case.

    Looked at on its last day and clear, it is free again; one with a look left out is not.
    """
    found: dict[str, Watched] = {}
    for outbreak, stands in _standing(now):
        words, days = kind_of(outbreak).words, stands.watch.days
        open_ones = {one.animal for one in stands.check_days if not one.done}
        cases = {one.case.animal for one in stands.windows if one.case.counts}
        for exposed in stands.traced.exposures:
            key, last = exposed.animal, exposed.last
            weak = exposed.strength is Strength.WEAK_THROUGH and key not in stands.asked
            if key in cases or weak:
                continue
            until = None if last is None else timezone.localdate(last) + timedelta(days=days)
            over = until is not None and until <= timezone.localdate(now)
            if over and key not in open_ones and key not in stands.asked:
                continue
            known = found.get(key)
            if known is None or (
                known.until is not None and (until is None or until > known.until)
            ):
                found[key] = Watched(words=words, until=until, days=days)
    return found


def _standing(now: datetime) -> list[tuple[Outbreak, OutbreakStands]]:
    """The open ones, and those that were closed while a case is still catching."""
    outbreaks = [*open_outbreaks(), *closed_with_cases(open_cases(now))]
    if not outbreaks:
        return []
    newest = [
        model.objects.order_by("-id").values_list("id", flat=True).first() for model in READ_FROM
    ]
    # A phone may send an older check later: the newest alone would not show it.
    checks = Check.objects.filter(started_at__gte=now - CHECKS_WITHIN)
    counted = checks.aggregate(begun=Count("id"), ended=Count("finished_at"))
    state = (timezone.localdate(now), book().version, *newest, *counted.values())
    return [(one, _kept_or_traced(one, state, now)) for one in outbreaks]


def _kept_or_traced(outbreak: Outbreak, state: State, now: datetime) -> OutbreakStands:
    kept = _kept.get(outbreak.pk)
    if kept is not None and kept[0] == state:
        return kept[1]
    stands = stands_of(outbreak, now)
    if len(_kept) >= KEPT:
        _kept.clear()
    _kept[outbreak.pk] = (state, stands)
    return stands


def _first_open(days: Sequence[CheckDay]) -> dict[str, date]:
    first: dict[str, date] = {}
    for one in days:
        if not one.done:
            first[one.animal] = min(one.on, first.get(one.animal, one.on))
    return first
