"""Cases that nobody has said to be over or ruled out, whether or not their outbreak was closed.

Closing an outbreak ends its looks and reminders. It makes no animal well: a case stays catching
until somebody says otherwise of that animal.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cavyround.record.models import Outbreak, OutbreakCase


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenCase:
    """An animal here that is a case of ``outbreak`` and not over it."""

    animal: UUID
    outbreak: Outbreak

    @property
    def was_closed(self) -> bool:
        """Whether its outbreak was closed before it was over."""
        return hasattr(self.outbreak, "closed")


def open_cases(now: datetime) -> list[OpenCase]:
    """All of them among the animals here (foster homes too), the oldest outbreak first."""
    said = OutbreakCase.objects.filter(animal__left_on=None, made_at__lte=now)
    rows = said.select_related("outbreak__closed").order_by("outbreak__opened_on", "made_at", "id")
    last = {(row.outbreak_id, row.animal_id): row for row in rows}
    return [
        OpenCase(animal=row.animal_id, outbreak=row.outbreak)
        for row in last.values()
        if row.sure != "ruled_out" and (row.over_at is None or row.over_at > now)
    ]


def closed_with_cases(cases: Iterable[OpenCase]) -> list[Outbreak]:
    """The outbreaks that were closed while a case was not over, and still is not."""
    return list(dict.fromkeys(one.outbreak for one in cases if one.was_closed))
