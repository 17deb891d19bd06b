"""The sum on one line, so that it can be checked with paper or a pocket calculator."""

from decimal import Decimal

from cavyround.engines.dosing.resolving import Resolved
from cavyround.engines.dosing.said import Dilution
from cavyround.facts.orders import Product
from cavyround.facts.quantities import Drops, DropSize, Mass, Volume, kilograms
from cavyround.facts.saying_amounts import (
    amount_words,
    dose_words,
    drop_size_words,
    is_exact,
    mass_words,
    number_words,
    strength_words,
)
from cavyround.facts.strengths import DosePer, Mix, Per, PerMass, PerPiece, PerVolume, Strength

# Written as a number so that nobody takes it for the letter.
TIMES = "\u00d7"


def by_hand(
    dose: DosePer,
    grams: Decimal | None,
    resolved: Resolved,
    product: Product,
    thinned: Dilution | None,
) -> str:
    """Weight times dose is the drug; the drug over the strength is what is measured."""
    parts = [_for_animal(dose, grams, resolved)]
    strength = product.strength
    if isinstance(strength, PerVolume | PerMass | PerPiece):
        parts += _in_product(resolved, strength, product)
    elif isinstance(resolved.ordered, Drops) and isinstance(product.drop, DropSize):
        parts.append(_in_drops(resolved, product.drop))
    if thinned is not None:
        factor = number_words(thinned.factor)
        parts.append(
            f"thinned 1 part to {factor}: {TIMES} {factor} = {amount_words(thinned.volume)}"
        )
    return "; ".join(parts)


def _for_animal(dose: DosePer, grams: Decimal | None, resolved: Resolved) -> str:
    if dose.per is Per.ANIMAL or grams is None:
        return dose_words(dose)
    kg = number_words(kilograms(grams), 6)
    return f"{kg} kg {TIMES} {dose_words(dose)} {_equals(resolved.ordered.number)} " + amount_words(
        resolved.ordered
    )


def _equals(number: Decimal) -> str:
    return "=" if is_exact(number) else "= about"


def _in_product(resolved: Resolved, strength: Strength, product: Product) -> list[str]:
    active, volume = resolved.active, resolved.volume
    if active is None:
        return []
    if isinstance(resolved.ordered, Volume) and isinstance(strength, PerVolume):
        sum_ = f"{amount_words(resolved.ordered)} {TIMES} {strength_words(strength)}"
        return [f"{sum_} {_equals(active.number)} {amount_words(active)}"]
    parts = []
    if isinstance(resolved.ordered, Drops) and isinstance(product.drop, DropSize):
        parts.append(_in_drops(resolved, product.drop))
        return parts
    match strength:
        case PerVolume() if volume is not None:
            divided = f"{amount_words(active)} ÷ {_divisor(strength)}"
            parts.append(f"{divided} {_equals(volume.ml)} {amount_words(volume)}")
            if isinstance(resolved.product, Drops) and isinstance(product.drop, DropSize):
                parts.append(_in_drops(resolved, product.drop))
        case PerMass():
            paste = strength.paste_of(Mass(active.number))
            grams = paste.mg * Decimal("0.001")
            divided = f"{mass_words(Mass(active.number))} ÷ {strength_words(strength)}"
            parts.append(f"{divided} {_equals(grams)} {number_words(grams)} g")
            if volume is not None and product.g_per_ml is not None:
                density = number_words(product.g_per_ml)
                parts.append(f"÷ {density} g/mL {_equals(volume.ml)} {amount_words(volume)}")
        case PerPiece(_, piece):
            count = resolved.product.number
            divided = f"{amount_words(active)} ÷ {strength_words(strength)}"
            parts.append(f"{divided} {_equals(count)} {number_words(count)} {piece}")
    return parts


def _divisor(strength: PerVolume) -> str:
    if is_exact(strength.per_ml):
        return strength_words(strength)
    # 125 mg in 3 mL has no short number of mg in one.
    return f"{amount_words(strength.active)} {TIMES} {amount_words(strength.volume)}"


def _in_drops(resolved: Resolved, size: DropSize) -> str:
    volume = resolved.volume or Volume(Decimal(0))
    drops = amount_words(size.drops_in(volume))
    return f"{drop_size_words(size)}: {drops} {_equals(volume.ml)} {amount_words(volume)}"


def mix_by_hand(mix: Mix, strong: PerVolume, stock: Volume) -> str:
    """The wash times its strength, over the strength of the concentrate."""
    return (
        f"{amount_words(mix.volume)} {TIMES} {strength_words(mix.strength)} ÷ {_divisor(strong)} "
        f"{_equals(stock.ml)} {amount_words(stock)}"
    )
