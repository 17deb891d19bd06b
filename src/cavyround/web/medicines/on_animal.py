"""Medicines and care on an animal's own page: what runs, what it does not bear, what keeps it."""

from datetime import datetime
from typing import Any

from cavyround.advice.medicines.running import courses_here
from cavyround.advice.medicines.withdrawal import withheld
from cavyround.record.allergies import allergies_of
from cavyround.record.models import Animal
from cavyround.web.medicines.lines import line_of

OVER_SHOWN = 6


def medicines_of(animal: Animal, now: datetime) -> dict[str, Any]:
    """What the section shows."""
    courses = courses_here(now, [animal.pk])
    over = [line_of(one) for one in courses if one.is_over]
    return {
        "running": [line_of(one) for one in courses if not one.is_over],
        "over": over[-OVER_SHOWN:][::-1],
        "allergies": allergies_of([animal.pk]).get(animal.pk, []),
        "withheld": withheld(courses, now),
    }
