"""Who is due today, for what and why, in the order from healthy to contagious."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from django.db.models import Count, OuterRef, QuerySet, Subquery
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import AdviceGiven, Animal, Check, FollowUp, Pen, StepState
from cavyround.record.models.checks import CheckKind

# Handle the most vulnerable and healthy first, then residents, then quarantine, the sick last.
# Source: order of care of the Association of Shelter Veterinarians' guidelines (2022), from memory.
ORDER = ("nursery", "residents", "foster", "no_pen", "quarantine", "sick_bay", "isolation")
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
    """The newest finished whole check: when it began, how many steps were planned and done."""

    at: datetime
    planned: int
    done: int


@dataclass(frozen=True, slots=True)
class _Known:
    """What is asked of all animals at once, so that the number of queries stays the same."""

    last_check: Mapping[UUID, _LastCheck]
    follow_ups: Mapping[UUID, list[FollowUp]]
    advice: Mapping[UUID, AdviceGiven]
    on_table: Mapping[UUID, str]


@dataclass(frozen=True, slots=True)
class _Reason:
    words: str
    due_on: date
    kind: str


def due_today(now: datetime) -> list[Due]:
    """All animals here that are due today or overdue, in the order of the round."""
    animals = list(Animal.objects.filter(left_on=None).select_related("pen__room", "face"))
    known = _known(now)
    due = [one for animal in animals if (one := _due(animal, known, now)) is not None]
    return sorted(due, key=_round_order)


def _round_order(due: Due) -> tuple[Any, ...]:
    pen = due.pen
    place = (pen.room.position, pen.position) if pen else (0, 0)
    return (ORDER.index(due.group), -due.overdue_days, *place, due.animal.name)


def _known(now: datetime) -> _Known:
    here = Animal.objects.filter(left_on=None)
    follow_ups: dict[UUID, list[FollowUp]] = defaultdict(list)
    for promise in FollowUp.objects.filter(animal__in=here, outcomes=None):
        follow_ups[promise.animal_id].append(promise)
    newest = AdviceGiven.objects.filter(animal=OuterRef("pk")).order_by("-made_at", "-id")
    ids = here.annotate(newest=Subquery(newest.values("pk")[:1])).values_list("newest", flat=True)
    given = AdviceGiven.objects.filter(pk__in=[one for one in ids if one])
    advice = {one.animal_id: one for one in given.defer("inputs", "result")}
    open_checks = Check.objects.filter(
        animal__in=here,
        finished_at=None,
        put_down_at=None,
        started_at__gte=now - ON_THE_TABLE,
    ).select_related("started_by")
    on_table = {check.animal_id: str(check.started_by) for check in open_checks}
    return _Known(_last_checks(here), follow_ups, advice, on_table)


def _last_checks(here: QuerySet[Animal]) -> dict[UUID, _LastCheck]:
    whole = Check.objects.filter(
        animal=OuterRef("pk"), kind__in=WHOLE_CHECKS, finished_at__isnull=False
    ).order_by("-started_at")
    ids = here.annotate(newest=Subquery(whole.values("pk")[:1])).values_list("newest", flat=True)
    checks = list(Check.objects.filter(pk__in=[one for one in ids if one]))
    states = StepState.objects.filter(check_in__in=[check.pk for check in checks])
    done = dict(states.values_list("check_in").annotate(count=Count("id")).order_by())
    every_step = len(book().steps)
    return {
        check.animal_id: _LastCheck(
            check.started_at, len(check.planned) or every_step, done.get(check.pk, 0)
        )
        for check in checks
    }


def _due(animal: Animal, known: _Known, now: datetime) -> Due | None:
    today = timezone.localdate(now)
    tomorrow = today + timedelta(days=1)
    reasons = [r for r in _reasons(animal, known, now) if r.due_on < tomorrow]
    if not reasons:
        return None
    given = known.advice.get(animal.id)
    first = min(reasons, key=lambda reason: reason.due_on)
    whole = [reason.kind for reason in reasons if reason.kind in ("arrival", "full")]
    return Due(
        animal=animal,
        reasons=tuple(reason.words for reason in reasons),
        overdue_days=(today - first.due_on).days,
        group=_group(animal, given),
        pen=animal.pen,
        kind=whole[0] if whole else first.kind,
        urgency=Urgency.from_code(given.urgency) if given else None,
        being_checked_by=known.on_table.get(animal.id, ""),
    )


def _group(animal: Animal, given: AdviceGiven | None) -> str:
    """Where it comes in the round: what was advised to be kept apart comes last."""
    if given is not None and given.isolate:
        return "isolation"
    return animal.pen.kind if animal.pen else "no_pen"


def _reasons(animal: Animal, known: _Known, now: datetime) -> Iterable[_Reason]:
    yield from _promised(known.follow_ups.get(animal.id, ()))
    last = known.last_check.get(animal.id)
    arrived = animal.arrived_on or timezone.localdate(now)
    if last is None or timezone.localdate(last.at) < arrived:
        yield _Reason("arrival check", arrived, CheckKind.ARRIVAL)
        return
    if last.done * 100 < last.planned * book().number("whole_check_least_pct"):
        words = f"the last check was broken off: {last.done} of {last.planned} steps done"
        yield _Reason(words, timezone.localdate(last.at), CheckKind.FULL)
        return
    days, why = _every(animal, timezone.localdate(now))
    due_on = timezone.localdate(last.at) + timedelta(days=days)
    yield _Reason(why, due_on, CheckKind.FULL)


def _promised(follow_ups: Iterable[FollowUp]) -> Iterable[_Reason]:
    for promise in follow_ups:
        on = timezone.localdate(promise.due_at)
        yield _Reason(f"look again: {promise.words}", on, CheckKind.RECHECK)


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
