"""Read doses, strengths and drop sizes from text. What is not understood is a value with words.

Nothing is guessed: case counts (``Mg`` is no milligram), a comma in a number is never read,
a dose must say whether it is per kg or per animal, ``%`` whether w/v or w/w.
"""

import re
from dataclasses import dataclass
from decimal import Decimal

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
)
from cavyround.facts.saying_amounts import number_words
from cavyround.facts.strengths import (
    DosePer,
    Mix,
    Per,
    PerMass,
    PerPiece,
    PerVolume,
    Strength,
    per_kg_from_per_lb,
)

MASSES = {
    "g": MassUnit.G,
    "gram": MassUnit.G,
    "grams": MassUnit.G,
    "mg": MassUnit.MG,
    "milligram": MassUnit.MG,
    "milligrams": MassUnit.MG,
    "mcg": MassUnit.MCG,
    "ug": MassUnit.MCG,
    "\u00b5g": MassUnit.MCG,  # the micro sign
    "\u03bcg": MassUnit.MCG,  # the Greek letter; phones give either
    "microgram": MassUnit.MCG,
    "micrograms": MassUnit.MCG,
}
VOLUMES = {
    "mL": VolumeUnit.ML,
    "ml": VolumeUnit.ML,
    "millilitre": VolumeUnit.ML,
    "millilitres": VolumeUnit.ML,
    "L": VolumeUnit.L,
    "litre": VolumeUnit.L,
    "litres": VolumeUnit.L,
}
ACTIVITIES = frozenset({"units", "unit", "IU", "iu", "[iU]", "international units"})
DROP_WORDS = frozenset({"drop", "drops"})
PIECES = {
    "pipette": "pipette",
    "pipettes": "pipette",
    "tube": "tube",
    "tubes": "tube",
    "tablet": "tablet",
    "tablets": "tablet",
    "implant": "implant",
    "implants": "implant",
}
# What is written by habit and misread by habit: said by name, so that it can be put right.
MISREAD = {
    "U": "U is taken for 0 or 4; write units",
    "u": "u is taken for 0 or 4; write units",
    "cc": "cc is taken for 00; write mL",
    "l": "l is taken for 1; write L or mL",
    "ML": "ML is no millilitre; write mL",
    "Ml": "Ml is no millilitre; write mL",
    "MG": "MG is no milligram; write mg",
    "Mg": "Mg is no milligram; write mg",
    "G": "G is no gram; write g",
    "gm": "gm is not a unit; write g",
    "gr": "gr may be grain or gram; write g or mg",
    "ng": "nanograms are not read; ask what is meant",
    "gtt": "gtt is not read; write drops",
    "mgs": "mgs is not a unit; write mg",
    "MCG": "MCG is no microgram; write mcg",
    "Mcg": "Mcg is no microgram; write mcg",
    "%": "a percentage must say w/v (liquid) or w/w (paste)",
}
KNOWN_UNITS = "g, mg, mcg (or micrograms), units, mL, L, drops, pipette, tube, tablet, implant"
NUMBER = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,9})?", re.ASCII)
# A point that was lost, or is easily overlooked.
LEADING_NOUGHT = re.compile(r"0[0-9]+(?:\.[0-9]+)?", re.ASCII)
NO_NOUGHT = re.compile(r"\.[0-9]{1,9}", re.ASCII)
AMOUNT = re.compile(r"(?P<number>[^\s]*?)\s*(?P<unit>[^\W\d_%][^\d]*|\[iU\]|%.*)", re.DOTALL)
# Three places that end in nought: nobody writes 2.5 so, but many write 2500 so.
THOUSAND_OR_ONE = re.compile(r"[1-9][0-9]{0,2}\.[0-9]{2}0", re.ASCII)
PERCENT = re.compile(r"(?P<number>[^\s%]+)\s*%\s*(?P<kind>w/v|w/w)")
RATIO = re.compile(r"1\s*:\s*(?P<parts>[^\s]+)\s+w/v")
JOINT = re.compile(r"\s*/\s*|\s+per\s+|\s+in\s+")
PER = re.compile(r"\s*/\s*|\s+per\s+")
MOST_MG_PER_ML = Decimal(1000)
LONGEST = 60
HUNDRED_ML = Volume(Decimal(100))
HUNDRED_G = Mass.of(Decimal(100), MassUnit.G)


