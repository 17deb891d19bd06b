"""Why an animal is due today by its courses, in words for the list of the day."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import datetime
from uuid import UUID

from django.utils import timezone

from cavyround.advice.medicines.running import RunningCourse, courses_running
from cavyround.engines.courses import Slot, State


def dose_reasons(now: datetime, animals: Iterable[UUID] | None = None) -> Mapping[UUID, list[str]]:
    """Why animals are due today by their courses, in words: ``ivermectin, dose 2: late``."""
    found: dict[UUID, list[str]] = defaultdict(list)
    for one in courses_running(now, animals):
        slot = _due_today(one, now)
        if slot is None:
            continue
        late = ": late" if slot.state in (State.LATE, State.MISSED) else ""
        what = "dose" if one.course.is_medicine else "time"
        found[one.row.animal_id].append(f"{one.course.what}, {what} {slot.number}{late}")
    return found


def _due_today(running: RunningCourse, now: datetime) -> Slot | None:
    """The dose to be given now, or still to come today."""
    slot = running.due.next
    if slot is None:
        return None
    comes_today = slot.state is State.TO_COME and slot.day == timezone.localdate(now)
    return slot if slot.wants_giving or comes_today else None
