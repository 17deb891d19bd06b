"""How a dose is written: nothing that is misread, every number with its unit."""

import re
from collections.abc import Iterator
from dataclasses import asdict
from decimal import Decimal
from typing import Any

import pytest

from cavyround.engines.dosing import AlsoKnown, Dose, KnownWeight, Refusal, Running, Verdict
from cavyround.facts.animal import Known
from cavyround.facts.orders import Limits, Order
from cavyround.facts.schedules import days
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge
from tests.builders import a_sow
from tests.engines.dosing_made import (
    a_dose,
    a_product,
    an_order,
    by_mouth,
    every,
    every_hours,
    weighing,
    worked,
)

BOOK = load_knowledge()
# Codes and the names people gave, beside what is written for a carer to read.
NOT_PROSE = {"order", "animal", "about", "sources", "knowledge_version", "device", "key", "code"}


def prose(value: Any, name: str = "") -> Iterator[str]:
    """Every text of a result that a carer reads."""
    if name in NOT_PROSE:
        return
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, part in value.items():
            yield from prose(part, key)
    elif isinstance(value, list | tuple):
        for part in value:
            yield from prose(part, name)


def results() -> Iterator[Dose | Refusal]:
    """Doses and refusals of many kinds."""
    sulfa = {"counted_as": "combined"}
    many: tuple[tuple[Order, str | None, int, dict[str, Any]], ...] = (
        (an_order(), "10 mg/mL", 800, {}),
        (an_order(diluent="glycol", withdrawal=days(14)), "10 mg/mL", 1234, {}),
        (an_order("100 mg/kg", "leuprolide"), "5 mg/mL", 800, {}),
        (by_mouth("0.2 mg/kg", "meloxicam"), "0.5 mg/mL", 900, {}),
        (by_mouth("30 mg/kg", "co-trimoxazole", **sulfa), "48 mg/mL", 1050, sulfa),
        (by_mouth("10 mg/kg", "amoxicillin", vet=""), "50 mg/mL", 700, {}),
        (by_mouth("0.015 mg/kg", "levothyroxine"), "0.1 mg/mL", 950, {}),
        (an_order("1000 IU/animal", "hCG", route="IM", schedule=every(7)), "5000 IU/mL", 800, {}),
        (an_order("0.05 mg/kg", "buprenorphine", schedule=every_hours(8)), "0.3 mg/mL", 1000, {}),
        (an_order("100 mL of 0.2 % w/v", "enilconazole", route="wash"), "10 % w/v", 800, {}),
        (by_mouth("30 mg/kg", "fenbendazole"), "18.7 % w/w", 1000, {}),
        (by_mouth("12 drops/kg", "meloxicam"), "0.5 mg/mL", 1000, {"drop": "30 drops/mL"}),
        (an_order("20 mg"), "1 %", 9000, {}),
        (an_order("10 mL/kg", "saline", schedule=every_hours(8)), None, 2000, {}),
        (by_mouth("1 mg/kg", "something"), None, 800, {}),
        (an_order(limits=Limits(not_under_g=Decimal(900), not_pregnant=True)), "1 %", 800, {}),
    )
    also = AlsoKnown(running=(Running(order="x", drug="carprofen"),), allergies=("enrofloxacin",))
    for order, strength, grams, said in many:
        product = a_product(strength, order.drug, **said)
        yield worked(BOOK, order, grams, product=product)
        sow = a_sow(pregnant=Known.UNKNOWN)
        yield worked(BOOK, order, grams, product=product, animal=sow, also=also, lot=None)
        yield worked(BOOK, order, weight=KnownWeight(), product=None, hand=["ml_1_by_0_1"])


WRITTEN = sorted({text for result in results() for text in prose(asdict(result))})


@pytest.mark.parametrize("one", BOOK.medicines.abbreviations, ids=lambda one: str(one.written))
def test_nothing_misread_is_ever_written(one: Any) -> None:
    assert len(WRITTEN) > 100
    assert [text for text in WRITTEN if re.search(one.pattern, text)] == []


@pytest.mark.parametrize(
    ("bad", "good"),
    [
        ("4 U", "4 units"),
        ("100 IU", "100 units"),
        ("qd", "every day"),
        ("q.o.d.", "every other day"),
        ("q6PM", "at 18:00"),
        ("1.0 mg", "1 mg"),
        ("0.10 mL", "0.1 mL"),
        (".5 mg", "0.5 mg"),
        ("MSO4", "morphine"),
        ("> 5", "more than 5"),
        ("5 @ 3", "5 at 3"),
        ("5 cc", "5 mL"),
        ("5 \u00b5g", "5 micrograms"),
        ("5 \u03bcg", "5 mcg"),
        ("5 ug", "5 mcg"),
        ("5 ml", "5 mL"),
        ("o.d.", "every day"),
        ("BD", "every 12 hours"),
        ("tid", "every 8 hours"),
        ("hs", "in the evening"),
        ("BT", "in the evening"),
        ("D/C", "stop"),
        ("SC", "under the skin"),
        ("10000", "10,000"),
    ],
)
def test_the_list_finds_what_is_misread_and_nothing_else(bad: str, good: str) -> None:
    patterns = [one.pattern for one in BOOK.medicines.abbreviations]
    assert any(re.search(pattern, bad) for pattern in patterns)
    assert not any(re.search(pattern, good) for pattern in patterns)


