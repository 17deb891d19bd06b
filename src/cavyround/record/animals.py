"""Write what is known of animals: statements, arrivals, departures, moves."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils import timezone

from cavyround.facts.days import why_no_day
from cavyround.record.models import (
    Animal,
    AnimalStatement,
    Arrival,
    Departure,
    Move,
    Pen,
    Person,
)
from cavyround.record.moves import standing_moves

STATED_FIELDS = (
    "name",
    "sex",
    "sex_sure",
    "neutered",
    "born_earliest",
    "born_latest",
    "pregnant",
    "due_from",
    "coat",
    "colour",
    "dark_skin",
    "identity_marks",
    "microchip",
)


class ImpossibleError(ValueError):
    """A statement that cannot be, with the field it belongs to and what to do."""

    def __init__(self, field: str, words: str) -> None:
        """Keep the field so that a form can show the words beside it."""
        super().__init__(words)
        self.field = field


@dataclass(frozen=True, slots=True, kw_only=True)
class Coming:
    """How an animal comes."""

    on: date
    how: str
    came_from: str = ""
    told: str = ""
    sexed_as: str = "unknown"
    source: str = "not_known"


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """How an animal leaves."""

    on: date
    how: str
    went_to: str = ""
    note: str = ""


def refuse_impossible(stated: Mapping[str, Any], today: date) -> None:
    """Raise ImpossibleError for a future birth, a pregnant boar and their like."""
    earliest, latest = stated.get("born_earliest"), stated.get("born_latest")
    for field in ("born_earliest", "born_latest", "due_from"):
        day = stated.get(field)
        if day and (why := why_no_day(day, today)):
            raise ImpossibleError(field, why)
    for field, day in (("born_earliest", earliest), ("born_latest", latest)):
        if day and day > today:
            words = "A birth date cannot lie in the future."
            raise ImpossibleError(field, words)
    if earliest and latest and latest < earliest:
        field, words = "born_latest", "The latest day must not come before the earliest."
        raise ImpossibleError(field, words)
    if stated.get("sex") == "boar" and stated.get("pregnant") in ("yes", "possible"):
        words = "A boar cannot be pregnant. Is the sex right? Look again, with a second person."
        field = "pregnant"
        raise ImpossibleError(field, words)


def _refuse_unknown(fields: Mapping[str, Any]) -> None:
    unknown = set(fields) - set(STATED_FIELDS)
    if unknown:
        msg = f"No such detail of an animal: {', '.join(sorted(unknown))}"
        raise KeyError(msg)


def _as_stored(fields: Mapping[str, Any]) -> dict[str, Any]:
    return {
        name: value.isoformat() if isinstance(value, date) else value
        for name, value in fields.items()
    }


@transaction.atomic
def add_animal(
    person: Person,
    details: Mapping[str, Any],
    coming: Coming,
    now: datetime,
    *,
    pen: Pen | None = None,
) -> Animal:
    """A new animal with what is known of it and how it came."""
    _refuse_unknown(details)
    refuse_impossible(details, timezone.localdate(now))
    animal = Animal.objects.create(**details, arrived_on=coming.on)
    AnimalStatement(
        animal=animal, fields=_as_stored(details), made_at=now, made_by=person, reason="first entry"
    ).save()
    arrive(person, animal, coming, now)
    if pen is not None:
        move(person, animal, pen, now, why="arrival")
    return animal


@transaction.atomic
def state(
    person: Person, animal: Animal, fields: Mapping[str, Any], reason: str, now: datetime
) -> AnimalStatement:
    """State something new of an animal; the earlier statements stay readable."""
    _refuse_unknown(fields)
    changed = {name: value for name, value in fields.items() if getattr(animal, name) != value}
    refuse_impossible(
        {n: changed.get(n, getattr(animal, n)) for n in STATED_FIELDS}, timezone.localdate(now)
    )
    statement = AnimalStatement(
        animal=animal, fields=_as_stored(changed), reason=reason, made_at=now, made_by=person
    )
    statement.save()
    for name, value in changed.items():
        setattr(animal, name, value)
    animal.save(update_fields=[*changed, "name"])
    return statement


@transaction.atomic
def arrive(person: Person, animal: Animal, coming: Coming, now: datetime) -> Arrival:
    """An arrival, also of one that comes back."""
    arrival = Arrival(
        animal=animal,
        on=coming.on,
        how=coming.how,
        came_from=coming.came_from,
        told=coming.told,
        sexed_as=coming.sexed_as,
        source=coming.source,
        made_at=now,
        made_by=person,
    )
    arrival.save()
    animal.arrived_on = coming.on
    animal.left_on = None
    animal.save(update_fields=["arrived_on", "left_on"])
    return arrival


@transaction.atomic
def depart(person: Person, animal: Animal, leaving: Leaving, now: datetime) -> Departure:
    """A departure; an animal in a foster home is still the rescue's, and still due."""
    departure = Departure(
        animal=animal,
        on=leaving.on,
        how=leaving.how,
        went_to=leaving.went_to,
        note=leaving.note,
        made_at=now,
        made_by=person,
    )
    departure.save()
    if leaving.how != "fostered":
        animal.left_on = leaving.on
        animal.save(update_fields=["left_on"])
        move(person, animal, None, now, why=departure.get_how_display())
    return departure


@transaction.atomic
def move(
    person: Person,
    animal: Animal,
    pen: Pen | None,
    now: datetime,
    why: str = "",
    *,
    at: datetime | None = None,
) -> Move:
    """Put an animal into a pen, or out of all pens; ``at`` where it happened earlier than now."""
    moved = Move(animal=animal, pen=pen, at=at or now, why=why, made_at=now, made_by=person)
    moved.save()
    stand_where_last_moved(animal)
    return moved


def stand_where_last_moved(animal: Animal) -> None:
    """The pen of an animal is that of the last of its moves that stand."""
    last = standing_moves(Move.objects.filter(animal=animal))
    animal.pen = last[-1].row.pen if last else None
    animal.save(update_fields=["pen"])


@transaction.atomic
def choose_face(animal: Animal, photo: Any) -> None:
    """The photo shown for an animal in lists."""
    animal.face = photo
    animal.save(update_fields=["face"])
