"""What the weights of animals say today: for lists of many, reckoned once a day for each.

What weights say changes with a weighing, and but little with the hours. So a reading is used
again until the record says of the animal something else, the herd has taught more, or the day
is over. Where a single animal is asked about, ``advice.weights`` reckons for the moment.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.weights import norms, readings_of
from cavyround.engines.weight import HerdNorms
from cavyround.engines.weight.said import Reading
from cavyround.record.models import Animal, WeightSaid

# More than any rescue has here at once; beyond it all are forgotten and reckoned anew.
MOST_KEPT = 10_000
_read: dict[UUID, tuple["_Basis", Reading]] = {}


@dataclass(frozen=True, slots=True)
class _Basis:
    """What a reading rests on: while it is the same, so is the reading."""

    weights_said_at: datetime
    said_of_animal: tuple[object, ...]
    taught: HerdNorms
    day: date
    knowledge: str


def readings_today(animals: Sequence[Animal], now: datetime) -> Mapping[UUID, Reading]:
    """What the weights of each animal say, as reckoned when it was first asked for today."""
    bases = _bases(animals, now)
    known = {key: kept[1] for key, basis in bases.items() if (kept := _kept(key, basis))}
    fresh = [animal for animal in animals if animal.pk not in known]
    if fresh:
        reckoned = readings_of(fresh, now)
        if len(_read) > MOST_KEPT:
            _read.clear()
        # Of an animal whose weights were never kept nobody says when they change.
        _read.update({key: (bases[key], one) for key, one in reckoned.items() if key in bases})
        known |= reckoned
    return known


def _kept(key: UUID, basis: _Basis) -> tuple[_Basis, Reading] | None:
    kept = _read.get(key)
    return kept if kept is not None and kept[0] == basis else None


def _bases(animals: Sequence[Animal], now: datetime) -> Mapping[UUID, _Basis]:
    said = WeightSaid.objects.filter(animal__in=[animal.pk for animal in animals])
    said_at = dict(said.values_list("animal", "said_at"))
    taught, day, version = norms(), timezone.localdate(now), book().version
    return {
        animal.pk: _Basis(said_at[animal.pk], _said_of(animal), taught, day, version)
        for animal in animals
        if animal.pk in said_at
    }


def _said_of(animal: Animal) -> tuple[object, ...]:
    """What is said of the animal itself and bears on its weight."""
    return (
        *(animal.sex, animal.neutered, animal.pregnant, animal.due_from),
        *(animal.born_earliest, animal.born_latest, animal.arrived_on),
    )
