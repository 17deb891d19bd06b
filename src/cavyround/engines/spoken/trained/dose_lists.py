"""One medicine told of several, each with its own amount: "both had it, Pip 0.2 ml and Dot 0.3".

The network says who was given what. Which amount is whose is read from where it stands: right after
a name it is that animal's, before "each" it is everybody's.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.doses import amount_beside
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Given, Sheet
from cavyround.engines.spoken.trained.care_amounts import DOSED, question_of_unit
from cavyround.engines.spoken.trained.mentions import Called

# "Flint got a quarter mil": so many words may stand between the name and the number.
NEAR = 3
# "Half a mil each": a number and its unit.
BEFORE_EACH = 2
LEADS_ON = frozenset({"of", "and", "but", "each", "then", "for", "with"})
TAKEN = frozenset({"done", "partly"})
EVERYBODYS = frozenset({"each", "apiece"})


@dataclass(frozen=True, slots=True)
class Own:
    """The items from an animal's name up to the next name or full stop."""

    name: str
    items: tuple[Item, ...]


def tell_amounts_apart(
    sheets: Sequence[Sheet],
    called: Called,
    items: Sequence[Item],
    item_of: Sequence[Item | None],
    ruled: Sequence[Sheet],
) -> None:
    """Give each animal the amount told with its name, where one medicine was told of several.

    ``ruled``: the sheets of the rules; who is given it by them, with an amount at the name, has it.
    """
    by_rules = {sheet.name: sheet for sheet in ruled}
    by_name = {sheet.name: sheet for sheet in sheets}
    measured = {id(item) for sheet in sheets for one in sheet.findings for item in one.items}
    for whole, own in _sentences(called, items, item_of):
        sentence = _unmeasured(whole, measured)
        told = [(one.name, _unmeasured(one.items, measured)) for one in own]
        told = [one for one in told if _has_amount(one[1])]
        given = _given_in(sentence, by_name)
        if given:
            also = _given_in(sentence, by_rules)
            for name in {name for name, _ in told} & (set(also) & set(by_name)) - set(given):
                added = replace(also[name][0], items=list(also[name][0].items))
                by_name[name].care.append(added)
                given[name] = [added]
        several = {name for name, _ in told} & set(given)
        if len(given) > 1 and any(item.word in EVERYBODYS for item in sentence):
            _same_for_all(sentence, given, by_name)
        elif len(several) > 1:
            _divide(told, sentence, given, by_name)


def _sentences(
    called: Called, items: Sequence[Item], item_of: Sequence[Item | None]
) -> Iterator[tuple[list[Item], list[Own]]]:
    """Each sentence with the stretches that follow the names in it."""
    who = {
        id(item_of[mention.begin]): called.names[mention.who]
        for mention in called.mentions
        if item_of[mention.begin] is not None
    }
    sentence: list[Item] = []
    for item in (*items, None):
        if item is not None and not item.is_end:
            sentence.append(item)
            continue
        starts = [at for at, one in enumerate(sentence) if id(one) in who]
        ends = [*starts[1:], len(sentence)]
        yield (
            sentence,
            [
                Own(who[id(sentence[start])], tuple(sentence[start + 1 : end]))
                for start, end in zip(starts, ends, strict=False)
            ],
        )
        sentence = []


def _unmeasured(items: Sequence[Item], measured: set[int]) -> list[Item]:
    """Without the numbers of weights and scores."""
    return [item for item in items if item.number is None or id(item) not in measured]


def _has_amount(items: Sequence[Item]) -> bool:
    words = [item for item in items if not item.is_break]
    return any(item.number is not None for item in words[: NEAR + 1])


def _given_in(sentence: Sequence[Item], by_name: Mapping[str, Sheet]) -> dict[str, list[Given]]:
    """What each animal was given by the words of a sentence, of what is given in doses."""
    here = {id(item) for item in sentence}
    found: dict[str, list[Given]] = {}
    for name, sheet in by_name.items():
        mine = [
            one
            for one in sheet.care
            if one.care in DOSED and any(id(item) in here for item in one.items)
        ]
        if mine:
            found[name] = mine
    return found


def _divide(
    told: Sequence[tuple[str, list[Item]]],
    sentence: Sequence[Item],
    given: Mapping[str, list[Given]],
    by_name: Mapping[str, Sheet],
) -> None:
    product = next((one.of("product")[0].code for one in sentence if one.has("product")), "")
    care = {one.care for all_ in given.values() for one in all_}
    products = {one.of("product")[0].code for one in sentence if one.has("product")}
    if len(care) > 1 or len(products) > 1:
        # "Pip had the probiotic, half a mil, Dot meloxicam": not one medicine for both.
        return
    for name, items in told:
        if name not in given:
            continue
        first, *others = given[name]
        again = [one for one in others if one.status == first.status]
        sheet = by_name[name]
        sheet.care = [one for one in sheet.care if all(one is not other for other in again)]
        first.product = first.product or product
        _take(first, items, sheet)


def _same_for_all(
    sentence: Sequence[Item], given: Mapping[str, list[Given]], by_name: Mapping[str, Sheet]
) -> None:
    """ "Half a mil each": the number right before it is everybody's who was given one medicine."""
    words = [item for item in sentence if not item.is_break]
    at = next(at for at, item in enumerate(words) if item.word in EVERYBODYS)
    if at + 1 < len(words) and words[at + 1].has("place"):
        # "One drop in each eye".
        return
    amount = words[max(0, at - BEFORE_EACH) : at]
    all_given = [one for cares in given.values() for one in cares]
    if not any(one.number is not None for one in amount) or len({o.care for o in all_given}) > 1:
        return
    for name, cares in given.items():
        for one in cares:
            if one.value is None and one.status in TAKEN:
                _take(one, amount, by_name[name])


def _dosed(words: list[Item]) -> list[Item]:
    """From the first number that can be a dose: one with its unit, or with nothing it counts."""
    for units in (True, False):
        for at, item in enumerate(words):
            if item.number is None:
                continue
            after = words[at + 1] if at + 1 < len(words) else None
            if after is not None and (after.has("unit", "ml") or after.has("unit", "mg")):
                return [item, after]
            if not units and (after is None or after.word in LEADS_ON or after.has("product")):
                return [item]
    return []


def _take(given: Given, items: Sequence[Item], sheet: Sheet) -> None:
    """The amount of these items is the one that was given."""
    words = _dosed([item for item in items if not item.is_break])
    if not words:
        return
    value, unit, used = amount_beside(Clause(words, 0, opens=False), words[:1], anew=True)
    if value is None or (unit is None and given.unit is not None):
        return
    mine = {id(item) for item in given.items}
    sheet.asks = [
        ask
        for ask in sheet.asks
        if ask[0] != "dose_unit" or not any(id(item) in mine for item in ask[2])
    ]
    given.value, given.unit = value, unit
    given.items = [one for one in given.items if one.number is None or one in used]
    given.items += [one for one in used if one not in given.items]
    ask = question_of_unit(given)
    if ask is not None:
        sheet.asks.append(ask)
