"""Labours that are timed now: what is to be said of each, and what triage knows of them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.engines.breeding import (
    LabourCall,
    Reason,
    labour,
    labour_seen,
    possible_first_litter,
)
from cavyround.engines.breeding.reasons import to_do
from cavyround.facts.animal import AnimalFacts, Event
from cavyround.facts.labour import PUPS, LabourFacts, Seen
from cavyround.facts.observation import Observation
from cavyround.record.breeding_facts import breeders_of
from cavyround.record.labour_facts import (
    as_labour,
    labour_facts,
    open_labour_of,
    open_labours,
    standing_of,
)
from cavyround.record.models import Animal, Labour, LabourSeen

OVER_LIMIT = "labour_over_limit"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourNow:
    """One labour at this moment: its facts, what the engine says, what was seen, what is done."""

    row: Labour
    told: LabourFacts
    call: LabourCall
    seen: tuple[LabourSeen, ...]
    straining_since: datetime | None
    now: datetime

    @property
    def is_straining(self) -> bool:
        """Whether she strains by the last word."""
        return self.straining_since is not None

    @property
    def last_pup_at(self) -> datetime | None:
        """When the last pup came; None where none has."""
        return self.told.pups_at[-1] if self.told.pups_at else None

    @property
    def pups(self) -> int:
        """How many have come."""
        return self.told.count(*PUPS)

    @property
    def alive(self) -> int:
        """How many were born alive, as far as was said."""
        return self.told.count(Seen.PUP_ALIVE)

    @property
    def dead(self) -> int:
        """How many were born dead, as far as was said."""
        return self.told.count(Seen.PUP_DEAD)


def labours_now(now: datetime) -> list[LabourNow]:
    """Every labour nobody has closed: those for which the vet is rung first."""
    rows = open_labours()
    if not rows:
        return []
    seen = standing_of(rows)
    found = [labour_now(row, now, seen[row.pk]) for row in rows]
    return sorted(found, key=lambda one: not one.call.ring_now)


def labour_now(row: Labour, now: datetime, seen: Sequence[LabourSeen]) -> LabourNow:
    """One labour, with what was seen of it."""
    told = as_labour(row, seen)
    counted = labour_seen(told, book=book())
    return LabourNow(
        row=row,
        told=told,
        call=labour(counted, now=timezone.localtime(now), book=book()),
        seen=tuple(seen),
        straining_since=counted.straining_since,
        now=now,
    )


def labour_of(animal: Animal, now: datetime) -> LabourNow | None:
    """The labour of this one that nobody has closed."""
    row = open_labour_of(animal)
    return None if row is None else labour_now(row, now, standing_of([row])[row.pk])


def care_in_labour(animal: Animal, now: datetime) -> tuple[Reason, ...]:
    """What is done while she gives birth."""
    wanted = ["labour_watch", "labour_hands_off", "labour_boar_out"]
    [breeder] = breeders_of([animal], now)
    if possible_first_litter(breeder, timezone.localdate(now), book()).late:
        wanted.insert(0, "labour_late_first")
    return tuple(to_do(book(), care) for care in wanted)


def with_labours(facts: Mapping[UUID, AnimalFacts], now: datetime) -> dict[UUID, AnimalFacts]:
    """The facts of many with what their labours say."""
    told = labour_facts(list(facts)) if facts else {}
    return {
        key: with_labour(own, told[key], now) if key in told else own for key, own in facts.items()
    }


def with_labour_of(animal: Animal, facts: AnimalFacts, now: datetime) -> AnimalFacts:
    """The facts of one with what her labour says, if one is timed."""
    return with_labours({animal.pk: facts}, now)[animal.pk]


def with_labour(facts: AnimalFacts, told: LabourFacts, now: datetime) -> AnimalFacts:
    """That she strains, counted from the last pup, and that it lasts too long where it does.

    A start nobody knows stays not known, which the rules take as long enough.
    """
    local = timezone.localtime(now)
    counted = labour_seen(told, book=book())
    observations, events = facts.observations, facts.events
    if counted.straining_since is not None:
        began = None if counted.start_unknown else max([counted.straining_since, *told.pups_at])
        strains = Observation(region="vulva", finding="straining_birth", began_at=began)
        observations = (*observations, strains)
    if labour(counted, now=local, book=book()).ring_now:
        events = (*events, Event(what=OVER_LIMIT, on=local.date()))
    return replace(facts, observations=observations, events=events)