def test_the_knowledge_about_medicines_is_written_so_itself(book: Knowledge) -> None:
    known = book.medicines
    lines = [one.words for one in known.dangers] + [one.words for one in known.traps]
    lines += [one.words for medicine in known.formulary for one in medicine.cautions]
    lines += [one.words for medicine in known.formulary for one in medicine.limits]
    lines += [one.words for one in known.syringes.values()]
    lines += [one.words for route in known.routes.values() for one in route.limits]
    for one in known.abbreviations:
        assert [line for line in lines if re.search(one.pattern, line)] == [], one.written


def test_a_dose_says_everything_a_carer_needs(book: Knowledge) -> None:
    order = by_mouth("0.2 mg/kg", "meloxicam", strength="0.5 mg/mL", withdrawal=days(14))
    weight = weighing(900, days_ago=2, change_pct_week=Decimal("-0.5"))
    dose = a_dose(book, order, weight=weight, product=a_product("0.5 mg/mL", "meloxicam"))
    assert dose.weight is not None
    assert dose.weight.words == "900 g, weighed 2 days ago, losing 0.5 % a week"
    assert dose.amount_words == "0.18 mg"
    assert dose.route_words == "by mouth"
    assert dose.measure.words == "draw up to 0.36 mL in the 1 mL syringe with marks of 0.01 mL"
    assert dose.gives_words == "0.18 mg, 0.2 mg/kg"
    assert dose.by_hand == ("0.9 kg \u00d7 0.2 mg/kg = 0.18 mg; 0.18 mg \u00f7 0.5 mg/mL = 0.36 mL")
    assert dose.published.verdict is Verdict.UNVERIFIED
    assert dose.published.words.startswith("unverified: it agrees only with a range from memory")
    assert dose.withdrawal_words == "Not adopted until 14 days after the last dose."
    assert dose.knowledge_version == book.version
    assert dose.second_person == ()


@pytest.mark.parametrize(
    ("order", "strength", "line"),
    [
        (
            by_mouth("30 mg/kg", "co-trimoxazole", counted_as="combined"),
            "48 mg/mL",
            "1.05 kg \u00d7 30 mg/kg = 31.5 mg; 31.5 mg \u00f7 48 mg/mL = about 0.6563 mL",
        ),
        (
            by_mouth("30 mg/kg", "co-trimoxazole", counted_as="combined"),
            "125 mg/3 mL",
            "1.05 kg \u00d7 30 mg/kg = 31.5 mg; 31.5 mg \u00f7 125 mg \u00d7 3 mL = 0.756 mL",
        ),
        (
            by_mouth("0.5 mL/kg", "co-trimoxazole", counted_as="combined"),
            "48 mg/mL",
            "1.05 kg \u00d7 0.5 mL/kg = 0.525 mL; 0.525 mL \u00d7 48 mg/mL = 25.2 mg",
        ),
    ],
)
def test_the_sum_can_be_checked_by_hand(
    order: Any, strength: str, line: str, book: Knowledge
) -> None:
    product = a_product(strength, "co-trimoxazole", counted_as="combined")
    assert a_dose(book, order, 1050, product=product).by_hand == line


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ("1.23", "gaining 1.2 % a week"),
        ("-4", "losing 4 % a week"),
        ("0.04", "holding its weight"),
        (None, "no trend known"),
    ],
)
def test_the_trend_is_said_with_the_weight(change: str | None, words: str, book: Knowledge) -> None:
    trend = None if change is None else Decimal(change)
    weight = weighing(800, change_pct_week=trend)
    dose = a_dose(book, an_order(), weight=weight)
    assert dose.weight is not None
    assert dose.weight.words == f"800 g, weighed just now, {words}"


def test_two_people_work_out_what_changed_much_since_the_last_dose(book: Knowledge) -> None:
    order = by_mouth("0.2 mg/kg", "meloxicam", strength="0.5 mg/mL")
    product = a_product("0.5 mg/mL", "meloxicam")
    same = weighing(900, at_last_dose_g=Decimal(820))
    less = weighing(900, at_last_dose_g=Decimal(1010))
    assert a_dose(book, order, weight=same, product=product).second_person == ()
    [why] = a_dose(book, order, weight=less, product=product).second_person
    assert why == "its weight has changed by 11 % since the last dose"


def test_outside_what_is_published_two_people_look(book: Knowledge) -> None:
    order = by_mouth("12 mg/kg", "potassium citrate", schedule=every_hours(12))
    low = by_mouth("35 mg/kg", "potassium citrate", schedule=every_hours(12))
    product = a_product("100 mg/mL", "potassium citrate")
    assert a_dose(book, order, product=product).published.verdict is Verdict.UNVERIFIED
    outside = a_dose(book, low, product=product)
    assert outside.published.verdict is Verdict.OUTSIDE
    assert outside.published.words == (
        "outside every published range; nearest 40 to 80 mg/kg by mouth, every 12 hours"
    )
    assert "outside what is published" in outside.second_person