@dataclass(frozen=True, slots=True)
class NotRead:
    """Text that is no amount, with words on what is wrong and how to write it."""

    text: str
    words: str


def read_number(text: str) -> Decimal | NotRead:
    """A plain decimal number, more than nought."""
    if "," in text:
        words = "a comma is a point to some and a thousand to others; write 0.4 or 1000"
        return NotRead(text, words)
    if not text:
        return NotRead(text, "it must begin with a number in plain digits, as 0.4")
    if LEADING_NOUGHT.fullmatch(text):
        return NotRead(text, f"a point may be missing in {text}; write 0.4 or 4, as it was said")
    if NO_NOUGHT.fullmatch(text):
        return NotRead(text, f"a point alone is overlooked; is it 0{text}? Then write so")
    if not NUMBER.fullmatch(text):
        return NotRead(text, f"{text!r} is no number; write it in plain digits, as 0.4")
    if THOUSAND_OR_ONE.fullmatch(text):
        words = (
            f"{text} is a number with a point to some and a thousand times that to others; write "
            f"{text.rstrip('0').rstrip('.')} or {text.replace('.', '')}"
        )
        return NotRead(text, words)
    number = Decimal(text)
    return number if number > 0 else NotRead(text, "the amount must be more than nought")


def read_amount(text: str) -> Amount | NotRead:
    """A number with its unit: ``0.4 mg``, ``25 micrograms``, ``12 drops``."""
    text = text.strip()
    parts = AMOUNT.fullmatch(text) if len(text) <= LONGEST else None
    if parts is None:
        return NotRead(text, f"{text!r} is not a number with a unit; write it as 0.4 mg")
    number = read_number(parts["number"])
    if isinstance(number, NotRead):
        return NotRead(text, number.words)
    return _with_unit(text, number, parts["unit"].strip())


def _with_unit(text: str, number: Decimal, unit: str) -> Amount | NotRead:
    if unit in MASSES:
        return Mass.of(number, MASSES[unit])
    if unit in VOLUMES:
        return Volume.of(number, VOLUMES[unit])
    if unit in ACTIVITIES:
        return Activity(number)
    if unit in DROP_WORDS:
        return Drops(number)
    if unit in PIECES:
        return Pieces(number)
    known = MISREAD.get(unit, MISREAD["%"] if unit.startswith("%") else "")
    return NotRead(text, known or f"the unit {unit!r} is not known; one of {KNOWN_UNITS}")


def read_dose(text: str) -> DosePer | Mix | NotRead:
    """What is ordered: ``0.4 mg/kg``, ``25 mcg per animal``, ``100 mL of 0.2 % w/v``."""
    text = text.strip()
    if " of " in text:
        return _mix(text)
    parts = PER.split(text)
    if len(parts) == 1:
        amount = read_amount(text)
        if isinstance(amount, NotRead):
            return amount
        return NotRead(text, "say whether it is per kg or per animal: they differ tenfold and more")
    if len(parts) > 2:  # noqa: PLR2004 -- an amount and what it is per
        return NotRead(
            text, "say the amount of one dose per kg or per animal; how often is said apart"
        )
    amount = read_amount(parts[0])
    if isinstance(amount, NotRead):
        return NotRead(text, amount.words)
    if parts[1] in (Per.KG, Per.ANIMAL):
        return DosePer(amount, Per(parts[1]))
    return NotRead(text, _not_per(amount, parts[1]))


def _not_per(amount: Amount, per: str) -> str:
    if per in ("lb", "pound") and isinstance(amount, Mass):
        would_be = number_words(per_kg_from_per_lb(amount.mg))
        return f"a dose is ordered per kg; this would be {would_be} mg/kg: ask the vet to say it so"
    if per in MASSES or per in VOLUMES:
        return "that is a strength, not a dose; say the dose per kg or per animal"
    return f"{per!r} is neither kg nor animal; a dose is per kg or per animal"


