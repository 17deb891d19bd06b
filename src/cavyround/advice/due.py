"""Who is due today, for what and why, in the order from healthy to contagious."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from django.db.models import Count, F, OuterRef, QuerySet, Subquery
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.keeping_apart import apart_now
from cavyround.advice.latest import Advised, latest_advice
from cavyround.advice.living_due import living_due
from cavyround.advice.medicines.counting import dose_reasons
from cavyround.advice.order_of_care import OrderOfCare, order_of_care
from cavyround.advice.outbreaks_today import looks_due
from cavyround.advice.quarantine import Quarantined, in_quarantine
from cavyround.engines.contagion.asks import asks_of
from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import Animal, Check, FollowUp, Pen, StepState, WeightSaid
from cavyround.record.models.checks import CheckKind

WHOLE_CHECKS = (CheckKind.FULL, CheckKind.ARRIVAL)
# An unfinished check is somebody's hands on the animal for about this long. Our own judgement.
ON_THE_TABLE = timedelta(minutes=30)


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One animal that is due: for what, why, and since how many days."""

    animal: Animal
    reasons: tuple[str, ...]
    overdue_days: int
    group: str
    pen: Pen | None
    kind: str
    urgency: Urgency | None
    being_checked_by: str = ""


@dataclass(frozen=True, slots=True)
class _LastCheck:
    """The newest finished whole check: the day it began, how many steps were planned and done."""

    on: date
    planned: int
    done: int


@dataclass(frozen=True, slots=True)
class _Reason:
    words: str
    due_on: date
    kind: str


@dataclass(frozen=True, slots=True)
class _Known:
    """What is asked of all animals at once, so that the number of queries stays the same."""

    today: date
    last_check: Mapping[UUID, _LastCheck]
    promised: Mapping[UUID, list[_Reason]]
    advice: Mapping[UUID, Advised]
    on_table: Mapping[UUID, str]
    weigh: Mapping[UUID, _Reason]
    doses: Mapping[UUID, list[str]]


@dataclass(frozen=True, slots=True)
class Here:
    """The animals here: those due today in the order of the round, and the others by name.

    ``quarantined`` are those of them whose quarantine runs.
    """

    due: list[Due]
    others: list[Animal]
    quarantined: list[Quarantined]
    order: OrderOfCare


def due_today(now: datetime) -> list[Due]:
    """All animals here that are due today or overdue, in the order of the round."""
    return here_today(now).due


def here_today(now: datetime) -> Here:
    """All animals here, and which of them are due today or overdue."""
    here = Animal.objects.filter(left_on=None)
    quarantined = in_quarantine(now)
    apart = apart_now(now, quarantined)
    known = _known(here, quarantined, now)
    order = order_of_care(now, advised=known.advice, apart=apart)
    pens = Pen.objects.select_related("room").in_bulk()
    due, others = [], []
    for animal in here.select_related("face"):
        # One pen for all who share it; fetched with each animal, a herd has as many as animals.
        if animal.pen_id in pens:
            animal.pen = pens[animal.pen_id]
        one = _due(animal, known, order.stage(animal))
        if one is None:
            others.append(animal)
        else:
            due.append(one)
    return Here(_in_order(due, order), others, quarantined, order)


def _in_order(due: list[Due], order: OrderOfCare) -> list[Due]:
    """By stage, then the pen with the longest overdue first; a pen is never come back to."""
    longest: dict[object, int] = {}
    for one in due:
        longest[one.pen] = max(one.overdue_days, longest.get(one.pen, 0))

    def place(one: Due) -> tuple[Any, ...]:
        pen = one.pen
        where = (pen.room.position, pen.position, pen.pk) if pen else (0, 0, 0)
        waits = longest[pen] if pen else one.overdue_days
        return (order.place[one.group], -waits, *where, -one.overdue_days, one.animal.name)

    return sorted(due, key=place)


def _known(here: QuerySet[Animal], quarantined: list[Quarantined], now: datetime) -> _Known:
    """Every question goes from the animals here, so that none grows with those that left."""
    promised: dict[UUID, list[_Reason]] = defaultdict(list)
    open_ones = FollowUp.objects.filter(animal__in=here, outcomes=None)
    for animal, due_at, words in open_ones.values_list("animal", "due_at", "words"):
        reason = _Reason(f"look again: {words}", timezone.localdate(due_at), CheckKind.RECHECK)
        promised[animal].append(reason)
    for look in looks_due(now):
        # A look again shows only the steps of what was promised: the rest would be left out.
        promised[look.animal].append(_Reason(look.words, look.on, CheckKind.FULL))
    for one in quarantined:
        for ask in asks_of(one.clock, timezone.localdate(now)):
            promised[one.animal.pk].append(_Reason(ask.words, ask.on, CheckKind.FULL))
    for due in living_due(now):
        promised[due.animal].append(_Reason(due.words, due.on, due.kind))
    open_checks = Check.objects.filter(
        animal__in=here,
        finished_at=None,
        put_down_at=None,
        started_at__gte=now - ON_THE_TABLE,
    ).select_related("started_by")
    return _Known(
        today=timezone.localdate(now),
        last_check=_last_checks(here),
        promised=promised,
        advice=latest_advice(here),
        on_table={check.animal_id: str(check.started_by) for check in open_checks},
        weigh=_to_weigh(here),
        doses=dose_reasons(now),
    )


