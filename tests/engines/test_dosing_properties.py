"""What must hold of every order: in proportion, no slip, no unit lost, however it is told."""

import random
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from benchmarks.random_orders import HAND, check, faults, random_orders, worked
from hypothesis import given, settings
from hypothesis import strategies as st

from cavyround.engines.dosing import (
    AlsoKnown,
    Dose,
    Refusal,
    Running,
    SetAside,
    Syringe,
    known_weight,
    syringe_in_hand,
)
from cavyround.engines.dosing.said import Reason, in_order
from cavyround.facts.animal import Weighing
from cavyround.facts.quantities import Mass, MassUnit, Volume
from cavyround.facts.reading_amounts import read_dose
from cavyround.knowledge.loading import load_knowledge
from tests.builders import NOW
from tests.engines.dosing_made import a_dose, a_product, an_order, by_mouth, every_hours
from tests.engines.dosing_made import worked as work

BOOK = load_knowledge()
# A busy machine is no fault of the sum.
UNHURRIED = settings(deadline=None)
GRAMS = st.integers(400, 2000)
DRUGS = ("carprofen", "prednisolone", "selamectin", "vitamin C", "meloxicam", "ivermectin")


def hand() -> Sequence[Syringe]:
    return [syringe_in_hand(BOOK, code) for code in HAND]


def test_a_thousand_random_orders_have_no_slip_and_lose_no_unit() -> None:
    """The same check runs over 100,000 in the benchmarks."""
    checked = check(random_orders(1000, 7, BOOK), BOOK)
    assert checked.doses > 300
    assert checked.refusals > 200
    assert checked.wrong == {}


@pytest.mark.parametrize(
    ("broken", "fault"),
    [
        ({"per_kg": Fraction(10)}, "another dose than was ordered"),
        ({"per_ml": Fraction(10)}, "a slip on the way to the mark"),
    ],
)
def test_the_check_of_random_orders_finds_what_it_looks_for(
    broken: dict[str, Fraction], fault: str
) -> None:
    found: set[str] = set()
    for one in random_orders(50, 3, BOOK):
        result = worked(one, one.grams, hand(), BOOK)
        if isinstance(result, Dose):
            tenfold = {name: getattr(one, name) * factor for name, factor in broken.items()}
            found |= set(faults(replace(one, **tenfold), result, result))
    assert fault in found
    assert "a heavier animal got less" in found


def test_the_same_seed_makes_the_same_orders() -> None:
    assert list(random_orders(20, 5, BOOK)) == list(random_orders(20, 5, BOOK))


@UNHURRIED
@given(GRAMS, st.integers(1, 500))
def test_a_dose_per_kg_rises_with_the_weight(grams: int, more: int) -> None:
    order = by_mouth("0.3 mg/kg", "meloxicam")
    product = a_product("0.5 mg/mL", "meloxicam")
    light = a_dose(BOOK, order, grams, product=product)
    heavy = a_dose(BOOK, order, grams + more, product=product)
    assert light.active is not None
    assert heavy.active is not None
    assert light.active.number < heavy.active.number
    assert light.product.number < heavy.product.number
    assert light.measure.to.number <= heavy.measure.to.number


@UNHURRIED
@given(GRAMS)
def test_a_dose_is_exactly_weight_times_dose_over_strength(grams: int) -> None:
    dose = a_dose(
        BOOK, by_mouth("0.3 mg/kg", "meloxicam"), grams, product=a_product("0.5 mg/mL", "meloxicam")
    )
    assert dose.active == Mass(Decimal(grams) * Decimal("0.0003"))
    assert dose.product == Volume(Decimal(grams) * Decimal("0.0006"))


