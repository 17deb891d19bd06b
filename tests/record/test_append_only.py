"""What is in the record is never changed or deleted, by whatever way it is tried."""

from collections.abc import Callable
from typing import Any

import pytest
from django.apps import apps
from django.db import IntegrityError, models, transaction

from cavyround.record.animals import Coming, arrive, state
from cavyround.record.models import (
    Animal,
    AnimalStatement,
    Append,
    Arrival,
    ChangeRefusedError,
    CheckEntry,
    Person,
)
from tests.builders import NOW, TODAY, a_check, weighed

APPENDED = [model for model in apps.get_models() if issubclass(model, Append)]


@pytest.fixture
def entry(carer: Person, sow: Animal) -> CheckEntry:
    check = a_check(carer, sow, weighed(912))
    return CheckEntry.objects.get(check_in=check)


def test_everything_clinical_is_append_only() -> None:
    assert {model.__name__ for model in APPENDED} == {
        "AdviceGiven",
        "Allergy",
        "AllergyEnded",
        "AnimalStatement",
        "Arrival",
        "Castration",
        "CheckEntry",
        "Course",
        "CourseLook",
        "CourseStopped",
        "DayOff",
        "DayOffTakenBack",
        "Departure",
        "DoseAnswer",
        "DoseAnswerTakenBack",
        "DoseCorrection",
        "DoseEntry",
        "FollowUp",
        "FollowUpOutcome",
        "Introduced",
        "Introduction",
        "IntroductionOutcome",
        "Labour",
        "LabourOver",
        "LabourSeen",
        "LabourTakenBack",
        "Litter",
        "LitterPup",
        "LivesAlone",
        "LivesAloneEnd",
        "LivingTakenBack",
        "Move",
        "MoveCorrected",
        "Order",
        "OrderStopped",
        "Outbreak",
        "OutbreakCase",
        "OutbreakClosed",
        "OutbreakSaid",
        "PenCleaned",
        "Photo",
        "PupsFelt",
        "QuarantineEnd",
        "QuarantineSet",
        "ReasonSetAside",
        "SetAsideEnded",
        "Sexing",
        "SharedUse",
        "ShelfStatement",
        "StandingDeclined",
        "StandingMark",
        "StandingMarkEnd",
        "StockMovement",
        "Tie",
        "VetAnswer",
        "VetQuestion",
    }


def test_saving_an_entry_again_is_refused_with_what_to_do(entry: CheckEntry) -> None:
    entry.data = weighed(500)
    with pytest.raises(ChangeRefusedError, match="Add a new entry that corrects it"):
        entry.save()
    entry.refresh_from_db()
    assert entry.data == weighed(912)


TRIES: list[Callable[[CheckEntry], Any]] = [
    lambda entry: entry.delete(),
    lambda entry: type(entry).objects.all().delete(),
    lambda entry: CheckEntry.objects.filter(pk=entry.pk).update(kind="note"),
    lambda entry: CheckEntry.objects.bulk_update([entry], ["kind"]),
    lambda entry: CheckEntry.objects.update_or_create(pk=entry.pk, defaults={"kind": "note"}),
    lambda entry: CheckEntry.objects.bulk_create(
        [entry], update_conflicts=True, unique_fields=["id"], update_fields=["kind"]
    ),
    lambda entry: entry.save(update_fields=["kind"]),
    lambda entry: entry.save(force_update=True),
]


@pytest.mark.parametrize("tried", TRIES)
def test_every_way_to_change_or_delete_is_refused(
    entry: CheckEntry, tried: Callable[[CheckEntry], Any]
) -> None:
    before = list(CheckEntry.objects.values())
    with pytest.raises(ChangeRefusedError), transaction.atomic():
        tried(entry)
    assert list(CheckEntry.objects.values()) == before


def test_a_second_entry_with_the_same_id_does_not_write_over_the_first(entry: CheckEntry) -> None:
    twin = CheckEntry(
        id=entry.id,
        check_in=entry.check_in,
        kind="note",
        data={},
        made_at=NOW,
        made_by=entry.made_by,
    )
    with pytest.raises(IntegrityError), transaction.atomic():
        twin.save()
    assert CheckEntry.objects.get().kind == "weight"


@pytest.mark.parametrize("model", APPENDED)
def test_no_table_of_the_record_can_be_updated_or_emptied(
    model: type[models.Model], db: None
) -> None:
    manager: Any = model._default_manager
    with pytest.raises(ChangeRefusedError):
        manager.all().delete()
    with pytest.raises(ChangeRefusedError):
        manager.update(made_at=NOW)


def test_an_animal_with_a_history_cannot_be_deleted(sow: Animal) -> None:
    with pytest.raises(models.ProtectedError):
        sow.delete()


def test_earlier_statements_and_arrivals_stay_readable(lead: Person, sow: Animal) -> None:
    state(lead, sow, {"name": "Clover"}, "two Brambles", NOW)
    arrive(lead, sow, Coming(on=TODAY, how="returned"), NOW)
    said = AnimalStatement.objects.filter(animal=sow).order_by("id")
    assert [one.fields.get("name") for one in said] == ["Bramble", "Clover"]
    assert [one.reason for one in said] == ["first entry", "two Brambles"]
    assert Arrival.objects.filter(animal=sow).count() == 2
