"""A table with headers: columns are found by their names, and a header may say the unit."""

from datetime import date
from decimal import Decimal

import pytest

from cavyround.web.weighing.notebook.amounts import weight_of
from cavyround.web.weighing.notebook.tables import read_table
from cavyround.web.weighing.notebook.written import Notes


def table(text: str) -> Notes:
    notes = read_table(text)
    assert notes is not None
    return notes


def test_the_files_of_the_weights_command_are_read() -> None:
    notes = table(
        "animal_id,sex,birth_date,date,weight_g,event\n"
        "P07,female,2025-11-02,2026-01-10,612,arrival\n"
        "P07,female,2025-11-02,2026-01-12,,operation\n"
    )
    weighed, event = notes.written
    assert (weighed.who, weighed.line) == ("P07", 2)
    assert weighed.day is not None
    assert weighed.day.on == date(2026, 1, 10)
    assert weighed.amount is not None
    assert weight_of(weighed.amount, None).grams == 612
    assert event.empty
    assert notes.unused == ("sex", "birth_date", "event")


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("Name;Weight (g)\nBramble;912", "912"),
        ("name\tgrams\nBramble\t912", "912"),
        ("Name,Weight\nBramble,2 lb 1 oz", "935.5"),
        ('Name, Weight [g], Date\nBramble, "1,043", 4 Mar 2026', "1043"),
        ("\ufeffName,weight_kg\nBramble,0.912", "912"),
        ("name,lb,oz\nBramble,2,1", "935.5"),
        ("name,lb,oz\nBramble,,34", "963.9"),
        ("name,lb,oz\nBramble,2,", "907.2"),
        ("Name,Weight (g)\nBramble,2 lb 1 oz", "935.5"),
    ],
)
def test_the_unit_is_the_one_the_header_or_the_cell_names(text: str, grams: str) -> None:
    (row,) = table(text).written
    assert row.who == "Bramble"
    assert row.amount is not None
    assert weight_of(row.amount, None).grams == Decimal(grams)


def test_a_header_that_names_no_unit_leaves_it_to_be_asked() -> None:
    (row,) = table("Name,Weight\nBramble,912").written
    assert row.amount is not None
    assert row.amount.unit is None


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("Bramble,912", "columns"),
        (",2026-03-04,912", "no animal"),
        ("Bramble,2026-03-04,heavy", "no weight"),
        ("Bramble,some day,912", "no day"),
        ("Bramble,31/2/2026,912", "no calendar"),
    ],
)
def test_a_row_that_cannot_be_read_says_why_and_stops_no_other(row: str, why: str) -> None:
    bad, good = table(f"name,date,weight_g\n{row}\nClover,2026-03-04,1043").written
    assert why in bad.why
    assert bad.text == row.strip()
    assert good.why == ""


@pytest.mark.parametrize("text", ["", "\n \n", "Bramble,912", "Bramble 912 g\nname,weight"])
def test_a_text_without_headers_is_no_table(text: str) -> None:
    assert read_table(text) is None
