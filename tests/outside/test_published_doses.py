"""The published doses: every row kept as published, and none made surer than it is.

``published_doses.csv`` lists each row of the collected table with how sure it was when it
was read; the knowledge may be more careful than that, never less.
"""

import csv
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from cavyround.engines.dosing import Dose, Verdict
from cavyround.facts.schedules import Ending, Schedule, days, hours
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.facts_of_trade import Span
from cavyround.knowledge.loading import load_knowledge
from cavyround.knowledge.medicines import Medicine, PublishedDose
from cavyround.knowledge.sureness import Sure
from tests.builders import NOW
from tests.engines.dosing_made import FIRST, ONCE, a_product, an_order, worked

TABLE = Path(__file__).parent / "published_doses.csv"
ROWS = list(csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines()))
DOSES = [row for row in ROWS if row["low"]]
BOOK = load_knowledge()
SURER: dict[Sure, int] = {"unverified": 0, "memory": 1, "seen": 2}
# Weekly in one text, monthly in another: one row of the table, its time in the remarks.
TIME_IN_REMARKS = {"imidacloprid_moxidectin"}


def medicine(name: str) -> Medicine:
    [found] = [one for one in BOOK.medicines.formulary if one.id == name]
    return found


def how_sure(said: str) -> Sure:
    """The table's words as the surest the knowledge may be."""
    if said == "seen":
        return "seen"
    if said == "memory" or "memory (" in said or said.endswith("memory (dose)"):
        return "memory"
    return "unverified"


def every(row: dict[str, str]) -> Span | None:
    low, _, high = row["every_hours"].partition("-")
    return Span(low=Decimal(low), high=Decimal(high or low)) if low else None


def test_the_table_is_whole() -> None:
    assert (len(ROWS), len(DOSES)) == (91, 70)


@pytest.mark.parametrize("row", DOSES, ids=lambda row: f"{row['medicine']} {row['low']}")
def test_a_published_dose_is_kept_as_published_and_no_surer(row: dict[str, str]) -> None:
    kept = [
        dose
        for dose in medicine(row["medicine"]).doses
        if (dose.low, dose.high, dose.unit)
        == (Decimal(row["low"]), Decimal(row["high"]), row["unit"])
        and set(dose.routes) == set(row["routes"].split())
        and (dose.every_hours == every(row) or row["medicine"] in TIME_IN_REMARKS)
    ]
    assert kept
    assert all(SURER[dose.sure] <= SURER[how_sure(row["how_sure"])] for dose in kept)


@pytest.mark.parametrize("row", [r for r in ROWS if not r["low"]], ids=lambda row: str(row)[:60])
def test_what_has_no_dose_is_known_all_the_same(row: dict[str, str]) -> None:
    dangers = {danger.id for danger in BOOK.medicines.dangers}
    assert row["danger"] in dangers if row["danger"] else medicine(row["medicine"])


def test_no_dose_is_in_the_knowledge_that_the_table_has_not() -> None:
    ours = sum(len(one.doses) for one in BOOK.medicines.formulary)
    # Two rows of the table give two ranges each, one of a lay page and one from memory.
    assert ours == len(DOSES) + 2


def published() -> Iterator[tuple[Medicine, PublishedDose, str, Decimal]]:
    """Every published dose at both its ends, by each of its routes."""
    for one in BOOK.medicines.formulary:
        for dose in one.doses:
            for route in dose.routes:
                for number in sorted({dose.low, dose.high}):
                    if dose.unit not in ("% w/v", "% w/w", "g/L", "mL/kg/day"):
                        yield one, dose, route, number


def schedule(dose: PublishedDose) -> Schedule:
    if dose.every_hours is None:
        return ONCE
    often = int(dose.every_hours.low)
    if often % 24:
        return Schedule(every=hours(often), ends=Ending(doses=2), first_at=NOW)
    return Schedule(every=days(often // 24), ends=Ending(doses=2), first_on=FIRST)


def more_often_than_seen(one: Medicine, dose: PublishedDose) -> bool:
    """Whether every interval that was seen is longer than this row's."""
    # A range over the whole day says how much goes in, not how often.
    timed = [row for row in one.doses if row.sure == "seen" and row.unit != "mL/kg/day"]
    seen = [row.every_hours.low for row in timed if row.every_hours]
    return bool(seen) and dose.every_hours is not None and dose.every_hours.low < min(seen)


PUBLISHED = list(published())


@pytest.mark.parametrize(
    ("one", "dose", "route", "number"),
    PUBLISHED,
    ids=[f"{one.id} {route} {number}" for one, _, route, number in PUBLISHED],
)
def test_a_published_dose_is_called_inside_only_where_it_was_seen(
    one: Medicine, dose: PublishedDose, route: str, number: Decimal, book: Knowledge
) -> None:
    """At both ends of each range, at 1 kg: inside if seen, unverified if not, never a slip."""
    strength = {"units": "100 units/mL", "volume": None}.get(one.measured_by, "10 mg/mL")
    order = an_order(
        f"{number} {dose.unit}",
        one.name,
        route=route,
        schedule=schedule(dose),
        counted_as=one.counted_as[0] if one.counted_as else "",
    )
    product = a_product(strength, one.name, counted_as=one.counted_as[0] if one.counted_as else "")
    result = worked(book, order, 1000, product=product)
    if not isinstance(result, Dose):
        assert not {"tenfold", "far_above", "far_too_often", "per_kg_or_animal"} & set(result.codes)
        return
    # Another row of the same medicine may have been seen where this one was not.
    seen = any(
        row.sure == "seen"
        and row.standing == "inside"
        and row.often in ("", "less often than published")
        and ("for the animal" in row.words) == dose.unit.endswith("animal")
        for row in result.published.ranges
    )
    if more_often_than_seen(one, dose):
        # Remembered only: a checked source gives it less often.
        assert result.published.verdict is Verdict.OUTSIDE
        return
    assert result.published.verdict is (Verdict.INSIDE if seen else Verdict.UNVERIFIED)
    assert (result.published.verdict is Verdict.INSIDE) or dose.sure != "seen"


@pytest.mark.parametrize(
    ("one", "dose", "route", "number"),
    PUBLISHED,
    ids=[f"{one.id} {route} {number}" for one, _, route, number in PUBLISHED],
)
@pytest.mark.parametrize("factor", [10, 100, 1000])
def test_a_point_lost_above_everything_published_is_always_stopped(
    one: Medicine, dose: PublishedDose, route: str, number: Decimal, factor: int, book: Knowledge
) -> None:
    """Ten, a hundred or a thousand times a published dose that nothing published reaches."""
    order = an_order(
        f"{number * factor} {dose.unit}", one.name, route=route, schedule=schedule(dose)
    )
    strength = {"units": "1000 units/mL", "volume": None}.get(one.measured_by, "100 mg/mL")
    result = worked(book, order, 1000, product=a_product(strength, one.name))
    if isinstance(result, Dose):
        assert any(row.standing != "above" for row in result.published.ranges)
        return
    reached = any(other.high >= number * factor and other.unit == dose.unit for other in one.doses)
    stopped = {"tenfold", "above_stop", "unknown_unit"} & set(result.codes)
    assert stopped or reached