def _to_weigh(here: QuerySet[Animal]) -> dict[UUID, _Reason]:
    """Whom to weigh sooner than the weekly check does, and why."""
    sooner = timedelta(days=float(book().model_number("weigh_gap_well_days")))
    said = WeightSaid.objects.filter(animal__in=here, weigh_next_at__lt=F("last_at") + sooner)
    rows = said.values_list("animal", "weigh_next_at", "weigh_why")
    return {
        animal: _Reason(f"weigh: {why}", timezone.localdate(at), CheckKind.WEIGH_IN)
        for animal, at, why in rows
        if at is not None
    }


def _last_checks(here: QuerySet[Animal]) -> dict[UUID, _LastCheck]:
    whole = Check.objects.filter(
        animal=OuterRef("pk"), kind__in=WHOLE_CHECKS, finished_at__isnull=False
    ).order_by("-started_at")
    newest = here.order_by().values(newest=Subquery(whole.values("pk")[:1]))
    states = StepState.objects.filter(check_in=OuterRef("pk")).order_by().values("check_in")
    checks = Check.objects.filter(pk__in=newest).order_by()
    rows = checks.annotate(done=Subquery(states.annotate(done=Count("*")).values("done")))
    every_step, zone = len(book().steps), timezone.get_current_timezone()
    return {
        animal: _LastCheck(
            timezone.localdate(started_at, zone), len(planned) or every_step, done or 0
        )
        for animal, started_at, planned, done in rows.values_list(
            "animal", "started_at", "planned", "done"
        )
    }


def _due(animal: Animal, known: _Known, stage: str) -> Due | None:
    reasons = [reason for reason in _reasons(animal, known) if reason.due_on <= known.today]
    if not reasons:
        return None
    given = known.advice.get(animal.id)
    first = min(reasons, key=lambda reason: reason.due_on)
    whole = [reason.kind for reason in reasons if reason.kind in ("arrival", "full")]
    return Due(
        animal=animal,
        # A dose alone is no check: it is on the dose round. Who is due anyway is told of both.
        reasons=(*(reason.words for reason in reasons), *known.doses.get(animal.id, ())),
        overdue_days=(known.today - first.due_on).days,
        group=stage,
        pen=animal.pen,
        kind=whole[0] if whole else first.kind,
        urgency=given.urgency if given else None,
        being_checked_by=known.on_table.get(animal.id, ""),
    )


def _reasons(animal: Animal, known: _Known) -> Iterable[_Reason]:
    yield from known.promised.get(animal.id, ())
    if animal.id in known.weigh:
        yield known.weigh[animal.id]
    last = known.last_check.get(animal.id)
    arrived = animal.arrived_on or known.today
    if last is None or last.on < arrived:
        yield _Reason("arrival check", arrived, CheckKind.ARRIVAL)
        return
    if last.done * 100 < last.planned * book().number("whole_check_least_pct"):
        words = f"the last check was broken off: {last.done} of {last.planned} steps done"
        yield _Reason(words, last.on, CheckKind.FULL)
        return
    days, why = _every(animal, known.today)
    yield _Reason(why, last.on + timedelta(days=days), CheckKind.FULL)


def _every(animal: Animal, today: date) -> tuple[int, str]:
    """How many days between full checks for this animal, and why."""
    number = book().number
    arrived = animal.arrived_on
    if arrived and (today - arrived).days < number("newcomer_daily_days"):
        return 1, "newcomer: daily in the first days"
    if animal.born_latest and (today - animal.born_latest).days < number("pup_until_days"):
        return 1, "pup: daily"
    if animal.pen and animal.pen.kind in ("sick_bay", "isolation"):
        return 1, "in the sick bay or isolation: daily"
    if animal.pregnant in ("yes", "possible"):
        return int(book().span("pregnant_weigh_days").high), "expectant sow: every few days"
    if animal.pen and animal.pen.kind == "quarantine":
        return int(book().span("newcomer_check_days").high), "in quarantine: every few days"
    return int(number("full_check_days")), "weekly full check"
