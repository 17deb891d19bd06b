"""Sows that may give birth and litters, from the record."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property
from uuid import UUID

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.engines.breeding import Expecting, LitterState, expecting, litter_state, sex_of
from cavyround.facts.breeding import Breeder
from cavyround.facts.stays import Stay
from cavyround.record.animals import state
from cavyround.record.breeding_facts import animals_that_matter, breeders_of, litters_since
from cavyround.record.living import Look, keep_sexing
from cavyround.record.meetings import meetings_of
from cavyround.record.models import Animal, Person, Sexing
from cavyround.record.stays import stays_of
from cavyround.record.taking_back import sex_before, take_back_living

# A litter is followed until its pups are surely weaned and parted. Our own judgement.
FOLLOWED = timedelta(days=42)


@dataclass(frozen=True)
class BreedingNow:
    """Everything about breeding at one moment, read once."""

    now: datetime

    @cached_property
    def rows(self) -> list[Animal]:
        """The animals here, and those that left lately."""
        return animals_that_matter(self.now)

    @cached_property
    def breeders(self) -> list[Breeder]:
        """The same as facts."""
        return breeders_of(self.rows, self.now)

    @cached_property
    def stays(self) -> list[Stay]:
        """Where they were."""
        return stays_of([row.pk for row in self.rows])

    @cached_property
    def meetings(self) -> list[Stay]:
        """Where they met outside their pens."""
        return meetings_of([row.pk for row in self.rows])

    @cached_property
    def by_id(self) -> Mapping[str, Animal]:
        """The rows by id as text."""
        return {str(row.pk): row for row in self.rows}

    @cached_property
    def expecting(self) -> Sequence[Expecting]:
        """Sows here that may give birth, the most pressing first."""
        found = expecting(
            self.breeders,
            self.stays,
            now=self.now,
            zone=timezone.get_current_timezone(),
            book=book(),
            meetings=self.meetings,
        )
        return [one for one in found if self.by_id[one.animal].is_here]

    @cached_property
    def litters(self) -> Sequence[LitterState]:
        """Litters that are followed."""
        since = timezone.localdate(self.now) - FOLLOWED
        animals = {one.id: one for one in self.breeders}
        zone = timezone.get_current_timezone()
        return [
            litter_state(
                one,
                animals,
                self.stays,
                now=self.now,
                zone=zone,
                book=book(),
                meetings=self.meetings,
            )
            for one in litters_since(since)
        ]


def take_back(
    person: Person, animal: Animal, what: str, entry: UUID, why: str, now: datetime
) -> None:
    """Take back what was written down wrongly; the sex is stated as what is left says."""
    take_back_living(person, animal, what, entry, why, now)
    if what != "sexing":
        return
    [breeder] = breeders_of([animal], now)
    known = sex_of(breeder)
    fields = {"sex": str(known.sex), "sex_sure": str(known.sure)}
    if not breeder.sexings:
        fields = sex_before(animal)
    if any(getattr(animal, name) != value for name, value in fields.items()):
        state(person, animal, fields, f"a look was taken back: {why.strip()}"[:200], now)


def sires_counted(now: datetime, sire: Animal) -> frozenset[str]:
    """The names of the sows here that may give birth by this one."""
    known = BreedingNow(now)
    key = str(sire.pk)
    return frozenset(known.by_id[one.animal].name for one in known.expecting if key in one.sires)


def may_be_expecting(animal: Animal, now: datetime) -> bool:
    """Whether it may give birth, by what is known or not known of whom it met."""
    return any(one.animal == str(animal.pk) for one in BreedingNow(now).expecting)


def not_expected(dam: Animal, on: date, now: datetime) -> str:
    """Words where a birth on this day lies outside the days that are reckoned for her."""
    known = BreedingNow(now)
    one = next((one for one in known.expecting if one.animal == str(dam.pk)), None)
    if one is None or one.history_unknown or one.possible.holds(on):
        return ""
    first, last = one.possible.first, one.possible.last
    until = f" to {last.day} {last:%B %Y}" if last is not None else ""
    return (
        f"By whom she met, {dam} is expected from {first.day} {first:%B %Y}{until}, not on this "
        "day. Keeping this takes her off that list. Is it her litter, and the right day?"
    )


def sex_animal(person: Person, animal: Animal, look: Look, now: datetime) -> Sexing:
    """Keep a sexing, and state what the animal counts as from now on."""
    said = keep_sexing(person, animal, look, now)
    [breeder] = breeders_of([animal], now)
    known = sex_of(breeder)
    fields = {"sex": str(known.sex), "sex_sure": str(known.sure)}
    if known.sex == "boar" and animal.pregnant in ("yes", "possible"):
        fields["pregnant"] = "no"
    if any(getattr(animal, name) != value for name, value in fields.items()):
        state(person, animal, fields, known.words, now)
    return said
