"""The long record of the benchmarks fills the tables as they are."""

from datetime import UTC, datetime

import pytest
from benchmarks.long_record import COLUMNS, Size, past_rows
from django.apps import apps


@pytest.mark.parametrize("table", COLUMNS)
def test_every_column_of_a_table_is_filled(table: str) -> None:
    model = apps.get_model("record", table)
    columns = {field.column for field in model._meta.concrete_fields}
    assert set(COLUMNS[table].split()) == columns


def test_rows_have_a_value_for_every_column_and_weighings_are_as_many_as_asked() -> None:
    size = Size(animals=7, weighings=50)
    (rows,) = past_rows(size, person=1, now=datetime(2026, 3, 3, tzinfo=UTC), seed=1)
    assert {len(row) for row in rows["weighin"]} == {len(COLUMNS["weighin"].split())}
    for table, values in rows.items():
        assert {len(row) for row in values} == {len(COLUMNS[table].split())}, table
    assert len(rows["weighin"]) == 50
    assert len(rows["animal"]) == 7
