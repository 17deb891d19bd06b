"""The rows that are asked questions of follow the entries; the entries stay."""

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.db import transaction

from cavyround.record.models import (
    Animal,
    BodyPlace,
    CareDone,
    CheckEntry,
    Happened,
    Observed,
    Person,
    StepState,
    WeighIn,
)
from cavyround.record.promises import Judged, mark_standing
from cavyround.record.reading_off import READINGS, read_off
from tests.builders import FINISH, NOW, TODAY, OnTheTable, an_animal, found, keep, weighed


@pytest.fixture
def table(sow: Animal) -> OnTheTable:
    return OnTheTable(sow)


def test_everything_that_is_said_becomes_a_row(carer: Person, table: OnTheTable) -> None:
    lump = found(
        "lump", "flank", "chest_back", side="L", grade="slight", value="8.5", unit="mm", hours=24
    )
    seen = table.touch(lump)
    care = {"kind": "care", "care": "nail_trim", "side": "R", "status": "partly", "detail": "two"}
    place = {"kind": "mark", "view": "above", "x": 300, "y": 500, "size_mm": 8.5}
    keep(
        carer,
        [
            seen,
            table.touch(weighed(912, as_typed="912")),
            table.touch(care),
            table.touch({"kind": "event", "what": "mated", "on": "2026-02-01"}),
            table.touch({**place, "observation": seen["id"]}),
            table.touch(FINISH),
        ],
    )
    row = Observed.objects.get()
    assert (row.region, row.finding, row.side, row.grade) == ("flank", "lump", "L", "slight")
    assert (row.value, row.unit) == (Decimal("8.5"), "mm")
    assert row.began_at == NOW - timedelta(hours=24)
    assert WeighIn.objects.get().as_typed == "912"
    assert CareDone.objects.get().status == "partly"
    assert Happened.objects.get().what == "mated"
    assert str(BodyPlace.objects.get().observation_id) == seen["id"]
    assert table.row.finished_at == NOW
    states = dict(StepState.objects.values_list("step", "state"))
    assert states == {"chest_back": "found", "weight": "normal"}


def test_what_is_taken_back_leaves_the_rows_and_stays_in_the_entries(
    carer: Person, table: OnTheTable
) -> None:
    items = [table.touch(weighed(912)), table.touch(found()), table.touch(FINISH)]
    keep(carer, items)
    keep(carer, [table.touch({"kind": "take_back", "entry": item["id"]}) for item in items])
    assert [model.objects.count() for model in READINGS] == [0] * len(READINGS)
    assert table.row.finished_at is None
    assert CheckEntry.objects.count() == 6


def test_a_corrected_row_keeps_its_id_and_says_that_it_was_corrected(
    carer: Person, lead: Person, table: OnTheTable
) -> None:
    slip = table.touch(weighed(912))
    keep(carer, [slip])
    mend: Any = {"kind": "correction", "entry": slip["id"], "reason": "a slip"}
    keep(lead, [table.touch({**mend, "data": weighed(921)}, at=NOW + timedelta(hours=1))])
    [row] = WeighIn.objects.all()
    assert (str(row.id), row.grams, row.corrected, row.by) == (slip["id"], Decimal(921), True, lead)
    assert row.at == NOW
    assert CheckEntry.objects.get(pk=slip["id"]).data == weighed(912)


def test_an_entry_struck_out_leaves_the_rows(carer: Person, table: OnTheTable) -> None:
    slip = table.touch(found())
    keep(carer, [slip])
    mend = {"kind": "correction", "entry": slip["id"], "reason": "wrong animal", "data": None}
    keep(carer, [table.touch(mend)])
    assert (Observed.objects.count(), StepState.objects.count()) == (0, 0)


def test_reading_off_again_gives_the_same_rows(carer: Person, table: OnTheTable) -> None:
    keep(carer, [table.touch(weighed(912)), table.touch(found())])
    before = list(Observed.objects.values()), list(WeighIn.objects.values())
    with transaction.atomic():
        read_off(table.row)
    assert (list(Observed.objects.values()), list(WeighIn.objects.values())) == before


def test_a_mark_of_another_animal_is_not_taken_for_this_ones(
    carer: Person, lead: Person, table: OnTheTable
) -> None:
    judged = Judged(
        region="chin", finding="fat_pad", words="fatty", said_by="Dr A. Vet", said_on=TODAY
    )
    own = mark_standing(lead, table.animal, judged, NOW)
    others = mark_standing(lead, an_animal(lead, "Sorrel"), judged, NOW)
    for mark in (own, others):
        keep(carer, [table.touch(found("fat_pad", "chin", "chin_neck", mark=str(mark.id)))])
    assert set(Observed.objects.values_list("mark", flat=True)) == {own.id, None}


def test_putting_down_says_when(carer: Person, table: OnTheTable) -> None:
    keep(carer, [table.touch({"kind": "put_down", "why": "struggled"})])
    assert (table.row.put_down_at, table.row.finished_at) == (NOW, None)
