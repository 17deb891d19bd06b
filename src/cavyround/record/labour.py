"""Write a labour as it goes on: it begins, things are seen, it is over. Nothing is changed."""

from dataclasses import dataclass
from datetime import datetime
from typing import NoReturn
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from cavyround.facts.labour import PUPS
from cavyround.record.animals import ImpossibleError
from cavyround.record.labour_facts import open_labour_of, standing
from cavyround.record.living import Born, keep_litter
from cavyround.record.living_standing import standing_rows
from cavyround.record.models import (
    Animal,
    Labour,
    LabourOver,
    LabourSeen,
    LabourTakenBack,
    Litter,
    Person,
)
from cavyround.record.models.entries import kept_already

NEEDS_WORDS = {
    "vet": "Say which vet, and what was said.",
    "none": "Straining that brings no pup is for the vet. Ring, and say here what the vet said.",
    "mistaken": "Say what it was instead, and who looked.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class OverSaid:
    """How a labour ended, as it was said; None of a number that nobody knows."""

    how: str
    at: datetime
    alive: int | None = None
    dead: int | None = None
    words: str = ""


@transaction.atomic
def begin_labour(
    person: Person,
    animal: Animal,
    since: datetime | None,
    now: datetime,
    *,
    entry: UUID | None = None,
) -> tuple[Labour, bool]:
    """She strains: since now, since a moment, or nobody knows (None); and whether it is new.

    Where her labour is timed already that one is given: two carers time one birth.
    """
    Animal.objects.select_for_update().get(pk=animal.pk)
    before = kept_already(Labour, entry) or open_labour_of(animal)
    if before is not None:
        return before, False
    if not animal.is_here:
        _refuse("since", f"{animal} is no longer here. Write down first that it came back.")
    if animal.sex == "boar":
        _refuse(
            "since",
            f"{animal} is written down as a boar. Straining that brings nothing is an emergency "
            "in either sex: ring the vet now. Then sex it again.",
        )
    _refuse_later(since, now)
    row = Labour(animal=animal, since=since, noticed_at=now, made_at=now, made_by=person)
    if entry is not None:
        row.pk = entry
    row.save()
    return row, True


@transaction.atomic
def see(
    person: Person,
    labour: Labour,
    what: str,
    at: datetime | None,
    now: datetime,
    *,
    sign: str = "",
    entry: UUID | None = None,
) -> LabourSeen:
    """Something was seen at a moment. It is kept of a labour that is over too: nothing is lost."""
    before = kept_already(LabourSeen, entry)
    if before is not None:
        return before
    if at is None and what != "since":
        at = now
    _refuse_later(at, now)
    first = [one.at for one in standing(labour) if one.what != "since" and one.at is not None]
    if what == "since" and at is not None and first and at > min(first):
        _refuse("at", "Something was seen of this birth before that. When did she begin?")
    row = LabourSeen(labour=labour, what=what, at=at, sign=sign, made_at=now, made_by=person)
    if entry is not None:
        row.pk = entry
    row.save()
    return row


@transaction.atomic
def take_back(person: Person, seen: LabourSeen, now: datetime) -> None:
    """It was a slip of the thumb; taking it back twice is harmless."""
    if not seen.taken_back.exists():
        LabourTakenBack(seen=seen, made_at=now, made_by=person).save()


@transaction.atomic
def end_labour(person: Person, labour: Labour, said: OverSaid, now: datetime) -> LabourOver:
    """It is over. Where pups were born the litter is written down with it, once."""
    Animal.objects.select_for_update().get(pk=labour.animal_id)
    before: LabourOver | None = labour.ends.first()
    if before is not None:
        words = f"{before.made_by} closed it already: {before.get_how_display().lower()}."
        _refuse("", words)
    _refuse_later(said.at, now)
    _refuse_before(labour, said.at)
    if said.how in NEEDS_WORDS and not said.words.strip():
        _refuse("words", NEEDS_WORDS[said.how])
    pups = [one for one in standing(labour) if one.what in PUPS]
    counted = None if said.alive is None or said.dead is None else said.alive + said.dead
    if counted is not None and counted < len(pups):
        words = f"{len(pups)} were written down as born, and this makes {counted}. Which is right?"
        _refuse("alive", words)
    if said.how in ("none", "mistaken") and pups:
        words = f"{len(pups)} of this birth were written down as born. Take them back first."
        _refuse("how", words)
    row = LabourOver(
        labour=labour,
        how=said.how,
        at=said.at,
        litter=_litter(person, labour, said, pups, now),
        words=said.words.strip(),
        made_at=now,
        made_by=person,
    )
    row.save()
    return row


def _litter(
    person: Person, labour: Labour, said: OverSaid, pups: list[LabourSeen], now: datetime
) -> Litter | None:
    """The litter of this birth: the one somebody wrote down meanwhile, or a new one."""
    if said.how == "born" and said.alive == 0 and said.dead == 0:
        _refuse("how", "No pup was born? Then it is not over: ring the vet.")
    if said.how != "born" and not pups:
        return None
    if said.how == "born" and said.alive is None and said.dead is None and not pups:
        _refuse("alive", "Say how many were born, as far as anybody saw.")
    born_at = min((one.at for one in pups if one.at is not None), default=said.at)
    day = timezone.localdate(born_at)
    known: Litter | None = standing_rows(Litter).filter(dam=labour.animal, born_on__gte=day).first()
    if known is not None:
        return known
    note = "born in the labour that was timed"
    born = Born(on=day, alive=said.alive, dead=said.dead, note=note)
    return keep_litter(person, labour.animal, born, now, watched=True)


def _refuse(field: str, words: str) -> NoReturn:
    raise ImpossibleError(field, words)


def _refuse_later(at: datetime | None, now: datetime) -> None:
    if at is not None and at > now:
        _refuse("at", "That lies in the future. Say when it was.")


def _refuse_before(labour: Labour, at: datetime) -> None:
    begun = labour.since or labour.noticed_at
    last = max([begun, *(one.at for one in standing(labour) if one.at is not None)])
    # Whoever types a time types no seconds.
    if at < last.replace(second=0, microsecond=0):
        _refuse("at", "She was seen straining, or a pup came, after that. When was it over?")