@UNHURRIED
@given(
    GRAMS,
    st.sampled_from(["0.4 mg/kg", "400 mcg/kg", "0.0004 g/kg", "400 micrograms per kg"]),
    st.sampled_from(["10 mg/mL", "1 % w/v", "10000 mcg/mL", "50 mg in 5 mL", "1 g/100 mL"]),
)
def test_however_dose_and_strength_are_written_the_volume_is_the_same(
    grams: int, dose: str, strength: str
) -> None:
    plain = a_dose(BOOK, an_order(diluent="water"), grams)
    other = a_dose(BOOK, an_order(dose, diluent="water"), grams, product=a_product(strength))
    assert (other.active, other.product, other.measure) == (
        plain.active,
        plain.product,
        plain.measure,
    )
    assert (other.by_hand, other.published) == (plain.by_hand, plain.published)


@UNHURRIED
@given(
    st.decimals("0.001", "500", allow_nan=False, places=3),
    st.sampled_from(MassUnit),
    st.sampled_from(MassUnit),
)
def test_an_order_in_another_unit_is_the_same_order(
    number: Decimal, unit: MassUnit, other: MassUnit
) -> None:
    same = Mass.of(number, unit).in_unit(other)
    one, two = read_dose(f"{number:f} {unit}/kg"), read_dose(f"{same:f} {other}/kg")
    if "NotRead" not in f"{one}{two}":
        assert one == two


@UNHURRIED
@given(GRAMS, st.randoms(use_true_random=False))
def test_the_order_in_which_things_are_told_changes_nothing(
    grams: int, shuffle: random.Random
) -> None:
    order = an_order("0.5 mg/kg", "meloxicam", route="by_mouth", schedule=every_hours(24))
    running = [Running(order=f"o{n}", drug=drug) for n, drug in enumerate(DRUGS)]
    allergies = ["meloxicam", "penicillin", "NSAIDs"]
    asides = [
        SetAside(key="same_drug_running:o4", order="order", by="A", role="vet", why="x"),
        SetAside(key="same_drug_running:o4", order="order", by="B", role="vet", why="y"),
        SetAside(key="not_together:o1", order="order", by="B", role="vet", why="y"),
    ]
    hands = ["ml_1_by_0_01", "ml_2_5_by_0_1", "ml_1_by_0_05"]

    def said() -> Dose | Refusal:
        also = AlsoKnown(
            running=tuple(running), allergies=tuple(allergies), set_aside=tuple(asides)
        )
        product = a_product("0.5 mg/mL", "meloxicam")
        return work(BOOK, order, grams, product=product, also=also, hand=hands)

    first = said()
    for told in (running, allergies, asides, hands):
        shuffle.shuffle(told)
    assert said() == first
    assert isinstance(first, Refusal)


@UNHURRIED
@given(st.lists(st.tuples(st.integers(0, 30), st.integers(500, 1200)), max_size=6), st.randoms())
def test_weighings_may_come_in_any_order(
    pairs: list[tuple[int, int]], shuffle: random.Random
) -> None:
    weighings = [Weighing(at=NOW - timedelta(days=d), grams=Decimal(g)) for d, g in pairs]
    first = known_weight(weighings, grown=True, book=BOOK)
    shuffle.shuffle(weighings)
    assert known_weight(weighings, grown=True, book=BOOK) == first


REASONS = st.builds(
    Reason,
    code=st.sampled_from(["a", "b"]),
    words=st.sampled_from(["x", "y"]),
    do=st.just("do"),
    may=st.sampled_from(["nobody", "vet", "carer"]),
    about=st.sampled_from(["", "p", "q"]),
)


@UNHURRIED
@given(st.lists(REASONS, max_size=8), st.randoms())
def test_reasons_are_told_once_and_in_one_order(
    reasons: list[Reason], shuffle: random.Random
) -> None:
    first = in_order(reasons)
    shuffle.shuffle(reasons)
    assert in_order(reasons) == first
    assert set(first) == set(reasons)
    assert [one.may for one in first] == sorted(
        (one.may for one in first), key=["nobody", "vet", "carer"].index
    )