def _mix(text: str) -> Mix | NotRead:
    volume_text, _, strength_text = text.partition(" of ")
    volume = read_amount(volume_text)
    strength = read_strength(strength_text)
    if isinstance(strength, NotRead):
        return NotRead(text, strength.words)
    if not isinstance(volume, Volume):
        return NotRead(text, "a wash is so many mL of so strong: 100 mL of 0.2 % w/v")
    if not isinstance(strength, PerVolume) or not isinstance(strength.active, Mass):
        return NotRead(text, "a wash has a strength by volume: 0.2 % w/v or 2 mg/mL")
    return Mix(strength, volume)


def read_strength(text: str) -> Strength | NotRead:
    """How strong a product is: ``10 mg/mL``, ``125 mg/3 mL``, ``1 % w/v``, ``18.7 mg/g``."""
    text = text.strip()
    if share := PERCENT.fullmatch(text):
        return _percent(text, share["number"], share["kind"])
    if ratio := RATIO.fullmatch(text):
        return _ratio(text, ratio["parts"])
    parts = JOINT.split(text)
    if len(parts) != 2:  # noqa: PLR2004 -- so much in so much
        if "%" in text:
            return NotRead(text, MISREAD["%"])
        words = "a strength is so much in so much: 10 mg/mL, 1 % w/v, 18.7 mg/g, 150 mcg/pipette"
        return NotRead(text, words)
    active = read_amount(parts[0])
    if isinstance(active, NotRead):
        return NotRead(text, active.words)
    if not isinstance(active, Mass | Activity):
        return NotRead(text, "a strength begins with a mass or with units: 10 mg/mL")
    return _in_what(text, active, parts[1])


def _percent(text: str, number_text: str, kind: str) -> Strength | NotRead:
    number = read_number(number_text)
    if isinstance(number, NotRead):
        return NotRead(text, number.words)
    if number > 100:  # noqa: PLR2004 -- per cent
        return NotRead(text, "nothing is stronger than 100 %")
    grams = Mass.of(number, MassUnit.G)
    return PerVolume(grams, HUNDRED_ML) if kind == "w/v" else PerMass(grams, HUNDRED_G)


def _ratio(text: str, parts_text: str) -> Strength | NotRead:
    parts = read_number(parts_text)
    if isinstance(parts, NotRead):
        return NotRead(text, parts.words)
    return PerVolume(Mass.of(Decimal(1), MassUnit.G), Volume(parts))


def _in_what(text: str, active: Mass | Activity, what: str) -> Strength | NotRead:
    if what in PIECES:
        return PerPiece(active, PIECES[what])
    whole = read_amount(what if what[:1].isdigit() or what[:1] == "." else f"1 {what}")
    if isinstance(whole, NotRead):
        return NotRead(text, whole.words)
    if isinstance(whole, Volume):
        strength = PerVolume(active, whole)
        if isinstance(active, Mass) and strength.per_ml > MOST_MG_PER_ML:
            return NotRead(text, "no liquid holds more than 1000 mg in a mL; is it mg?")
        return strength
    if isinstance(whole, Mass) and isinstance(active, Mass):
        if active.mg > whole.mg:
            return NotRead(text, "a paste cannot hold more drug than paste")
        return PerMass(active, whole)
    return NotRead(text, "a strength is per mL, per g of paste, or per pipette, tube or tablet")


def read_drop_size(text: str) -> DropSize | NotRead:
    """How large a drop is, as the dropper's label states it: ``30 drops/mL``, ``0.05 mL/drop``."""
    text = text.strip()
    parts = JOINT.split(text)
    words = "a drop size is so many drops in so much: 30 drops/mL, or 0.05 mL/drop"
    if len(parts) != 2:  # noqa: PLR2004 -- so many in so much
        return NotRead(text, words)
    first = read_amount(parts[0])
    if isinstance(first, NotRead):
        return NotRead(text, first.words)
    second = read_amount(parts[1] if parts[1][:1].isdigit() else f"1 {parts[1]}")
    if isinstance(second, NotRead):
        return NotRead(text, second.words)
    match first, second:
        case Drops(count), Volume():
            return DropSize(count, second)
        case Volume(), Drops(count):
            return DropSize(count, first)
    return NotRead(text, words)
