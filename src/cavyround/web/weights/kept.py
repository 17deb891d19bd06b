"""What was said of the weights when they last changed, and the small plots, kept for lists.

A list of a whole herd reads what is kept; only what was never kept is reckoned now.
"""

from collections import OrderedDict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from threading import Lock
from uuid import UUID

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.storing import reading_from
from cavyround.advice.weights import norms, readings_of
from cavyround.engines.weight import read_stories
from cavyround.engines.weight.said import Reading
from cavyround.record.models import Animal, WeightSaid
from cavyround.record.weighings import weight_facts
from cavyround.web.weights.small import Spot, spots_of

SHOWN = timedelta(weeks=8)
# A herd and its neighbours; each takes a few hundred bytes.
MOST_KEPT = 2000
Key = tuple[UUID, datetime, date, str]


@dataclass(frozen=True, slots=True)
class KeptHerd:
    """What is said of each animal, and since when it is said."""

    readings: Mapping[UUID, Reading]
    said_at: Mapping[UUID, datetime]


def kept_of(animals: Sequence[Animal], now: datetime) -> KeptHerd:
    """What was last said of each animal's weights; reckoned now where nothing was kept."""
    rows = list(WeightSaid.objects.filter(animal__in=[animal.pk for animal in animals]))
    readings = {row.animal_id: reading_from(row.said) for row in rows}
    missing = [animal for animal in animals if animal.pk not in readings]
    if missing:
        readings |= readings_of(missing, now)
    return KeptHerd(readings, {row.animal_id: row.said_at for row in rows})


def spots_kept(
    animals: Sequence[Animal], herd: KeptHerd, now: datetime
) -> Mapping[UUID, tuple[Spot, ...]]:
    """The last weeks of each animal for its small plot; the same weighings are read once."""
    today, version = timezone.localdate(now), book().version
    keys: dict[UUID, Key] = {
        animal.pk: (animal.pk, herd.said_at.get(animal.pk, now), today, version)
        for animal in animals
    }
    found = {pk: kept for pk, key in keys.items() if (kept := SPOTS.get(key)) is not None}
    fresh = [animal for animal in animals if animal.pk not in found]
    if fresh:
        local = timezone.localtime(now)
        facts = weight_facts(fresh, now)
        stories = read_stories(facts, now=local, book=book(), norms=norms())
        for animal, story in zip(fresh, stories, strict=True):
            found[animal.pk] = spots_of(story, now - SHOWN)
            SPOTS.keep(keys[animal.pk], found[animal.pk])
    return found


@dataclass
class _Spots:
    """The last small plots, those used longest ago given up first."""

    rows: OrderedDict[Key, tuple[Spot, ...]] = field(default_factory=OrderedDict)
    lock: Lock = field(default_factory=Lock)

    def get(self, key: Key) -> tuple[Spot, ...] | None:
        with self.lock:
            if key in self.rows:
                self.rows.move_to_end(key)
            return self.rows.get(key)

    def keep(self, key: Key, spots: tuple[Spot, ...]) -> None:
        with self.lock:
            self.rows[key] = spots
            while len(self.rows) > MOST_KEPT:
                self.rows.popitem(last=False)


SPOTS = _Spots()
