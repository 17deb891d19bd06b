"""Outbreaks as they stand: the record's facts put before the engine, now or as known then."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Q
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.looks import looks_of
from cavyround.engines.contagion.cases import Case, Sure, window_of
from cavyround.engines.contagion.changes import Change, changes
from cavyround.engines.contagion.meetings import Contact
from cavyround.engines.contagion.origins import met_before
from cavyround.engines.contagion.outbreak import stands as stand
from cavyround.engines.contagion.outbreak_said import Left, OutbreakFacts, OutbreakStands
from cavyround.engines.contagion.settings import lasts_of, ways_of, widest_incubation
from cavyround.knowledge.contagion import OutbreakKind
from cavyround.record.models import (
    Animal,
    Arrival,
    Departure,
    Outbreak,
    OutbreakCase,
    OutbreakSaid,
    PenCleaned,
    PenKind,
)
from cavyround.record.stays import LEFT, stays_of, uses_of

NOT_KNOWN = "not_known"
YESTERDAY = timedelta(days=1)
# Where nothing says since when a case was catching. Our own choice.
FURTHEST_BACK = timedelta(days=400)


@dataclass(frozen=True, slots=True, kw_only=True)
class OutbreakNow:
    """An outbreak with all that is said of it: how it stands, what changed since yesterday."""

    row: Outbreak
    kind: OutbreakKind
    facts: OutbreakFacts
    stands: OutbreakStands
    changed: tuple[Change, ...]


def open_outbreaks() -> list[Outbreak]:
    """The outbreaks that are not closed, the oldest first."""
    return list(Outbreak.objects.filter(closed=None).order_by("opened_on", "id"))


def kind_of(outbreak: Outbreak) -> OutbreakKind:
    """What broke out; one no longer in the knowledge counts as not known."""
    contagion = book().contagion
    return contagion.kind(outbreak.kind) or contagion.kind(NOT_KNOWN) or contagion.outbreaks[-1]


def outbreak_now(outbreak: Outbreak, now: datetime) -> OutbreakNow:
    """Where an outbreak stands, and what is otherwise than a day ago."""
    kind = kind_of(outbreak)
    facts = facts_of_outbreak(outbreak, kind, now)
    stands = _stands(facts, now)
    before = now - YESTERDAY
    earlier = None
    if outbreak.made_at <= before:
        earlier = _stands(facts_of_outbreak(outbreak, kind, before), before)
    return OutbreakNow(
        row=outbreak, kind=kind, facts=facts, stands=stands, changed=changes(earlier, stands)
    )


def stands_of(outbreak: Outbreak, now: datetime) -> OutbreakStands:
    """Where an outbreak stands at ``now``."""
    return _stands(facts_of_outbreak(outbreak, kind_of(outbreak), now), now)


def _stands(facts: OutbreakFacts, now: datetime) -> OutbreakStands:
    return stand(facts, now=now, zone=timezone.get_current_timezone(), book=book())


def facts_of_outbreak(outbreak: Outbreak, kind: OutbreakKind, now: datetime) -> OutbreakFacts:
    """What was known of an outbreak at ``now``: later entries are left out."""
    cases = cases_of(outbreak, now)
    since = _since(cases, kind, now)
    left = _left(since, now)
    concerned = _concerned(since)
    here = Animal.objects.filter(pk__in=concerned)
    first = min((case.signs_at for case in cases), default=now)
    looks = looks_of(outbreak, kind, concerned, first, now)
    said = OutbreakSaid.objects.filter(outbreak=outbreak, made_at__lte=now)
    return OutbreakFacts(
        kind=kind,
        cases=cases,
        stays=stays_of(concerned, known_at=now),
        uses=uses_of(known_at=now, since=since),
        left=left,
        looked=looks.clear,
        signs=looks.signs,
        apart=frozenset(str(one.pk) for one in here.filter(pen__kind="isolation")),
        cleaned=_cleaned(now),
        said=frozenset(said.values_list("code", flat=True)),
    )


def cases_of(outbreak: Outbreak, now: datetime) -> tuple[Case, ...]:
    """The cases, each by what was last said of it."""
    rows = OutbreakCase.objects.filter(outbreak=outbreak, made_at__lte=now)
    last = {row.animal_id: row for row in rows.order_by("made_at", "id")}
    return tuple(
        Case(
            animal=str(row.animal_id),
            signs_at=row.signs_at,
            sure=Sure(row.sure),
            over_at=row.over_at,
        )
        for row in last.values()
    )


def _since(cases: Sequence[Case], kind: OutbreakKind, now: datetime) -> datetime:
    """From when contacts can matter: since a case may have been catching.

    Where nobody knows since when, since the first case came, at most FURTHEST_BACK before its
    signs: what lies further back is not traced.
    """
    windows = [window_of(case, *widest_incubation(kind, book())) for case in cases]
    begins = [one.perhaps_since for one in windows if one.perhaps_since is not None]
    if windows and len(begins) == len(windows):
        return min(begins)
    furthest = min((case.signs_at for case in cases), default=now) - FURTHEST_BACK
    first = Animal.objects.filter(pk__in=[case.animal for case in cases])
    came = [day for day in first.values_list("arrived_on", flat=True) if day is not None]
    if len(came) < len(cases):
        return furthest
    midnight = timezone.make_aware(datetime.combine(min(came), datetime.min.time()))
    return max(furthest, midnight)


def _concerned(since: datetime) -> set[UUID]:
    """Animals that were here while a case may have been catching."""
    day = timezone.localdate(since) - timedelta(days=1)
    there = Animal.objects.filter(Q(left_on=None) | Q(left_on__gte=day))
    return set(there.values_list("pk", flat=True))


def _left(since: datetime, now: datetime) -> dict[str, Left]:
    """Who left, and is not back; those in foster homes too."""
    day = timezone.localdate(since) - timedelta(days=1)
    rows = Departure.objects.filter(made_at__lte=now, on__gte=day).select_related("animal__pen")
    # By the order of the entries: one that left and came back on one day is here.
    arrivals = Arrival.objects.filter(made_at__lte=now, animal__in=rows.values("animal"))
    came = dict(arrivals.order_by("made_at").values_list("animal", "made_at"))
    found: dict[str, Left] = {}
    for row in rows.order_by("made_at", "id"):
        key, pen = str(row.animal_id), row.animal.pen
        back = row.animal_id in came and came[row.animal_id] > row.made_at
        fostered = row.animal.left_on is None and (pen is None or pen.kind == PenKind.FOSTER)
        if not back and (row.how in LEFT or fostered):
            found[key] = Left(on=row.on, how=row.how, to=row.went_to)
        else:
            found.pop(key, None)
    return found


def _cleaned(now: datetime) -> dict[tuple[str, str], list[datetime]]:
    cleaned: dict[tuple[str, str], list[datetime]] = defaultdict(list)
    rows = PenCleaned.objects.filter(made_at__lte=now).select_related("pen")
    for row in rows:
        cleaned[(str(row.pen.room_id), str(row.pen_id))].append(row.at)
    return cleaned


def origins(one: OutbreakNow) -> dict[str, tuple[Contact, ...]]:
    """By case: whom it met in the days in which it can have caught it."""
    lasts, ways = lasts_of(one.kind, book()), ways_of(one.kind)
    return {
        window.case.animal: met_before(
            window, one.facts.stays, one.facts.uses, lasts=lasts, ways=ways
        )
        for window in one.stands.windows
        if window.case.counts
    }
