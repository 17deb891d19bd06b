"""What a quarantine asks of the checks and courses of its animals."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.engines.contagion.quarantine import LookedOver, Treatment, how_long
from cavyround.engines.courses import Phase, due
from cavyround.knowledge.contagion import OutbreakKind
from cavyround.record.courses import courses_of
from cavyround.record.models import Check, Course, Observed, StepState
from cavyround.record.models.checks import CheckKind

WHOLE = (CheckKind.FULL, CheckKind.ARRIVAL)


def looked_over(ids: Sequence[UUID], since: datetime) -> dict[UUID, list[LookedOver]]:
    """The finished checks, each with whether it was whole and what coat and skin were like."""
    skin = book().contagion.skin
    checks = list(
        Check.objects.filter(
            animal__in=ids, started_at__gte=since, finished_at__isnull=False
        ).order_by("started_at")
    )
    keys = [check.pk for check in checks]
    steps: dict[UUID, set[str]] = defaultdict(set)
    rows = StepState.objects.filter(check_in__in=keys).order_by()
    for key, step in rows.values_list("check_in", "step"):
        steps[key].add(step)
    found: set[UUID] = set()
    seen = Observed.objects.filter(check_in__in=keys, step__in=skin.steps).exclude(status="absent")
    for key, finding in seen.order_by().values_list("check_in", "finding"):
        if not book().is_benign(finding):
            found.add(key)
    least = book().number("whole_check_least_pct")
    told: dict[UUID, list[LookedOver]] = defaultdict(list)
    for check in checks:
        planned = len(check.planned) or len(book().steps)
        whole = check.kind in WHOLE and len(steps[check.pk]) * 100 >= planned * least
        looked = set(skin.steps) <= steps[check.pk]
        told[check.animal_id].append(
            LookedOver(
                on=timezone.localdate(check.started_at),
                whole=whole,
                skin_clear=check.pk not in found if looked else None,
            )
        )
    return told


def treatments(ids: Sequence[UUID], now: datetime) -> dict[UUID, list[Treatment]]:
    """Courses against something that keeps apart; others end no quarantine and keep none open."""
    rows = list(Course.objects.filter(animal__in=ids).select_related("order"))
    facts = courses_of(rows, book())
    zone = timezone.get_current_timezone()
    found: dict[UUID, list[Treatment]] = defaultdict(list)
    for row in rows:
        course = facts[row.pk]
        kind = _kind_against(course.against)
        if kind is None:
            continue
        stands = due(course, now=now, zone=zone, book=book())
        over = stands.phase in (Phase.FINISHED, Phase.STOPPED)
        last = max((dose.at for dose in course.doses if dose.went_in), default=None)
        found[row.animal_id].append(
            Treatment(
                what=course.what,
                ended_on=timezone.localdate(last) if over and last is not None else None,
                days_after=how_long(kind.quarantine, book()).days,
            )
        )
    return found


def _kind_against(against: Sequence[str]) -> OutbreakKind | None:
    for kind in book().contagion.outbreaks:
        if set(against) & set(kind.infections):
            return kind
    return None
