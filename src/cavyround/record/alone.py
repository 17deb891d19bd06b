"""Write and read why an animal lives alone. The last word that was not ended stands."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from cavyround.record.animals import ImpossibleError
from cavyround.record.models import Animal, LivesAlone, LivesAloneEnd, Person

REPLACED = "said anew"


@dataclass(frozen=True, slots=True, kw_only=True)
class AloneSaid:
    """Why an animal lives alone, as it was said."""

    because: str
    on: date
    said_by: str = ""
    words: str = ""


@transaction.atomic
def keep_alone(person: Person, animal: Animal, said: AloneSaid, now: datetime) -> LivesAlone:
    """Say why an animal lives alone; what was said before ends with it."""
    _refuse_day(animal, said.on, now)
    if said.because == "medical" and not said.said_by.strip():
        field, words = (
            "said_by",
            "Say which vet wants it alone: only a vet's word keeps company off.",
        )
        raise ImpossibleError(field, words)
    if said.because == "other" and not said.words.strip():
        field, words = "words", "Say in your own words why it lives alone."
        raise ImpossibleError(field, words)
    before = alone_now([animal.pk]).get(animal.pk)
    if before is not None:
        on = max(before.on, said.on)
        LivesAloneEnd(alone=before, on=on, why=REPLACED, made_at=now, made_by=person).save()
    row = LivesAlone(
        animal=animal,
        because=said.because,
        on=said.on,
        said_by=said.said_by.strip(),
        words=said.words.strip(),
        made_at=now,
        made_by=person,
    )
    row.save()
    return row


def end_alone(
    person: Person, alone: LivesAlone, on: date, why: str, now: datetime
) -> LivesAloneEnd:
    """It no longer lives alone, or the reason no longer holds."""
    if alone.ends.exists():
        field, words = "", "Somebody ended this already; nothing is to be done."
        raise ImpossibleError(field, words)
    _refuse_day(alone.animal, on, now)
    if on < alone.on:
        field, words = (
            "on",
            f"That lies before it began, on {alone.on:%d %B %Y}. Which day is right?",
        )
        raise ImpossibleError(field, words)
    if not why.strip():
        field, words = "why", "Say what changed: who reads it later must understand it."
        raise ImpossibleError(field, words)
    end = LivesAloneEnd(alone=alone, on=on, why=why.strip(), made_at=now, made_by=person)
    end.save()
    return end


def alone_now(animals: Collection[UUID]) -> Mapping[UUID, LivesAlone]:
    """What stands for each of these animals; one query for all."""
    rows = LivesAlone.objects.filter(animal__in=animals, ends=None).select_related("made_by")
    return {row.animal_id: row for row in rows.order_by("made_at", "id")}


def _refuse_day(animal: Animal, day: date, now: datetime) -> None:
    if day > timezone.localdate(now):
        field, words = "on", "This day lies in the future. Say since when it is so."
        raise ImpossibleError(field, words)
    if animal.born_earliest is not None and day < animal.born_earliest:
        field, words = "on", "That lies before it was born. Look at the day again."
        raise ImpossibleError(field, words)
