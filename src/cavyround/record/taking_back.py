"""Take back a sexing, a castration, pups felt or a litter that was written down wrongly."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from cavyround.record.animals import ImpossibleError, state
from cavyround.record.living_standing import MODELS, standing_rows
from cavyround.record.models import Animal, AnimalStatement, Castration, LivingTakenBack, Person


@transaction.atomic
def take_back_living(
    person: Person, animal: Animal, what: str, entry: UUID, why: str, now: datetime
) -> LivingTakenBack:
    """It counts no more. What was stated of the animal because of it is stated as before."""
    row = standing_rows(MODELS[what]).filter(pk=entry).first()
    if row is None:
        field, words = "", "Somebody took this back already; nothing is to be done."
        raise ImpossibleError(field, words)
    if not why.strip():
        field, words = "why", "Say what was wrong: who reads it later must understand it."
        raise ImpossibleError(field, words)
    back = LivingTakenBack(
        animal=animal, what=what, entry=entry, why=why.strip(), made_at=now, made_by=person
    )
    back.save()
    fields = _as_before(animal, what, row)
    if fields:
        state(person, animal, fields, f"taken back: {why.strip()}"[:200], now)
    return back


def _as_before(animal: Animal, what: str, row: Any) -> dict[str, Any]:
    """What the animal counted as before; unknown where nothing else was ever stated."""
    told = AnimalStatement.objects.filter(animal=animal)
    if what == "castration":
        others = standing_rows(Castration).filter(animal=animal).exists()
        stated = told.filter(made_at=row.made_at, fields__neutered="yes").exists()
        first = told.order_by("made_at", "id").first()
        by_this = stated and first is not None and first.made_at != row.made_at
        return {} if others or not by_this else {"neutered": "unknown"}
    if what == "litter" and told.filter(made_at=row.made_at, reason="has given birth").exists():
        before = told.filter(made_at__lt=row.made_at, fields__has_key="pregnant")
        last = before.order_by("made_at", "id").last()
        was = last.fields["pregnant"] if last is not None else "unknown"
        return {} if animal.pregnant != "unknown" else {"pregnant": was}
    return {}


def sex_before(animal: Animal) -> dict[str, str]:
    """The sex that was stated without any look here that still stands: as it was told at first."""
    told = AnimalStatement.objects.filter(animal=animal, fields__has_key="sex")
    first = told.order_by("made_at", "id").first()
    if first is None:
        return {"sex": "unknown", "sex_sure": "unknown"}
    return {"sex": first.fields["sex"], "sex_sure": first.fields.get("sex_sure", "unknown")}
