"""Amounts keep their unit, conversions agree with each other and with a library of units."""

from collections.abc import Callable
from decimal import Decimal, localcontext

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavyround.facts.quantities import (
    Activity,
    Amount,
    Drops,
    DropSize,
    Mass,
    MassUnit,
    Pieces,
    Volume,
    VolumeUnit,
    kilograms,
)
from cavyround.facts.strengths import (
    DosePer,
    Mix,
    Per,
    PerMass,
    PerPiece,
    PerVolume,
    per_kg_from_per_lb,
    per_lb_from_per_kg,
)

NUMBERS = st.decimals("0.000001", "999999", allow_nan=False, places=6)
MASS_UNITS = st.sampled_from(MassUnit)
VOLUME_UNITS = st.sampled_from(VolumeUnit)
LIBRARY: pint.UnitRegistry[Decimal] = pint.UnitRegistry(non_int_type=Decimal)
LIBRARY_NAMES = {
    "g": "gram",
    "mg": "milligram",
    "mcg": "microgram",
    "L": "litre",
    "mL": "millilitre",
}
LAST_DIGITS = Decimal("1e-30")


def a_mass(number: str, unit: MassUnit = MassUnit.MG) -> Mass:
    return Mass.of(Decimal(number), unit)


@given(NUMBERS, MASS_UNITS, MASS_UNITS, MASS_UNITS)
def test_a_mass_converted_by_way_of_another_unit_is_the_same_as_straight(
    number: Decimal, first: MassUnit, between: MassUnit, last: MassUnit
) -> None:
    straight = Mass.of(number, first).in_unit(last)
    by_way = Mass.of(Mass.of(number, first).in_unit(between), between).in_unit(last)
    assert by_way == straight


@given(NUMBERS, VOLUME_UNITS, VOLUME_UNITS, VOLUME_UNITS)
def test_a_volume_converted_by_way_of_another_unit_is_the_same_as_straight(
    number: Decimal, first: VolumeUnit, between: VolumeUnit, last: VolumeUnit
) -> None:
    straight = Volume.of(number, first).in_unit(last)
    by_way = Volume.of(Volume.of(number, first).in_unit(between), between).in_unit(last)
    assert by_way == straight


@given(NUMBERS, MASS_UNITS, MASS_UNITS)
def test_masses_agree_with_a_library_of_units(
    number: Decimal, first: MassUnit, last: MassUnit
) -> None:
    theirs = LIBRARY.Quantity(number, LIBRARY_NAMES[first]).to(LIBRARY_NAMES[last]).magnitude
    ours = Mass.of(number, first).in_unit(last)
    # The library works in the ambient 28 digits.
    assert abs(ours - theirs) <= ours * Decimal("1e-26")


@given(NUMBERS, VOLUME_UNITS, VOLUME_UNITS)
def test_volumes_agree_with_a_library_of_units(
    number: Decimal, first: VolumeUnit, last: VolumeUnit
) -> None:
    theirs = LIBRARY.Quantity(number, LIBRARY_NAMES[first]).to(LIBRARY_NAMES[last]).magnitude
    ours = Volume.of(number, first).in_unit(last)
    assert abs(ours - theirs) <= ours * Decimal("1e-26")


@given(NUMBERS, NUMBERS, NUMBERS)
def test_what_a_volume_holds_is_found_again_in_that_volume(
    wanted: Decimal, active: Decimal, volume: Decimal
) -> None:
    strength = PerVolume(Mass(active), Volume(volume))
    there = strength.volume_of(Mass(wanted))
    back = strength.active_in(there)
    assert isinstance(back, Mass)
    assert abs(back.mg - wanted) <= wanted * LAST_DIGITS


@given(NUMBERS, NUMBERS, NUMBERS)
def test_a_paste_holds_what_was_asked_of_it(wanted: Decimal, one: Decimal, other: Decimal) -> None:
    strength = PerMass(Mass(min(one, other)), Mass(max(one, other)))
    back = strength.active_in(strength.paste_of(Mass(wanted)))
    assert abs(back.mg - wanted) <= wanted * LAST_DIGITS


@given(NUMBERS, NUMBERS, NUMBERS)
def test_drops_and_their_volume_turn_into_each_other(
    count: Decimal, drops: Decimal, volume: Decimal
) -> None:
    size = DropSize(drops, Volume(volume))
    back = size.drops_in(size.volume_of(Drops(count)))
    assert abs(back.count - count) <= count * LAST_DIGITS


@given(NUMBERS)
def test_pounds_and_kilograms_turn_into_each_other(number: Decimal) -> None:
    back = per_lb_from_per_kg(per_kg_from_per_lb(number))
    assert abs(back - number) <= number * LAST_DIGITS


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (a_mass("400", MassUnit.MCG), a_mass("0.4")),
        (a_mass("1", MassUnit.G), a_mass("1000")),
        (a_mass("25", MassUnit.MCG), a_mass("0.025")),
        (Volume.of(Decimal("0.5"), VolumeUnit.L), Volume(Decimal(500))),
    ],
)
def test_the_same_amount_in_two_units_is_equal(one: Amount, other: Amount) -> None:
    assert one == other


