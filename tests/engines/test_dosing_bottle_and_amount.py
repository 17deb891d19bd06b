"""The label against the order, and the dose against what is published."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from cavyround.engines.dosing import (
    Comparison,
    Dose,
    Refusal,
    Verdict,
)
from cavyround.facts.orders import Lot, Order
from cavyround.facts.reading_amounts import read_strength
from cavyround.facts.schedules import Schedule, days
from cavyround.knowledge.book import Knowledge
from tests.builders import TODAY
from tests.engines.dosing_made import (
    GOOD_LOT,
    ONCE,
    VET,
    a_dose,
    a_product,
    an_order,
    aside,
    by_mouth,
    every,
    every_hours,
    keys,
    refused,
    worked,
)


@pytest.mark.parametrize(
    ("lot", "key"),
    [
        (replace(GOOD_LOT, expires_on=TODAY - timedelta(days=1)), "expired"),
        (replace(GOOD_LOT, product="another"), "another_product"),
        (replace(GOOD_LOT, strength=read_strength("1 mg/mL")), "strength_unlike:bottle"),
        (replace(GOOD_LOT, strength=read_strength("1 %")), "unknown_unit:bottle"),
        (replace(GOOD_LOT, opened_on=TODAY - timedelta(days=29)), "open_too_long"),
    ],
)
def test_a_bottle_that_is_not_good_is_put_away(lot: Lot, key: str, book: Knowledge) -> None:
    product = a_product(use_within=days(28))
    result = refused(book, an_order(), lot=lot, product=product)
    assert [(one.what, one.may) for one in result.reasons] == [(key, "nobody")]


def test_a_bottle_is_good_on_its_last_day(book: Knowledge) -> None:
    last = replace(GOOD_LOT, expires_on=TODAY, opened_on=TODAY - timedelta(days=28))
    assert isinstance(
        worked(book, an_order(), lot=last, product=a_product(use_within=days(28))), Dose
    )


def test_what_nobody_knows_of_a_bottle_is_said(book: Knowledge) -> None:
    dose = a_dose(book, an_order(), lot=None, product=a_product(use_within=days(28)))
    told = " ".join(one.words for one in dose.cautions)
    assert "The expiry date is not known here" in told
    assert "when it was opened is not known" in told
    assert "The order names no strength" in told
    assert "the order names no strength" in dose.second_person


@pytest.mark.parametrize(
    ("order", "product", "key"),
    [
        (an_order(strength="1 mg/mL"), a_product("1 % w/v"), "strength_unlike:order"),
        (an_order(), a_product("1 %"), "unknown_unit:label"),
        (an_order(), a_product(None), "no_strength"),
        (an_order("0.1 mL/animal"), a_product(None), "no_strength"),
        (an_order("2 drops/kg"), a_product(), "drop_size_unknown"),
        (an_order("2 drops/kg"), a_product(drop="20 drops/cup"), "unknown_unit:drop_size"),
        (an_order(), a_product("1000 units/mL"), "unit_unlike_label"),
        (an_order("1 mL/kg"), a_product("150 mcg/pipette"), "unit_unlike_label"),
        (an_order("1 pipette/animal"), a_product("10 mg/mL"), "unit_unlike_label"),
        (an_order("1 pipette/animal"), a_product(None), "no_strength"),
        (an_order(), a_product(drug="selamectin"), "another_drug"),
    ],
)
def test_a_label_that_does_not_fit_the_order(
    order: Order, product: Any, key: str, book: Knowledge
) -> None:
    result = refused(book, order, product=product)
    assert (key, "nobody") in {(one.what, one.may) for one in result.reasons}


def test_one_strength_written_another_way_is_the_same(book: Knowledge) -> None:
    assert isinstance(
        worked(book, an_order(strength="10 mg/mL"), product=a_product("1 % w/v")), Dose
    )


@pytest.mark.parametrize(
    ("ordered", "label", "refuses"),
    [
        ("combined", "combined", False),
        ("", "combined", True),
        ("combined", "", True),
        ("trimethoprim", "combined", True),
        ("everything", "everything", True),
    ],
)
def test_a_combined_product_says_what_its_dose_counts(
    ordered: str, label: str, refuses: bool, book: Knowledge
) -> None:
    drug = "co-trimoxazole"
    order = by_mouth("30 mg/kg", drug, schedule=every_hours(12), counted_as=ordered)
    result = worked(book, order, product=a_product("48 mg/mL", drug, counted_as=label))
    if refuses:
        assert isinstance(result, Refusal)
        assert keys(result) == {"counted_as_unsaid"}
    else:
        assert isinstance(result, Dose)


def test_a_hundred_mg_of_leuprolide_is_known_for_the_misprint_it_is(book: Knowledge) -> None:
    order = an_order("100 mg/kg", "leuprolide", schedule=every(21))
    result = refused(book, order, product=a_product("5 mg/mL", "leuprolide"))
    [slip] = [one for one in result.reasons if one.code == "tenfold"]
    assert "333 times the top of what is published" in slip.words
    assert "micrograms became milligrams" in slip.words
    assert "wrong_route" in keys(result)


@pytest.mark.parametrize(
    ("dose", "drug", "route", "stopped"),
    [
        ("25 mg/animal", "GnRH", "into_muscle", True),  # 25 micrograms became milligrams
        ("25 mcg/animal", "GnRH", "into_muscle", False),
        ("15 mg/kg", "levothyroxine", "by_mouth", True),  # micrograms became milligrams
        ("15 mcg/kg", "levothyroxine", "by_mouth", False),
        ("0.015 mg/kg", "levothyroxine", "by_mouth", False),
        ("4 mg/kg", "ivermectin", "under_skin", True),
        ("0.04 mg/kg", "ivermectin", "under_skin", True),
        ("0.5 mg/kg", "buprenorphine", "under_skin", True),
        ("150 mg/kg", "selamectin", "on_skin", True),
        ("1000 units/kg", "hCG", "under_skin", True),
        ("100 units/kg", "hCG", "under_skin", False),
        ("1000 units/animal", "hCG", "into_muscle", False),
        ("1000 units/animal", "hCG", "under_skin", True),
    ],
)
def test_a_lost_point_or_sign_is_stopped(
    dose: str, drug: str, route: str, stopped: bool, book: Knowledge
) -> None:
    often = {"hCG": every(7), "GnRH": every(14), "levothyroxine": every(1)}.get(drug, every(28))
    order = an_order(dose, drug, route=route, schedule=often)
    strength = "10000 units/mL" if drug == "hCG" else "0.1 mg/mL"
    result = worked(book, order, 1000, product=a_product(strength, drug))
    codes = result.codes if isinstance(result, Refusal) else ()
    assert ("tenfold" in codes) is stopped


def test_per_kg_where_only_the_whole_animal_is_published_is_asked(book: Knowledge) -> None:
    order = an_order("1000 units/kg", "hCG", route="into_muscle", schedule=every(7))
    result = refused(book, order, 1000, product=a_product("10000 units/mL", "hCG"))
    assert [(one.code, one.may) for one in result.reasons] == [("per_kg_or_animal", "vet")]
    assert "1,000 units for the animal" in result.reasons[0].words


def test_for_the_whole_animal_where_only_per_kg_is_published_is_confirmed(book: Knowledge) -> None:
    order = by_mouth("20 mg/animal", "fenbendazole")
    product = a_product("10 % w/v", "fenbendazole")
    result = refused(book, order, product=product)
    assert [(one.code, one.may) for one in result.reasons] == [("per_kg_or_animal", "carer")]
    confirmed = aside("per_kg_or_animal", "carer", by="Tam", why="")
    dose = a_dose(book, order, product=product, also=confirmed)
    # piggyville.com: 0.2 mL of 10 % is 20 mg
    assert dose.measure.words.startswith("draw up to 0.2 mL")
    assert "ordered for the whole animal, not per kg" in dose.second_person


def test_the_carers_page_that_gives_a_tenth_of_a_ml(book: Knowledge) -> None:
    """0.1 mL of 1 % ivermectin by mouth for each adult: 1 mg/kg at 1 kg (piggyville.com)."""
    order = by_mouth("0.1 mL/animal", "ivermectin", schedule=every(14))
    result = refused(book, order, 1000, product=a_product("1 % w/v"))
    assert ("above_stop:0.5 mg/kg", "vet") in {(one.what, one.may) for one in result.reasons}
    heavier = refused(book, order, 990, product=a_product("1 % w/v"))
    assert ("above_stop:1 mg/kg", "nobody") in {(one.what, one.may) for one in heavier.reasons}


def test_meloxicam_above_the_label_is_the_vets_to_confirm(book: Knowledge) -> None:
    order = by_mouth("1.5 mg/kg", "meloxicam")
    product = a_product("5 mg/mL", "meloxicam")
    assert keys(refused(book, order, 900, product=product)) == {"above_stop:0.6 mg/kg"}
    dose = a_dose(book, order, 900, product=product, also=aside("above_stop:0.6 mg/kg at 1.5"))
    assert dose.published.verdict is Verdict.INSIDE
    assert [(by.by, by.why) for _, by in dose.set_aside] == [(VET, "meant so")]


def test_the_right_dose_far_too_often_is_stopped(book: Knowledge) -> None:
    result = refused(book, an_order(schedule=every(1)))
    assert keys(result) == {"far_too_often"}
    weekly = a_dose(book, an_order(schedule=every(7)))
    assert weekly.published.verdict is Verdict.OUTSIDE  # every week is only remembered


@pytest.mark.parametrize(
    ("dose", "drug", "strength", "every_so_many_hours"),
    [
        # UKY: meloxicam every 24 hours, buprenorphine every 6 to 12; VP-ECT: ivermectin
        # every two weeks by mouth. The single doses of MOE19 and MCK92 give no interval.
        ("1.5 mg/kg", "meloxicam", "1.5 mg/mL", 8),
        ("1.5 mg/kg", "meloxicam", "1.5 mg/mL", 6),
        ("0.1 mg/kg", "meloxicam", "0.5 mg/mL", 8),
        ("0.5 mg/kg", "ivermectin", "1 mg/mL", 72),
    ],
)
def test_far_more_often_than_any_checked_source_is_stopped(
    dose: str, drug: str, strength: str, every_so_many_hours: int, book: Knowledge
) -> None:
    order = by_mouth(dose, drug, schedule=every_hours(every_so_many_hours))
    result = refused(book, order, 900, product=a_product(strength, drug))
    assert ("far_too_often", "vet") in {(one.code, one.may) for one in result.reasons}


def test_what_is_published_once_makes_no_repeated_dose_an_inside_one(book: Knowledge) -> None:
    """Selamectin 15 mg/kg: ESH12 gave it once; every 28 days is only remembered."""

    def often(schedule: Schedule) -> Comparison:
        order = an_order("15 mg/kg", "selamectin", route="on_skin", schedule=schedule)
        return a_dose(book, order, product=a_product("60 mg/mL", "selamectin")).published

    assert often(ONCE).verdict is Verdict.INSIDE
    repeated = often(every(14, doses=3))
    assert repeated.verdict is Verdict.OUTSIDE
    assert "published as a single dose only" in {one.often for one in repeated.ranges}


def test_far_above_without_a_lost_point_is_stopped_too(book: Knowledge) -> None:
    order = an_order("50 mg/kg", "amikacin", schedule=every(1))
    result = refused(book, order, product=a_product("250 mg/mL", "amikacin"))
    assert keys(result) == {"far_above"}


def test_milligrams_of_what_is_published_in_units_cannot_be_compared(book: Knowledge) -> None:
    order = an_order("1 mg/kg", "hCG", schedule=every(7))
    assert "unit_unlike_published" in keys(
        refused(book, order, product=a_product("1 mg/mL", "hCG"))
    )


def test_more_than_a_place_takes_is_split_by_the_vet(book: Knowledge) -> None:
    order = an_order("20 mL/kg", "lactated Ringer", schedule=every_hours(8))
    fluids = a_product(None, "lactated Ringer")
    result = refused(book, order, 900, product=fluids)
    assert keys(result) == {"volume_over_limit:10 mL per dose"}
    dose = a_dose(book, replace(order, dose=an_order("10 mL/kg").dose), 900, product=fluids)
    assert dose.measure.words == "draw up to 9 mL in the 10 mL syringe with marks of 0.5 mL"
