"""Text becomes an amount, or words that say what is wrong; nothing is guessed."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavyround.facts.quantities import Activity, Drops, DropSize, Mass, Pieces, Volume
from cavyround.facts.reading_amounts import (
    LONGEST,
    MISREAD,
    NotRead,
    read_amount,
    read_dose,
    read_drop_size,
    read_strength,
)
from cavyround.facts.saying_amounts import (
    amount_words,
    both_units_words,
    dose_words,
    drop_size_words,
    hours_words,
    is_exact,
    number_words,
    strength_words,
)
from cavyround.facts.strengths import DosePer, Mix, Per, PerMass, PerPiece, PerVolume

ONE_ML = Volume(Decimal(1))


def mg(number: str) -> Mass:
    return Mass(Decimal(number))


@pytest.mark.parametrize(
    ("text", "dose"),
    [
        ("0.4 mg/kg", DosePer(mg("0.4"), Per.KG)),
        ("0.4mg/kg", DosePer(mg("0.4"), Per.KG)),
        ("0.4 mg per kg", DosePer(mg("0.4"), Per.KG)),
        ("0.250 mg/kg", DosePer(mg("0.25"), Per.KG)),
        ("1.125 mg/kg", DosePer(mg("1.125"), Per.KG)),
        ("400 mcg/kg", DosePer(mg("0.4"), Per.KG)),
        ("400 \u00b5g/kg", DosePer(mg("0.4"), Per.KG)),
        ("400 \u03bcg/kg", DosePer(mg("0.4"), Per.KG)),
        ("400 micrograms per kg", DosePer(mg("0.4"), Per.KG)),
        ("0.02 g/animal", DosePer(mg("20"), Per.ANIMAL)),
        ("25 ug/animal", DosePer(mg("0.025"), Per.ANIMAL)),
        ("100 IU/kg", DosePer(Activity(Decimal(100)), Per.KG)),
        ("100 [iU]/kg", DosePer(Activity(Decimal(100)), Per.KG)),
        ("1000 international units per animal", DosePer(Activity(Decimal(1000)), Per.ANIMAL)),
        ("0.5 ml/kg", DosePer(Volume(Decimal("0.5")), Per.KG)),
        ("12 drops/kg", DosePer(Drops(Decimal(12)), Per.KG)),
        ("1 pipette per animal", DosePer(Pieces(Decimal(1)), Per.ANIMAL)),
        (
            "100 mL of 0.2 % w/v",
            Mix(PerVolume(mg("200"), Volume(Decimal(100))), Volume(Decimal(100))),
        ),
    ],
)
def test_a_dose_is_read(text: str, dose: DosePer | Mix) -> None:
    assert read_dose(text) == dose


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("20 mg", "per kg or per animal"),
        ("0.1 mL", "per kg or per animal"),
        ("0,4 mg/kg", "a comma is a point to some"),
        ("1,000 IU/kg", "a comma is a point to some"),
        ("1.000 mg/kg", "a thousand times that to others"),
        ("2.500 mg/kg", "write 2.5 or 2500"),
        ("1.500 mg/kg", "write 1.5 or 1500"),
        ("12.250 mg/kg", "write 12.25 or 12250"),
        ("04 mg/kg", "a point may be missing"),
        ("00.4 mg/kg", "a point may be missing"),
        (".4 mg/kg", "is it 0.4?"),
        ("4 U/kg", "write units"),
        ("5 cc/kg", "write mL"),
        ("5 l/kg", "l is taken for 1"),
        ("10 Mg/kg", "write mg"),
        ("10 MG/kg", "write mg"),
        ("10 gm/kg", "write g"),
        ("10 gr/kg", "grain or gram"),
        ("10 ng/kg", "nanograms are not read"),
        ("10 gtt/kg", "write drops"),
        ("1 %/kg", "w/v"),
        ("10 cubits/kg", "the unit 'cubits' is not known; one of g, mg"),
        ("10 mg/lb", "this would be 22.05 mg/kg"),
        ("10 mg/Kg", "neither kg nor animal"),
        ("10 mg/pig", "neither kg nor animal"),
        ("10 mg in kg", "is not known"),
        ("10 mg/mL", "a strength, not a dose"),
        ("10 mg/kg/day", "how often is said apart"),
        ("0.4 mg/kg q12h", "neither kg nor animal"),
        ("4-6 mg/kg", "is no number"),
        ("1e3 mg/kg", "is no number"),
        ("-1 mg/kg", "is no number"),
        ("\uff14 mg/kg", "is no number"),
        ("0 mg/kg", "more than nought"),
        ("0.0 mg/kg", "more than nought"),
        ("1234567890 mg/kg", "is no number"),
        ("NaN mg/kg", "must begin with a number"),
        ("mg/kg", "must begin with a number"),
        ("4", "not a number with a unit"),
        ("", "not a number with a unit"),
        ("4 mg" + " " * LONGEST + "x/kg", "not a number with a unit"),
        ("100 mL of 0.2 %", "w/v"),
        ("100 mg of 0.2 % w/v", "a wash is so many mL"),
        ("100 mL of 0.2 % w/w", "a strength by volume"),
        ("100 mL of 5 units/mL", "a strength by volume"),
    ],
)
def test_a_dose_that_is_not_understood_is_told_in_words(text: str, words: str) -> None:
    read = read_dose(text)
    assert isinstance(read, NotRead)
    assert words in read.words


@pytest.mark.parametrize(
    ("text", "strength"),
    [
        ("10 mg/mL", PerVolume(mg("10"), ONE_ML)),
        ("10 mg per ml", PerVolume(mg("10"), ONE_ML)),
        ("1 % w/v", PerVolume(mg("10"), ONE_ML)),
        ("1% w/v", PerVolume(mg("10"), ONE_ML)),
        ("125 mg/3 mL", PerVolume(mg("125"), Volume(Decimal(3)))),
        ("10 mg in 5 mL", PerVolume(mg("10"), Volume(Decimal(5)))),
        ("1:1000 w/v", PerVolume(mg("1"), ONE_ML)),
        ("100 mcg/mL", PerVolume(mg("0.1"), ONE_ML)),
        ("1000 IU/mL", PerVolume(Activity(Decimal(1000)), ONE_ML)),
        ("18.7 mg/g", PerMass(mg("18.7"), mg("1000"))),
        ("1.87 % w/w", PerMass(mg("18.7"), mg("1000"))),
        ("150 mcg/pipette", PerPiece(mg("0.15"), "pipette")),
        ("4.7 mg/implant", PerPiece(mg("4.7"), "implant")),
    ],
)
def test_a_strength_is_read(text: str, strength: PerVolume | PerMass | PerPiece) -> None:
    read = read_strength(text)
    assert not isinstance(read, NotRead)
    assert read.is_as_strong_as(strength)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("1 %", "w/v (liquid) or w/w (paste)"),
        ("10 mg", "so much in so much"),
        ("1:1000", "so much in so much"),
        ("1:10,000 w/v", "a comma"),
        ("10 mg/mL/day", "so much in so much"),
        ("10 mL/mg", "begins with a mass"),
        ("10 mg/drop", "per mL, per g of paste"),
        ("10 mg/cup", "the unit 'cup' is not known"),
        ("10 units/g", "per mL, per g of paste"),
        ("2 g/g", "more drug than paste"),
        ("101 % w/v", "nothing is stronger than 100 %"),
        ("10 g/mL", "no liquid holds more than 1000 mg in a mL"),
        ("x % w/v", "is no number"),
        ("x mg/mL", "must begin with a number"),
        ("10 Mg/mL", "write mg"),
    ],
)
def test_a_strength_that_is_not_understood_is_told_in_words(text: str, words: str) -> None:
    read = read_strength(text)
    assert isinstance(read, NotRead)
    assert words in read.words


def test_a_drop_size_is_read_either_way_round() -> None:
    twenty = read_drop_size("20 drops/mL")
    assert twenty == DropSize(Decimal(20), ONE_ML)
    assert isinstance(twenty, DropSize)
    assert read_drop_size("0.05 mL/drop") == DropSize(Decimal(1), Volume(Decimal("0.05")))
    assert twenty.volume_of(Drops(Decimal(1))) == Volume(Decimal("0.05"))
    assert drop_size_words(twenty) == "20 drops make 1 mL"


@pytest.mark.parametrize(
    "text", ["20 drops", "20 mL", "20 mg/mL", "x drops/mL", "20 drops/cup", "", "drop/mL"]
)
def test_a_drop_of_unknown_size_is_no_drop_size(text: str) -> None:
    assert isinstance(read_drop_size(text), NotRead)


@given(st.text(max_size=30))
def test_no_text_at_all_breaks_the_reading(text: str) -> None:
    for read in (read_amount, read_dose, read_strength, read_drop_size):
        result = read(text)
        if isinstance(result, NotRead):
            assert result.words


@pytest.mark.parametrize("unit", sorted(MISREAD))
def test_what_is_misread_is_never_read(unit: str) -> None:
    assert isinstance(read_amount(f"4 {unit}"), NotRead)


AMOUNTS = st.decimals("0.001", "9999", allow_nan=False, places=3)


@given(AMOUNTS, st.sampled_from(["mg", "mcg", "g", "mL", "units", "drops"]), st.sampled_from(Per))
def test_what_is_said_is_read_back_as_the_same(number: Decimal, unit: str, per: Per) -> None:
    dose = read_dose(f"{number} {unit}/{per}")
    if isinstance(dose, NotRead):  # 1.000 or 2.500, which are thousands to some
        assert number >= 1
        assert str(number).endswith("0")
        return
    assert isinstance(dose, DosePer)
    said = dose_words(dose).replace(",", "")
    back = read_dose(said)
    assert isinstance(back, DosePer), said
    if is_exact(dose.amount.number):
        assert back == dose


@pytest.mark.parametrize(
    ("number", "words"),
    [
        ("0.4", "0.4"),
        ("0.40", "0.4"),
        ("1.0", "1"),
        ("10", "10"),
        ("100", "100"),
        ("1000", "1,000"),
        ("1234567", "1,234,567"),
        ("0.00032", "0.00032"),
        ("0.66666666", "0.6667"),
        ("0.99999", "1"),
        ("0", "0"),
        ("2.5", "2.5"),
        ("1.245E+3", "1,245"),
        ("1E+2", "100"),
    ],
)
def test_numbers_have_a_leading_nought_and_no_trailing_one(number: str, words: str) -> None:
    assert number_words(Decimal(number)) == words


@given(st.decimals("0.0000001", "999999999", allow_nan=False, places=7))
def test_a_number_as_said_is_never_a_tenfold_off(number: Decimal) -> None:
    said = number_words(number)
    back = Decimal(said.replace(",", ""))
    assert abs(back - number) <= number / 1000
    assert not said.startswith(".")
    assert "." not in said or not said.endswith(("0", "."))
    assert "E" not in said


def test_amounts_are_said_with_their_unit() -> None:
    assert amount_words(mg("0.320")) == "0.32 mg"
    assert amount_words(Activity(Decimal(1))) == "1 unit"
    assert amount_words(Pieces(Decimal(2))) == "2 pieces"
    assert both_units_words(mg("0.009")) == "0.009 mg (9 micrograms)"
    assert both_units_words(mg("0.32")) == "0.32 mg"
    assert strength_words(PerVolume(mg("125"), Volume(Decimal(3)))) == "41.67 mg/mL"
    assert strength_words(PerMass(mg("18.7"), mg("1000"))) == "18.7 mg/g"
    assert strength_words(PerPiece(mg("0.15"), "pipette")) == "0.15 mg in a pipette"
    mix = read_dose("100 mL of 0.2 % w/v")
    assert isinstance(mix, Mix)
    assert dose_words(mix) == "100 mL of 2 mg/mL"


@pytest.mark.parametrize(
    ("hours", "words"),
    [("12", "every 12 hours"), ("24", "every day"), ("240", "every 10 days"), ("1", "every hour")],
)
def test_how_often_is_written_out(hours: str, words: str) -> None:
    assert hours_words(Decimal(hours)) == words
