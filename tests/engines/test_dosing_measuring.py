"""Marks on syringes, which way they are rounded, and thinning what is too little to measure."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cavyround.engines.dosing import Direction, Measure, Syringe, syringe_in_hand
from cavyround.engines.dosing.diluting import dilution_for
from cavyround.engines.dosing.measuring import (
    NEAREST,
    Rounding,
    Unmeasured,
    error_words,
    measure_volume,
    to_mark,
)
from cavyround.facts.quantities import Volume
from cavyround.facts.reading_amounts import read_strength
from cavyround.facts.strengths import PerVolume
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge
from tests.engines.dosing_made import (
    USUAL,
    a_dose,
    a_product,
    an_order,
    by_mouth,
    every,
    every_hours,
    keys,
    refused,
    syringes,
)

BOOK = load_knowledge()
# A busy machine is no fault of the sum.
UNHURRIED = settings(deadline=None)
DOWN = Rounding(down=True)


def measured(ml: str, *codes: str, rounding: Rounding = NEAREST) -> Measure | Unmeasured:
    return measure_volume(Volume(Decimal(ml)), syringes(BOOK, *codes), rounding, book=BOOK)


def at(ml: str, *codes: str, rounding: Rounding = NEAREST) -> tuple[str, str]:
    """The mark and the syringe of a volume that can be measured."""
    measure = measured(ml, *codes, rounding=rounding)
    assert isinstance(measure, Measure), measure
    assert isinstance(measure.to, Volume)
    return f"{measure.to.ml:f}", measure.device


# Graduations as the knowledge holds them: Glasgow Caledonian University and the Jorum object
# (1 mL by 0.01; 2.5, 5 and 10 mL by 0.1); a page citing RMIT contradicts (5 and 10 mL by 0.2,
# a plain 1 mL by 0.1, 3 mL by 0.1); the others are from memory and say so.
SEEN = {
    "ml_1_by_0_01",
    "ml_1_by_0_1",
    "ml_2_5_by_0_1",
    "ml_3_by_0_1",
    "ml_5_by_0_1",
    "ml_5_by_0_2",
    "ml_10_by_0_1",
    "ml_10_by_0_2",
}


def test_graduations_nobody_read_in_a_source_say_so(book: Knowledge) -> None:
    kinds = book.medicines.syringes
    assert {code for code, kind in kinds.items() if kind.sure == "seen"} == SEEN
    assert {kind.sure for code, kind in kinds.items() if code not in SEEN} == {"memory"}


@pytest.mark.parametrize("code", sorted(BOOK.medicines.syringes))
def test_a_syringe_is_named_for_what_it_holds_and_its_marks(code: str, book: Knowledge) -> None:
    kind = book.medicines.syringes[code]
    if kind.only_for == "insulin":
        # 100 units to the mL: one mark is one unit.
        assert kind.mark_ml == Decimal("0.01")
        assert f"{kind.holds_ml * 100:.0f} units" in kind.words
    else:
        assert f"{kind.holds_ml} mL syringe with marks of {kind.mark_ml} mL" == kind.words


@pytest.mark.parametrize(
    ("ml", "mark", "syringe"),
    [
        ("0.36", "0.36", "ml_1_by_0_01"),
        ("0.656", "0.66", "ml_1_by_0_01"),
        ("0.655", "0.66", "ml_1_by_0_01"),  # half a mark upwards
        ("1.00", "1.00", "ml_1_by_0_01"),
        ("1.04", "1.0", "ml_2_5_by_0_1"),
        ("2.55", "2.6", "ml_5_by_0_2"),
        ("4.5", "4.6", "ml_5_by_0_2"),
        ("7.3", "7.5", "ml_10_by_0_5"),
        ("15", "15", "ml_20_by_1"),
    ],
)
def test_the_smallest_syringe_that_measures_it_well_is_taken(
    ml: str, mark: str, syringe: str
) -> None:
    to, device = at(ml)
    assert (Decimal(to), device) == (Decimal(mark), syringe)


def test_a_finer_mark_wins_over_a_coarser_on_the_same_size() -> None:
    assert at("0.34", "ml_1_by_0_1", "ml_1_by_0_01", "ml_1_by_0_05") == ("0.34", "ml_1_by_0_01")


def test_a_mark_more_than_a_tenth_off_does_not_measure_it() -> None:
    """0.032 mL on marks of 0.05 mL is 0.05 mL, 56 % too much; on 0.01 mL it is 6.3 % too little."""
    coarse = measured("0.032", "ml_1_by_0_05")
    assert isinstance(coarse, Unmeasured)
    assert coarse.holds
    assert coarse.best is not None
    assert error_words(coarse.best) == "rounded up, 56.3 % too much"
    fine = measured("0.032", "ml_1_by_0_01")
    assert isinstance(fine, Measure)
    assert error_words(fine) == "rounded down, 6.3 % too little"


def test_fewer_than_three_marks_measure_nothing_even_where_they_fit() -> None:
    assert isinstance(measured("0.02", "ml_1_by_0_01"), Unmeasured)
    assert at("0.03", "ml_1_by_0_01") == ("0.03", "ml_1_by_0_01")


def test_what_no_syringe_holds_is_told_apart_from_what_is_too_little() -> None:
    too_much = measured("20.6")
    assert isinstance(too_much, Unmeasured)
    assert not too_much.holds


@pytest.mark.parametrize(
    ("number", "nearest", "down"),
    [("0.124", "0.12", "0.12"), ("0.125", "0.13", "0.12"), ("0.129", "0.13", "0.12")],
)
def test_held_down_it_is_never_rounded_up(number: str, nearest: str, down: str) -> None:
    mark = Decimal("0.01")
    assert to_mark(Decimal(number), mark) == Decimal(nearest)
    assert to_mark(Decimal(number), mark, DOWN) == Decimal(down)


def test_rounding_never_carries_a_dose_over_a_stop(book: Knowledge) -> None:
    """0.5 mg/kg is the most of ivermectin that asks no vet: the mark above would be more."""
    order = an_order("0.5 mg/kg", schedule=every(14))
    dose = a_dose(book, order, 1050)
    # 0.0525 mL
    assert dose.measure.words.startswith("draw up to 0.05 mL")
    weaker = a_dose(book, order, 777, product=a_product("1 mg/mL"))
    # 0.3885 mL: the nearest mark is 0.39, which would be 0.502 mg/kg.
    assert weaker.measure.words.startswith("draw up to 0.38 mL")
    assert weaker.measure.direction is Direction.DOWN


def test_an_opioid_is_always_rounded_down(book: Knowledge) -> None:
    order = an_order("0.05 mg/kg", "buprenorphine", schedule=every_hours(12))
    dose = a_dose(book, order, 1010, product=a_product("0.3 mg/mL", "buprenorphine"))
    # 0.16833 mL
    assert dose.measure.words.startswith("draw up to 0.16 mL")
    heavier = a_dose(book, order, 1018, product=a_product("0.3 mg/mL", "buprenorphine"))
    # 0.16967 mL: 0.17 would be nearer
    assert heavier.measure.words.startswith("draw up to 0.16 mL")
    assert heavier.controlled
    assert "an opioid" in heavier.second_person


def test_a_small_dose_is_measured_with_a_warning_or_better_thinned(book: Knowledge) -> None:
    """800 g, 0.4 mg/kg of 1 %: 0.03 mL is 6.3 % too little; one part in ten is 0.32 mL."""
    plain = a_dose(book, an_order())
    assert plain.measure.words.startswith("draw up to 0.03 mL")
    assert plain.instead is not None
    assert plain.instead.measure.to == Volume(Decimal("0.32"))
    assert any("off by more than a twentieth" in one.words for one in plain.cautions)
    thinned = a_dose(book, an_order(diluent="propylene glycol"))
    assert thinned.dilution is not None
    assert thinned.measure.to == Volume(Decimal("0.32"))
    assert thinned.measure.direction is Direction.EXACT
    assert thinned.by_hand.endswith(
        "0.32 mg \u00f7 10 mg/mL = 0.032 mL; thinned 1 part to 10: \u00d7 10 = 0.32 mL"
    )
    assert {"less than 0.1 mL of the liquid", "a liquid is thinned"} <= set(thinned.second_person)


def test_the_steps_of_thinning_name_every_volume_and_strength(book: Knowledge) -> None:
    dose = a_dose(book, an_order(diluent="propylene glycol"))
    assert dose.dilution is not None
    assert dose.dilution.steps == (
        "Take 0.1 mL of the strong liquid (10 mg/mL) with the 1 mL syringe with marks of 0.01 mL.",
        "Add 0.9 mL of propylene glycol with a clean 1 mL syringe with marks of 0.01 mL: "
        "1 part and 9 parts, 1 mL of 1 mg/mL. Mix it well.",
        "Of the last mixture draw up to 0.32 mL in the 1 mL syringe with marks of 0.01 mL.",
        "Label it with its strength and the time; use it at once and throw the rest away.",
    )


def test_what_is_too_little_is_thinned_only_with_what_the_vet_names(book: Knowledge) -> None:
    order = an_order("0.4 mg/kg", schedule=every(10))
    result = refused(book, order, 500)
    assert keys(result) == {"too_small_to_measure"}
    assert result.offered is not None
    assert "the liquid the vet names" in result.offered.steps[1]
    dose = a_dose(book, replace(order, diluent="propylene glycol"), 500)
    assert dose.measure.to == Volume(Decimal("0.2"))


def test_a_hundredfold_is_thinned_in_two_steps(book: Knowledge) -> None:
    order = by_mouth("0.02 mg/kg", "levothyroxine", diluent="water")
    dose = a_dose(book, order, 900, product=a_product("10 mg/mL", "levothyroxine"))
    # 0.018 mg, 0.0018 mL
    assert dose.dilution is not None
    assert dose.dilution.factor == 100
    assert len(dose.dilution.steps) == 6
    assert dose.measure.to == Volume(Decimal("0.18"))
    assert dose.amount_words == "0.018 mg (18 micrograms)"


@UNHURRIED
@given(
    st.decimals("0.001", "0.2", allow_nan=False, places=4),
    st.decimals("0.1", "200", allow_nan=False, places=1),
)
def test_a_thinned_dose_holds_as_much_drug_as_the_plain_one(ml: Decimal, mg: Decimal) -> None:
    strength = read_strength(f"{mg} mg/mL")
    assert isinstance(strength, PerVolume)
    thinned = dilution_for(Volume(ml), strength, "water", syringes(BOOK), NEAREST, book=BOOK)
    if thinned is None:
        return
    assert isinstance(thinned.strength, PerVolume)
    assert thinned.strength.active_in(thinned.volume) == strength.active_in(Volume(ml))
    assert abs(thinned.measure.error_pct) <= 5


@UNHURRIED
@given(
    st.decimals("0.01", "20", allow_nan=False, places=4),
    st.sets(st.sampled_from(USUAL), min_size=1),
)
def test_a_mark_is_a_mark_of_its_syringe_and_never_far_from_the_dose(
    ml: Decimal, codes: set[str]
) -> None:
    measure = measured(str(ml), *codes)
    if isinstance(measure, Unmeasured):
        return
    syringe = syringe_in_hand(BOOK, measure.device)
    assert isinstance(measure.to, Volume)
    assert not measure.to.ml % syringe.mark_ml
    assert measure.to.ml <= syringe.holds_ml
    assert abs(measure.to.ml - ml) <= syringe.mark_ml / 2
    assert abs(measure.error_pct) <= 10


@UNHURRIED
@given(
    st.decimals("0.03", "19", allow_nan=False, places=4),
    st.decimals("0", "1", allow_nan=False, places=4),
)
def test_more_is_never_measured_as_less(ml: Decimal, more: Decimal) -> None:
    less, greater = measured(str(ml)), measured(str(ml + more))
    if isinstance(less, Measure) and isinstance(greater, Measure):
        assert less.to.number <= greater.to.number


# --- what is no syringe of the plain kind


def test_an_insulin_syringe_is_never_offered_for_another_medicine(book: Knowledge) -> None:
    result = refused(book, an_order(), hand=["insulin_u100_1"])
    assert keys(result) == {"no_syringe"}
    dose = a_dose(book, an_order(), hand=["insulin_u100_1", "ml_1_by_0_01"])
    assert dose.measure.device == "ml_1_by_0_01"
    assert any("units, not mL" in one.words for one in dose.cautions)


def test_insulin_is_measured_in_units_and_only_at_the_strength_of_its_syringe(
    book: Knowledge,
) -> None:
    order = an_order("2.5 units/kg", "insulin", schedule=every_hours(12))
    hand = ["ml_1_by_0_01", "insulin_u100_0_3"]
    dose = a_dose(book, order, 1200, product=a_product("100 units/mL", "insulin"), hand=hand)
    assert dose.measure.words == (
        "draw up to 3 units (0.03 mL) in the insulin syringe for 100 units/mL, 30 units"
    )
    other = refused(book, order, 1000, product=a_product("40 units/mL", "insulin"), hand=hand)
    assert "no_syringe" in keys(other)


def test_without_a_syringe_in_the_hand_nothing_is_drawn_up(book: Knowledge) -> None:
    own = Syringe(
        code="x", words="x", holds_ml=Decimal(1), mark_ml=Decimal("0.1"), only_for="insulin"
    )
    assert own.only_for
    assert keys(refused(book, an_order(), hand=["insulin_u100_0_5"])) == {"no_syringe"}


def test_a_paste_is_weighed_unless_its_density_is_stated(book: Knowledge) -> None:
    order = by_mouth("30 mg/kg", "fenbendazole")
    paste = a_product("18.7 % w/w", "fenbendazole")
    weighed = a_dose(book, order, 1000, product=paste)
    assert weighed.measure.words == "weigh out 0.16 g"
    assert weighed.by_hand == (
        "1 kg \u00d7 30 mg/kg = 30 mg; 30 mg \u00f7 187 mg/g = about 0.1604 g"
    )
    drawn = a_dose(book, order, 1000, product=replace(paste, g_per_ml=Decimal("1.1")))
    # 0.16043 g at 1.1 g/mL is 0.14585 mL
    assert drawn.measure.words.startswith("draw up to 0.15 mL")


def test_a_crumb_of_paste_cannot_be_weighed(book: Knowledge) -> None:
    order = an_order("0.2 mg/kg", route="by_mouth", schedule=every(10))
    result = refused(book, order, 900, product=a_product("18.7 mg/g"))
    assert keys(result) == {"too_small_to_measure"}


def test_drops_are_whole_and_of_a_stated_size(book: Knowledge) -> None:
    """12 drops/kg of 0.5 mg/mL are 0.2 mg/kg where 30 drops make 1 mL (its label, cats)."""
    order = by_mouth("12 drops/kg", "meloxicam")
    product = a_product("0.5 mg/mL", "meloxicam", drop="30 drops/mL")
    dose = a_dose(book, order, 1000, product=product)
    assert (dose.measure.words, dose.amount_words) == ("give 12 drops", "0.2 mg")
    light = refused(book, order, 120, product=product)
    assert "too_small_to_measure" in keys(light)


def test_what_comes_in_one_piece_is_not_divided(book: Knowledge) -> None:
    order = an_order("4.7 mg/animal", "deslorelin", schedule=every(180))
    whole = a_dose(book, order, 1000, product=a_product("4.7 mg/implant", "deslorelin"))
    assert whole.measure.words == "use 1 whole implant"
    result = refused(book, order, 1000, product=a_product("9.4 mg/implant", "deslorelin"))
    assert keys(result) == {"pieces_not_whole"}


def test_a_wash_asks_no_weight_and_says_its_parts(book: Knowledge) -> None:
    wash = an_order("100 mL of 0.2 % w/v", "enilconazole", route="wash", schedule=every(4))
    dose = a_dose(book, wash, product=a_product("10 % w/v", "enilconazole"))
    assert dose.weight is None
    assert dose.dilution is not None
    assert dose.dilution.steps[-1] == (
        "Add 98 mL of water to make 100 mL of 2 mg/mL. Mix it well. That is 2 parts and 98 parts."
    )
    assert dose.by_hand == "100 mL \u00d7 2 mg/mL \u00f7 100 mg/mL = 2 mL"


@pytest.mark.parametrize(
    ("wash", "label", "key"),
    [
        ("100 mL of 20 % w/v", "10 % w/v", "weaker_than_ordered"),
        ("100 mL of 0.2 % w/v", "10 % w/w", "no_strength"),
        ("100 mL of 0.2 % w/v", None, "no_strength"),
        ("100 mL of 0.2 % w/v", "10 %", "unknown_unit:label"),
        ("1 mL of 0.2 mcg/mL", "10 % w/v", "too_small_to_measure"),
        ("100 mL of 2 % w/v", "10 % w/v", "tenfold"),
    ],
)
def test_a_wash_that_cannot_be_made_up_is_refused(
    wash: str, label: str | None, key: str, book: Knowledge
) -> None:
    order = an_order(wash, "enilconazole", route="sponged_on", schedule=every(4))
    assert key in keys(refused(book, order, product=a_product(label, "enilconazole")))


def test_so_few_marks_that_they_are_misread_are_not_called_exact(book: Knowledge) -> None:
    """0.2 mL lies on the first mark of a syringe marked by 0.2 mL."""
    order = by_mouth("1 mg/kg", "meloxicam", schedule=every(1))
    product = a_product("4 mg/mL", "meloxicam")
    result = refused(book, order, 800, product=product, hand=("ml_5_by_0_2",))
    [words] = [one.words for one in result.reasons if one.code == "too_small_to_measure"]
    assert "it lies on a mark" in words
    assert "exactly" not in words