def test_a_microgram_is_a_thousandth_of_a_milligram_and_nothing_else() -> None:
    assert a_mass("25", MassUnit.MCG).mg * 1000 == a_mass("25").mg


@pytest.mark.parametrize(
    "amounts",
    [
        (Mass(Decimal(1)), Volume(Decimal(1))),
        (Mass(Decimal(1)), Activity(Decimal(1))),
        (Drops(Decimal(1)), Volume(Decimal(1))),
        (Pieces(Decimal(1)), Drops(Decimal(1))),
    ],
)
def test_the_same_number_of_two_kinds_is_not_the_same_amount(
    amounts: tuple[Amount, Amount],
) -> None:
    assert amounts[0] != amounts[1]


def test_units_of_activity_never_become_milligrams() -> None:
    in_mg = PerVolume(a_mass("10"), Volume(Decimal(1)))
    in_units = PerPiece(Activity(Decimal(10)), "tablet")
    with pytest.raises(TypeError, match="do not turn into each other"):
        in_mg.volume_of(Activity(Decimal(1)))
    with pytest.raises(TypeError, match="do not turn into each other"):
        in_units.pieces_of(a_mass("1"))


@pytest.mark.parametrize(
    "nonsense",
    [
        lambda: Mass(Decimal(-1)),
        lambda: Mass(Decimal("NaN")),
        lambda: Volume(Decimal("Infinity")),
        lambda: Activity(Decimal(-1)),
        lambda: Drops(Decimal("NaN")),
        lambda: Pieces(Decimal(-1)),
        lambda: DropSize(Decimal(0), Volume(Decimal(1))),
        lambda: DropSize(Decimal(1), Volume(Decimal(0))),
        lambda: PerVolume(a_mass("0"), Volume(Decimal(1))),
        lambda: PerVolume(a_mass("1"), Volume(Decimal(0))),
        lambda: PerMass(a_mass("2"), a_mass("1")),
        lambda: PerPiece(a_mass("0"), "tube"),
        lambda: DosePer(a_mass("0"), Per.KG),
        lambda: Mix(PerVolume(a_mass("1"), Volume(Decimal(1))), Volume(Decimal(0))),
    ],
)
def test_what_is_no_amount_cannot_be_made(nonsense: Callable[[], object]) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        nonsense()


def test_a_wash_is_not_made_up_in_units() -> None:
    with pytest.raises(TypeError, match="by mass"):
        Mix(PerVolume(Activity(Decimal(1)), Volume(Decimal(1))), Volume(Decimal(1)))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (
            PerVolume(a_mass("125"), Volume(Decimal(3))),
            PerVolume(a_mass("250"), Volume(Decimal(6))),
        ),
        (
            PerVolume(a_mass("1", MassUnit.G), Volume(Decimal(100))),
            PerVolume(a_mass("10"), Volume(Decimal(1))),
        ),
        (
            PerMass(a_mass("18.7"), a_mass("1", MassUnit.G)),
            PerMass(a_mass("1.87", MassUnit.G), a_mass("100", MassUnit.G)),
        ),
    ],
)
def test_one_strength_written_two_ways_is_as_strong(
    one: PerVolume | PerMass, other: PerVolume | PerMass
) -> None:
    assert one.is_as_strong_as(other)
    assert other.is_as_strong_as(one)


def test_strengths_of_different_kinds_are_never_as_strong() -> None:
    liquid = PerVolume(a_mass("10"), Volume(Decimal(1)))
    paste = PerMass(a_mass("10"), a_mass("1", MassUnit.G))
    piece = PerPiece(a_mass("10"), "tablet")
    units = PerVolume(Activity(Decimal(10)), Volume(Decimal(1)))
    kinds = (liquid, paste, piece, units)
    assert [a.is_as_strong_as(b) for a in kinds for b in kinds].count(True) == len(kinds)


def test_thinned_tenfold_it_is_a_tenth_as_strong() -> None:
    thinned = PerVolume(a_mass("10"), Volume(Decimal(1))).weaker(Decimal(10))
    assert thinned.is_as_strong_as(PerVolume(a_mass("1"), Volume(Decimal(1))))


@given(NUMBERS, st.integers(30, 2700))
def test_a_dose_per_kg_is_a_thousandth_of_itself_for_each_gram(number: Decimal, grams: int) -> None:
    weight = Decimal(grams)
    amount = DosePer(Mass(number), Per.KG).for_weight(weight)
    assert isinstance(amount, Mass)
    assert amount.mg == number * grams / 1000
    assert kilograms(weight) * 1000 == weight


@given(NUMBERS, st.integers(30, 2700))
def test_a_dose_per_animal_does_not_ask_the_weight(number: Decimal, grams: int) -> None:
    assert DosePer(Mass(number), Per.ANIMAL).for_weight(Decimal(grams)) == Mass(number)


def test_a_coarse_context_elsewhere_changes_no_amount() -> None:
    strength = PerVolume(a_mass("48"), Volume(Decimal(1)))
    exact = strength.volume_of(a_mass("31.5"))
    with localcontext() as context:
        context.prec = 2
        assert strength.volume_of(a_mass("31.5")) == exact == Volume(Decimal("0.65625"))
        assert DosePer(a_mass("0.4"), Per.KG).for_weight(Decimal(1234)) == a_mass("0.4936")
