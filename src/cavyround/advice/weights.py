"""What the weights of the rescue's animals say, from the record; and what the herd has taught."""

import logging
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.storing import as_json
from cavyround.engines.weight import (
    HerdNorms,
    learn,
    read_herd,
    read_stories,
    with_plain_signs,
)
from cavyround.engines.weight.said import Expected, Reading, Story
from cavyround.record.changes import weights_changed
from cavyround.record.models import Animal, HerdTaught, WeightSaid
from cavyround.record.weighings import weight_facts
from cavyround.record.weights_said import (
    forget_weights_said,
    keep_taught,
    keep_weights_said,
)

log = logging.getLogger(__name__)
# The herd is learned from animals here now: so many say enough, and more would cost time.
LEARNED_FROM = 400
UID = "what the weights say"
# The score of an animal that was never weighed: behind all that were.
NOTHING_SAID = -100.0


def norms() -> HerdNorms:
    """What the herd had taught when it last was asked; nothing before the first time."""
    taught = HerdTaught.objects.first()
    if taught is None:
        return HerdNorms()
    return HerdNorms(
        noise_pct=taught.noise_pct,
        wander_pct=taught.wander_pct,
        growth_per_day=taught.growth_per_day,
        weighings=taught.weighings,
    )


def learn_from_herd(now: datetime) -> HerdNorms:
    """Learn from the herd's weighings, once a day, and keep it."""
    today = timezone.localdate(now)
    if HerdTaught.objects.filter(on=today).exists():
        return norms()
    herd = list(Animal.objects.filter(left_on=None).order_by("pk")[:LEARNED_FROM])
    taught = learn(weight_facts(herd, now), book=book())
    if taught.weighings:
        keep_taught(today, asdict(taught))
    return taught


def readings_of(animals: Sequence[Animal], now: datetime) -> Mapping[UUID, Reading]:
    """What the weights of each animal say now, reckoned from its weighings."""
    local = timezone.localtime(now)  # the engines count days in the rescue's zone
    herd = weight_facts(animals, now)
    said = read_herd(herd, now=local, book=book(), norms=norms())
    return {
        animal.pk: with_plain_signs(said[facts.id], facts, now=local, book=book())
        for animal, facts in zip(animals, herd, strict=True)
    }


def expected_of(animals: Sequence[Animal], now: datetime) -> Mapping[UUID, Expected]:
    """What the next weighing of each animal should show."""
    readings = readings_of(animals, now)
    return {key: one.expected for key, one in readings.items() if one.expected is not None}


def stories_of(animals: Sequence[Animal], now: datetime) -> Mapping[UUID, Story]:
    """All weighings of each animal, each as it was on its day, and what they say now."""
    local = timezone.localtime(now)
    herd = weight_facts(animals, now, looked_at=None)
    stories = read_stories(herd, now=local, book=book(), norms=norms())
    return {animal.pk: story for animal, story in zip(animals, stories, strict=True)}


def story_of(animal: Animal, now: datetime) -> Story:
    """The same of one animal."""
    return stories_of([animal], now)[animal.pk]


@transaction.atomic
def keep_said(animals: Iterable[UUID], now: datetime) -> None:
    """Reckon anew what the weights of some animals say, and keep it for the pages.

    To be called whenever a weighing of theirs came, went or changed.
    """
    herd = list(Animal.objects.filter(pk__in=set(animals)))
    if not herd:
        return
    learn_from_herd(now)
    rows = [_kept(key, one, now) for key, one in readings_of(herd, now).items()]
    keep_weights_said(rows)


@contextmanager
def held_back(now: datetime) -> Iterator[None]:
    """While much is written at once, wait; then reckon for every animal here, once."""
    weights_changed.disconnect(dispatch_uid=UID)
    try:
        yield
        keep_said(Animal.objects.filter(left_on=None).values_list("pk", flat=True), now)
    finally:
        keep_up()


def keep_up() -> None:
    """Keep what is said up with the record from now on, whoever writes it."""
    weights_changed.connect(_changed, dispatch_uid=UID)


def _changed(*, animals: Iterable[UUID], now: datetime, **_: object) -> None:
    try:
        keep_said(animals, now)
    except Exception:
        # What was kept is no longer true: without it the pages reckon anew and say what broke.
        log.exception("What the weights say could not be kept")
        forget_weights_said(animals)


def _kept(animal: UUID, reading: Reading, now: datetime) -> WeightSaid:
    alarm = reading.alarm
    due = None
    if reading.last_at is not None and reading.weigh_again_in is not None:
        due = reading.last_at + reading.weigh_again_in
    said: Any = as_json(reading)
    return WeightSaid(
        animal_id=animal,
        last_at=reading.last_at,
        said_at=now,
        level=int(alarm.level),
        kind=alarm.kind.value if alarm.kind else "",
        score=alarm.score if reading.weighings else NOTHING_SAID,
        weigh_next_at=due,
        weigh_why=reading.weigh_why,
        said=said,
    )
