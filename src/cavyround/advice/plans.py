"""Plan the check of an animal of the record."""

from datetime import datetime

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.labour import with_labour_of
from cavyround.engines.check import Coverage, Plan, coverage, plan_check
from cavyround.record.building import facts_of
from cavyround.record.models import Animal, Check
from cavyround.record.reading_off import sitting_of


def plan_for(animal: Animal, now: datetime, kind: str = "full") -> Plan:
    """The plan of a check of this kind, with what is known of the animal now."""
    local = timezone.localtime(now)
    facts = with_labour_of(animal, facts_of(animal, now), now)
    return plan_check(facts, now=local, book=book(), kind=kind)


def coverage_of(check: Check) -> Coverage:
    """What a check covered of what was on its screens.

    A check sent without its plan (an older phone) is measured by the plan of today.
    """
    planned = check.planned or [
        step.code for step in plan_for(check.animal, check.started_at, check.kind).steps
    ]
    return coverage(planned, sitting_of(check).steps)
