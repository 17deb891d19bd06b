"""When an animal counts as able to sire or to conceive. Unknown counts as able."""

from dataclasses import dataclass
from datetime import date, timedelta

from cavyround.engines.breeding.sexing import sex_of
from cavyround.facts.animal import Known, Sex
from cavyround.facts.breeding import Breeder
from cavyround.knowledge.book import Knowledge


@dataclass(frozen=True, slots=True, kw_only=True)
class Fertile:
    """From which day an animal counts as fertile, and until before which (None: no end known)."""

    since: date | None
    until: date | None
    why: str

    def on(self, day: date) -> bool:
        """Whether it counts as fertile on a day."""
        return (self.since is None or day >= self.since) and (
            self.until is None or day < self.until
        )


def castrated_wait(book: Knowledge) -> timedelta:
    """How long a castrated boar still counts as fertile: the longer published time."""
    return timedelta(weeks=int(book.span("castrated_wait_weeks").high))


def as_sire(animal: Breeder, book: Knowledge) -> Fertile | None:
    """When it may sire; None where it cannot, being a sow."""
    known = sex_of(animal)
    if Sex.BOAR not in known.may_be:
        return None
    since = _of_age(animal, "mating_from_days", book)
    doubt = "" if known.sex is Sex.BOAR else f" {known.words}"
    if animal.castrated_on is not None and animal.neutered is not Known.NO:
        until = animal.castrated_on + castrated_wait(book)
        why = f"castrated on {animal.castrated_on:%d %B %Y}: fertile until {until:%d %B %Y}"
        return Fertile(since=since, until=until, why=why + doubt)
    if animal.neutered is Known.YES:
        # The day is not known: at worst it was the day before it came.
        until = (animal.first_seen_on or date.min) + castrated_wait(book)
        why = "castrated, nobody wrote down when: counted from the day it came"
        return Fertile(since=since, until=until, why=why + doubt)
    entire = "entire boar" if animal.neutered is Known.NO else "not known to be neutered"
    return Fertile(since=since, until=None, why=entire + doubt)


def as_dam(animal: Breeder, book: Knowledge) -> Fertile | None:
    """When she may conceive; None where she cannot: a boar, or spayed."""
    known = sex_of(animal)
    if Sex.SOW not in known.may_be or (animal.neutered is Known.YES and known.sex is Sex.SOW):
        return None
    doubt = "" if known.sex is Sex.SOW else f" {known.words}"
    return Fertile(
        since=_of_age(animal, "conceives_from_days", book),
        until=None,
        why="sow of breeding age" + doubt,
    )


def _of_age(animal: Breeder, threshold: str, book: Knowledge) -> date | None:
    """The first day it may be old enough; None where its age has no bound."""
    if animal.born.earliest is None:
        return None
    return animal.born.earliest + timedelta(days=int(book.number(threshold)))
