"""Labours as facts, read from the record; what was taken back is left out."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from datetime import datetime
from uuid import UUID

from django.utils import timezone

from cavyround.facts.labour import LabourFacts, LabourSeen, Seen
from cavyround.record import models


def open_labours(animals: Collection[UUID] | None = None) -> list[models.Labour]:
    """Labours that nobody has closed, of these or of all that are here; the first begun on top."""
    rows = models.Labour.objects.filter(ends=None)
    here_only = animals is None
    rows = rows.filter(animal__left_on=None) if here_only else rows.filter(animal__in=animals)
    return list(rows.select_related("animal__pen__room", "made_by").order_by("noticed_at", "id"))


def open_labour_of(animal: models.Animal) -> models.Labour | None:
    """The labour of this animal that nobody has closed."""
    return models.Labour.objects.filter(animal=animal, ends=None).order_by("-noticed_at").first()


def standing(labour: models.Labour) -> list[models.LabourSeen]:
    """What was seen of a labour and not taken back, in the order it happened."""
    return standing_of([labour])[labour.pk]


def standing_of(labours: Iterable[models.Labour]) -> Mapping[UUID, list[models.LabourSeen]]:
    """The same of many, by the key of the labour; one query for all."""
    found: dict[UUID, list[models.LabourSeen]] = defaultdict(list)
    rows = models.LabourSeen.objects.filter(labour__in=list(labours), taken_back=None)
    for row in rows.select_related("made_by").order_by("made_at", "id"):
        found[row.labour_id].append(row)
    for own in found.values():
        own.sort(key=lambda one: (one.at or one.made_at, one.pk))
    return found


def as_labour(row: models.Labour, seen: Iterable[models.LabourSeen]) -> LabourFacts:
    """One labour as the engines know it. Of its start the last word stands, not the latest time."""
    listed = list(seen)
    starts = sorted((one for one in listed if one.what == Seen.SINCE), key=lambda one: one.made_at)
    others = [one for one in listed if one.what != Seen.SINCE]
    return LabourFacts(
        since=_local(row.since),
        noticed_at=timezone.localtime(row.noticed_at),
        seen=tuple(
            LabourSeen(what=Seen(one.what), at=_local(one.at), sign=one.sign, id=str(one.pk))
            for one in (*starts, *others)
        ),
    )


def labour_facts(animals: Collection[UUID]) -> Mapping[UUID, LabourFacts]:
    """The open labour of each of these animals that has one."""
    rows = open_labours(animals)
    seen = standing_of(rows) if rows else {}
    return {row.animal_id: as_labour(row, seen[row.pk]) for row in rows}


def _local(at: datetime | None) -> datetime | None:
    return None if at is None else timezone.localtime(at)
