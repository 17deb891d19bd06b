"""What checks say of the exposed: where what it shows by was really looked at, and what was found.

A look counts where a finished check did every step that this infection is looked for by. Where
one of them was skipped, or never on the screen, nobody looked. A sign counts wherever it was
seen, in an unfinished check too, until somebody says whether the animal is a case.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from django.db.models import Count, Q
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.facts.sitting import StepStatus
from cavyround.knowledge.contagion import OutbreakKind
from cavyround.record.models import Animal, Check, Observed, Outbreak, OutbreakCase, StepState
from cavyround.record.models.checks import CheckKind

# A look counts where hands and eyes were on the animal, not a weighing or a note.
LOOKS = (CheckKind.FULL, CheckKind.ARRIVAL, CheckKind.RECHECK, CheckKind.QUICK)
DONE = (StepStatus.NORMAL, StepStatus.FOUND)
# A hairless animal has no coat to part: the step is on none of its checks.
COAT, HAIRLESS = "coat", "hairless"


@dataclass(frozen=True, slots=True)
class Looks:
    """By animal: when it was looked at and clear, and since when a sign waits for a word."""

    clear: Mapping[str, Sequence[datetime]] = field(default_factory=dict)
    signs: Mapping[str, datetime] = field(default_factory=dict)


def looks_of(
    outbreak: Outbreak, kind: OutbreakKind, animals: set[UUID], since: datetime, now: datetime
) -> Looks:
    """What was looked at and found in ``animals`` since the first signs of an outbreak."""
    said = _last_said(outbreak, now)
    signs: dict[str, datetime] = {}
    found_in: set[UUID] = set()
    for check, animal, finding, at in _seen(kind, since, now):
        if animal not in animals or book().is_benign(finding):
            continue
        # Said to be a case, or to be none, after it was seen: it waits no longer.
        if animal in said and said[animal] >= at:
            continue
        found_in.add(check)
        signs[str(animal)] = max(at, signs.get(str(animal), at))
    clear: dict[str, list[datetime]] = defaultdict(list)
    for check, animal, at in _whole_looks(kind, since, now):
        if animal in animals and check not in found_in:
            clear[str(animal)].append(at)
    return Looks(clear, signs)


def _last_said(outbreak: Outbreak, now: datetime) -> dict[UUID, datetime]:
    rows = OutbreakCase.objects.filter(outbreak=outbreak, made_at__lte=now)
    return dict(rows.order_by("made_at", "id").values_list("animal", "made_at"))


def _seen(
    kind: OutbreakKind, since: datetime, now: datetime
) -> Iterable[tuple[UUID, UUID, str, datetime]]:
    """Findings where it is looked for, and its own signs anywhere; not what was known before."""
    # From the animals that were here: the findings of years are not read from end to end.
    there = Animal.objects.filter(Q(left_on=None) | Q(left_on__gte=timezone.localdate(since)))
    seen = Observed.objects.filter(
        Q(step__in=kind.looks) | Q(finding__in=kind.signs),
        animal__in=there.order_by().values("pk"),
        at__gte=since,
        at__lte=now,
    )
    return (
        seen.exclude(status="absent")
        .exclude(mark__isnull=False, mark__made_at__lt=since)
        .order_by()
        .values_list("check_in", "animal", "finding", "at")
    )


def _whole_looks(
    kind: OutbreakKind, since: datetime, now: datetime
) -> Iterable[tuple[UUID, UUID, datetime]]:
    checks = Check.objects.filter(
        kind__in=LOOKS, finished_at__isnull=False, started_at__gte=since, started_at__lte=now
    )
    done = StepState.objects.filter(
        check_in__in=checks.order_by().values("pk"), step__in=kind.looks, state__in=DONE
    )
    steps = done.order_by().values("check_in").annotate(all=Count("step", distinct=True))
    counted = dict(steps.values_list("check_in", "all"))
    bare = hairless_ones()
    for check, animal, at in checks.order_by().values_list("pk", "animal", "started_at"):
        wanted = set(kind.looks) - ({COAT} if animal in bare else set())
        if counted.get(check, 0) >= len(wanted):
            yield check, animal, at


def hairless_ones() -> frozenset[UUID]:
    """The animals here without a coat: it is not looked at in them."""
    told = Animal.objects.filter(left_on=None).exclude(coat=[]).order_by().values_list("pk", "coat")
    return frozenset(key for key, coat in told if HAIRLESS in coat)
