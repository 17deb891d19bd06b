"""What was said of the weights when they last changed, and the small plots, kept for lists.

A list of a whole herd reads what is kept; only what was never kept is reckoned now.
"""

from collections import OrderedDict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from functools import lru_cache
from threading import Lock
from uuid import UUID

from django.db.models import Exists, OuterRef, QuerySet
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.storing import reading_from
from cavyround.advice.weights import norms, readings_of
from cavyround.engines.weight import HerdNorms, read_stories, read_story
from cavyround.engines.weight.said import Reading, Story
from cavyround.facts.animal import AnimalFacts
from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import Animal, WeighIn, WeightSaid
from cavyround.record.weighings import weight_facts
from cavyround.web.weights.saying import due_at
from cavyround.web.weights.small import Spot, spots_of

SHOWN = timedelta(weeks=8)
# A herd and its neighbours; each takes a few hundred bytes.
MOST_KEPT = 2000
# The animals that are being looked at; a story of years takes a megabyte.
STORIES_KEPT = 32
Key = tuple[UUID, datetime, date, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Where one animal stands in the herd: enough to rank and to count it."""

    id: UUID
    name: str
    weighed: bool = False
    level: int = 0
    score: float = 0.0
    kind: str = ""
    due_at: datetime | None = None
    said_at: datetime | None = None

    @property
    def order(self) -> tuple[float, bool, float, str]:
        """The most urgent first, then those never weighed, then the nearest to an alarm."""
        return (-self.level, self.weighed, -self.score, self.name)


def standings_of(animals: QuerySet[Animal], now: datetime) -> list[Standing]:
    """Where each animal stands, the most urgent first; none is reckoned anew that was kept."""
    said = [f"weight_said__{name}" for name in SAID]
    found = [_standing(*row) for row in animals.order_by().values_list("pk", "name", *said)]
    silent = [one.id for one in found if one.said_at is None]
    if silent:
        fresh = _never_kept(silent, now)
        found = [fresh.get(one.id, one) for one in found]
    return sorted(found, key=lambda one: one.order)


SAID = ("last_at", "level", "score", "kind", "weigh_next_at", "said_at")


def _standing(
    pk: UUID,
    name: str,
    last_at: datetime | None,
    level: int | None,
    score: float | None,
    kind: str | None,
    due_at: datetime | None,
    said_at: datetime | None,
) -> Standing:
    return Standing(
        id=pk,
        name=name,
        weighed=last_at is not None,
        level=level or 0,
        score=score or 0.0,
        kind=(kind or "") if level else "",
        due_at=due_at,
        said_at=said_at,
    )


def _never_kept(ids: Sequence[UUID], now: datetime) -> dict[UUID, Standing]:
    """Those weighed of whom nothing is kept, as after a change of the tables: reckoned now."""
    weighed = WeighIn.objects.filter(animal=OuterRef("pk"))
    animals = list(Animal.objects.filter(Exists(weighed), pk__in=ids))
    readings = readings_of(animals, now) if animals else {}
    return {
        one.pk: Standing(
            id=one.pk,
            name=one.name,
            weighed=True,
            level=int(readings[one.pk].alarm.level),
            score=readings[one.pk].alarm.score,
            kind=kind_of(readings[one.pk]),
            due_at=due_at(readings[one.pk]),
        )
        for one in animals
    }


def kind_of(reading: Reading) -> str:
    """The kind of the alarm as a code; empty where nothing is said."""
    alarm = reading.alarm
    return alarm.kind.value if alarm.kind and alarm.level > Urgency.NORMAL else ""


def kept_readings(ids: Sequence[UUID], now: datetime) -> Mapping[UUID, Reading]:
    """What was last said of each animal's weights; reckoned now where nothing was kept."""
    rows = WeightSaid.objects.filter(animal__in=ids).values_list("animal", "said")
    readings = {pk: reading_from(said) for pk, said in rows}
    missing = [pk for pk in ids if pk not in readings]
    if missing:
        readings |= readings_of(list(Animal.objects.filter(pk__in=missing)), now)
    return readings


def spots_kept(standings: Sequence[Standing], now: datetime) -> Mapping[UUID, tuple[Spot, ...]]:
    """The last weeks of each animal for its small plot; the same weighings are read once."""
    today, version = timezone.localdate(now), book().version
    keys: dict[UUID, Key] = {
        one.id: (one.id, one.said_at, today, version) for one in standings if one.said_at
    }
    found: dict[UUID, tuple[Spot, ...]] = {
        pk: kept for pk, key in keys.items() if (kept := SPOTS.get(key)) is not None
    }
    fresh = [one.id for one in standings if one.id not in found]
    if fresh:
        animals = list(Animal.objects.filter(pk__in=fresh))
        stories = read_stories(
            weight_facts(animals, now),
            now=timezone.localtime(now),
            book=book(),
            norms=norms(),
        )
        for animal, story in zip(animals, stories, strict=True):
            found[animal.pk] = spots_of(story, now - SHOWN)
            if animal.pk in keys:
                SPOTS.keep(keys[animal.pk], found[animal.pk])
    return found


def story_kept(animal: Animal, now: datetime) -> Story:
    """The story of one animal as of the end of this hour; the same weighings are read once."""
    [facts] = weight_facts([animal], now, looked_at=None)
    hour = timezone.localtime(now).replace(minute=0, second=0, microsecond=0)
    return _story(facts, hour + timedelta(hours=1), norms(), book().version)


@lru_cache(maxsize=STORIES_KEPT)
def _story(facts: AnimalFacts, at: datetime, learned: HerdNorms, _version: str) -> Story:
    return read_story(facts, now=at, book=book(), norms=learned)


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
