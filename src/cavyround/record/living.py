"""Write sexings, castrations, litters, bonds and quarrels, introductions."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db import transaction
from django.utils import timezone

from cavyround.record.animals import ImpossibleError, state
from cavyround.record.litter_sense import refuse_impossible_litter, refuse_impossible_pups
from cavyround.record.models import (
    Animal,
    Castration,
    Introduced,
    Introduction,
    IntroductionOutcome,
    Litter,
    LitterPup,
    Pen,
    Person,
    PupsFelt,
    Sexing,
    Tie,
)

AT_LEAST_TWO = 2
MOST_PUPS = 13
# Boars are neutered from about three weeks; a day long before that is a slip. Our own judgement.
CASTRATED_FROM = timedelta(days=10)


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """A sexing as it was said."""

    sex: str
    sure: str
    how: str = ""
    looked_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Born:
    """A litter as it was said."""

    on: date
    alive: int | None = None
    dead: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Between:
    """A bond or a quarrel as it was said."""

    kind: str
    on: date
    words: str = ""


def keep_sexing(person: Person, animal: Animal, look: Look, now: datetime) -> Sexing:
    """Somebody looked at the sex of an animal. What it counts as is stated by advice."""
    said = Sexing(
        animal=animal,
        sex=look.sex,
        sure=look.sure,
        how=look.how,
        looked_by=look.looked_by,
        made_at=now,
        made_by=person,
    )
    said.save()
    return said


@transaction.atomic
def keep_castration(
    person: Person, animal: Animal, on: date, now: datetime, *, by_whom: str = ""
) -> Castration:
    """The day an animal was neutered; it is stated as neutered with it."""
    _refuse_future("on", on, now)
    born = animal.born_earliest
    if born is not None and on < born + CASTRATED_FROM:
        words = (
            f"{animal} was born on {born.day} {born:%B %Y} at the earliest. On this day it was "
            "not yet born, or too young for it. Which day is right?"
        )
        field = "on"
        raise ImpossibleError(field, words)
    said = Castration(animal=animal, on=on, by_whom=by_whom, made_at=now, made_by=person)
    said.save()
    if animal.neutered != "yes":
        state(person, animal, {"neutered": "yes"}, f"neutered on {on:%d %B %Y}", now)
    return said


def keep_pups_felt(
    person: Person,
    animal: Animal,
    on: date,
    now: datetime,
    *,
    moving: bool = False,
    sure: bool = True,
    pups: int | None = None,
    said_by: str = "",
) -> PupsFelt:
    """Pups were felt or seen."""
    _refuse_future("on", on, now)
    _refuse_boar(animal, "on")
    felt = PupsFelt(
        animal=animal,
        on=on,
        moving=moving,
        sure=sure,
        pups=pups,
        said_by=said_by,
        made_at=now,
        made_by=person,
    )
    felt.save()
    return felt


@transaction.atomic
def keep_litter(
    person: Person,
    dam: Animal,
    born: Born,
    now: datetime,
    *,
    pups: Collection[Animal] = (),
    watched: bool = False,
) -> Litter:
    """A litter with those of its pups that have a page; the mother is pregnant no more.

    ``watched``: somebody saw the birth, so what else is written down of her cannot refuse it.
    """
    _refuse_future("born_on", born.on, now)
    _refuse_boar(dam, "dam")
    if not watched:
        refuse_impossible_litter(dam, born.on, born.alive, born.dead)
    refuse_impossible_pups(dam, born.on, pups)
    litter = Litter(
        dam=dam,
        born_on=born.on,
        born_alive=born.alive,
        born_dead=born.dead,
        note=born.note,
        made_at=now,
        made_by=person,
    )
    litter.save()
    for pup in pups:
        LitterPup(litter=litter, animal=pup, made_at=now, made_by=person).save()
    if dam.pregnant in ("yes", "possible"):
        state(person, dam, {"pregnant": "unknown", "due_from": None}, "has given birth", now)
    return litter


@transaction.atomic
def add_pups(person: Person, litter: Litter, pups: Collection[Animal], now: datetime) -> None:
    """More pups of a litter have a page now."""
    refuse_impossible_pups(litter.dam, litter.born_on, pups)
    for pup in pups:
        LitterPup(litter=litter, animal=pup, made_at=now, made_by=person).save()


def keep_tie(person: Person, one: Animal, other: Animal, said: Between, now: datetime) -> Tie:
    """A bond or a quarrel of two animals."""
    _refuse_future("on", said.on, now)
    if one.pk == other.pk:
        field, words = "other", "These are one animal. Choose the other of the two."
        raise ImpossibleError(field, words)
    tie = Tie(
        one=one,
        other=other,
        kind=said.kind,
        on=said.on,
        words=said.words,
        made_at=now,
        made_by=person,
    )
    tie.save()
    return tie


@transaction.atomic
def begin_introduction(
    person: Person,
    animals: Collection[Animal],
    now: datetime,
    *,
    pen: Pen | None = None,
    began_at: datetime | None = None,
    words: str = "",
) -> Introduction:
    """Two or more animals are introduced to each other from a moment on."""
    if len({animal.pk for animal in animals}) < AT_LEAST_TWO:
        field, why = "animals", "It takes two to be introduced. Choose at least two animals."
        raise ImpossibleError(field, why)
    began = Introduction(
        pen=pen, began_at=began_at or now, words=words, made_at=now, made_by=person
    )
    began.save()
    for animal in animals:
        Introduced(introduction=began, animal=animal, made_at=now, made_by=person).save()
    return began


def end_introduction(
    person: Person, introduction: Introduction, outcome: str, now: datetime, *, words: str = ""
) -> IntroductionOutcome:
    """Say how an introduction went."""
    said = IntroductionOutcome(
        introduction=introduction, outcome=outcome, words=words, made_at=now, made_by=person
    )
    said.save()
    return said


def _refuse_future(field: str, day: date, now: datetime) -> None:
    if day > timezone.localdate(now):
        words = "This day lies in the future. Say when it was."
        raise ImpossibleError(field, words)


def _refuse_boar(animal: Animal, field: str) -> None:
    if animal.sex == "boar":
        words = f"{animal} is written down as a boar. Is the sex right? Sex it again first."
        raise ImpossibleError(field, words)
