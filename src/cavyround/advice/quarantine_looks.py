"""What a quarantine asks of the checks and courses of its animals."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from django.db.models import Count, Q
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.looks import COAT, DONE, hairless_ones
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
    finished = Check.objects.filter(
        animal__in=ids, started_at__gte=since, finished_at__isnull=False
    )
    checks = list(
        finished.order_by("started_at").values_list("pk", "animal", "kind", "started_at", "planned")
    )
    # Counted in the database: a check has two dozen steps, and a rescue many checks.
    keys = finished.order_by().values("pk")
    # A step that was skipped was not looked at.
    states = StepState.objects.filter(check_in__in=keys, state__in=DONE)
    counted = states.order_by().values_list("check_in")
    done = {
        key: (steps, skins)
        for key, steps, skins in counted.annotate(
            steps=Count("step", distinct=True),
            skins=Count("step", distinct=True, filter=Q(step__in=skin.steps)),
        )
    }
    seen = Observed.objects.filter(check_in__in=keys, step__in=skin.steps).exclude(status="absent")
    found = {
        key
        for key, finding in seen.order_by().values_list("check_in", "finding")
        if not book().is_benign(finding)
    }
    bare = hairless_ones()
    least = book().number("whole_check_least_pct")
    zone = timezone.get_current_timezone()
    told: dict[UUID, list[LookedOver]] = defaultdict(list)
    for key, animal, kind, started_at, planned in checks:
        steps, skins = done.get(key, (0, 0))
        expected = len(planned) or len(book().steps)
        coats = {COAT} if animal in bare else set()
        looked = skins >= len(set(skin.steps) - coats)
        told[animal].append(
            LookedOver(
                on=timezone.localdate(started_at, zone),
                whole=kind in WHOLE and steps * 100 >= expected * least,
                skin_clear=key not in found if looked else None,
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
