"""A wash made up from a concentrate: so much of it, so much water."""

from collections.abc import Sequence

from cavyround.engines.dosing.by_hand import mix_by_hand
from cavyround.engines.dosing.diluting import parts, stock_for, thinned_until
from cavyround.engines.dosing.given import Syringe
from cavyround.engines.dosing.said import Dilution, Findings, Measure, Reason
from cavyround.facts.orders import Product
from cavyround.facts.quantities import Volume
from cavyround.facts.reading_amounts import NotRead
from cavyround.facts.saying_amounts import amount_words, is_exact, number_words, strength_words
from cavyround.facts.strengths import Mix, PerVolume
from cavyround.knowledge.book import Knowledge

READ_LABEL = "Read the strength on the label, with its unit, and write it down."


def make_up(
    mix: Mix, product: Product, syringes: Sequence[Syringe], *, book: Knowledge
) -> tuple[Dilution | None, str, Findings]:
    """The recipe, the sum by hand, and what speaks against it."""
    found = Findings()
    strong = product.strength
    if isinstance(strong, NotRead):
        return None, "", found
    if not isinstance(strong, PerVolume) or type(strong.active) is not type(mix.strength.active):
        words = "A wash is made up from a liquid of known strength."
        found.reasons.append(_against("no_strength", words, READ_LABEL))
        return None, "", found
    if strong.per_ml < mix.strength.per_ml:
        words = (
            f"The concentrate ({strength_words(strong)}) is weaker than the wash "
            f"that was ordered ({strength_words(mix.strength)})."
        )
        found.reasons.append(_against("weaker_than_ordered", words, "Ask the vet."))
        return None, "", found
    stock, _ = stock_for(strong, mix.strength, mix.volume)
    hand = [one for one in syringes if not one.only_for]
    taken = thinned_until(stock, strong, hand, book=book)
    if taken is None:
        words = f"{amount_words(stock)} of concentrate cannot be measured with these syringes."
        do = "Make up a round amount, or add a syringe you have to the list."
        found.reasons.append(_against("too_small_to_measure", words, do))
        return None, "", found
    thinning, measure = taken.steps, taken.measure
    recipe = Dilution(
        factor=taken.factor,
        strength=mix.strength,
        steps=(*thinning, *_last_steps(mix, strong, measure, thinned=bool(thinning))),
        volume=mix.volume,
        measure=measure,
        diluent="water",
        stock=taken.stock,
    )
    return recipe, mix_by_hand(mix, strong, stock), found


def _last_steps(mix: Mix, strong: PerVolume, measure: Measure, *, thinned: bool) -> tuple[str, ...]:
    what = "the last mixture" if thinned else "the concentrate"
    total = amount_words(mix.volume)
    added = amount_words(Volume(mix.volume.ml - measure.to.number))
    take = f"Of {what} {measure.words}."
    add = f"Add {added} of water to make {total} of {strength_words(mix.strength)}. Mix it well."
    one, other = parts(strong, mix.strength)
    if not thinned and is_exact(one) and is_exact(other) and other:
        add += f" That is {number_words(one)} parts and {number_words(other)} parts."
    return take, add


def _against(code: str, words: str, do: str) -> Reason:
    return Reason(code=code, words=words, do=do, may="nobody")
