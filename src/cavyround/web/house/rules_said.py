"""Rules that speak against something, each said once with all it concerns."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from cavyround.engines.housing import Why

# The detail of these is one part for each animal: of many pairs each animal is said once.
BY_ANIMAL = frozenset(
    {
        "sexes",
        "castrated_lately",
        "young_boar_with_dam",
        "sow_before_birth",
        "infection",
        "quarantine",
        "kept_alone",
    }
)
PART = "; "


def once_per_rule(whys: Iterable[Why]) -> tuple[Why, ...]:
    """Every rule once, the hard ones first; nothing that was said of a pair is left out."""
    by_rule: dict[str, list[Why]] = defaultdict(list)
    for why in whys:
        by_rule[why.rule].append(why)
    said = [_merged(same) for same in by_rule.values()]
    return tuple(sorted(said, key=lambda why: not why.hard))


def _merged(same: Sequence[Why]) -> Why:
    details = [why.detail for why in same]
    if same[0].rule in BY_ANIMAL:
        details = [part for detail in details for part in detail.split(PART)]
    animals = dict.fromkeys(animal for why in same for animal in why.animals)
    detail = PART.join(dict.fromkeys(filter(None, details)))
    return replace(same[0], detail=detail, animals=tuple(animals))


@dataclass(frozen=True, slots=True)
class RuleSaid:
    """A rule for one animal: what it says of that animal itself, and of each of the others."""

    why: Why
    own: str
    others: tuple[tuple[str, str], ...]


def said_of(name: str, found: Iterable[tuple[str, Why]]) -> tuple[RuleSaid, ...]:
    """Each rule once, the hard ones first, with the others by name and what is said of each."""
    by_rule: dict[str, list[tuple[str, Why]]] = defaultdict(list)
    for other, why in found:
        by_rule[why.rule].append((other, why))
    told = [_said(name, same) for same in by_rule.values()]
    return tuple(sorted(told, key=lambda one: not one.why.hard))


def _said(name: str, same: Sequence[tuple[str, Why]]) -> RuleSaid:
    own: dict[str, None] = {}
    others = []
    for other, why in same:
        parts = why.detail.split(PART) if why.rule in BY_ANIMAL else [why.detail]
        mine = [part for part in parts if part.startswith((f"{name}: ", f"{name} in "))]
        mine = mine if why.rule in BY_ANIMAL else []
        own |= dict.fromkeys(mine)
        rest = PART.join(part for part in parts if part not in mine)
        others.append((other, rest.removeprefix(f"{other}: ").removeprefix(f"{other} ")))
    return RuleSaid(why=same[0][1], own=PART.join(own), others=tuple(others))
