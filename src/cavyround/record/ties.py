"""Bonds and quarrels as they stand: the last word on each pair counts."""

from collections.abc import Collection
from uuid import UUID

from cavyround.facts.housing import Bonded, Quarrel, Ties
from cavyround.record.models import Tie

ON_BONDS = ("bonded", "bond_over")
TAKES_BACK = "never_over"


def ties_among(animals: Collection[UUID]) -> Ties:
    """What stands between these animals."""
    rows = Tie.objects.filter(one__in=animals, other__in=animals)
    bonds: dict[frozenset[str], Bonded | None] = {}
    quarrels: dict[frozenset[str], list[Quarrel]] = {}
    told = rows.order_by("on", "made_at", "id").values_list("one", "other", "kind", "on", "words")
    for one, other, kind, on, words in told:
        pair = frozenset({str(one), str(other)})
        if kind in ON_BONDS:
            bond = Bonded(one=str(one), other=str(other), since=on)
            bonds[pair] = bond if kind == "bonded" else None
        elif kind == TAKES_BACK:
            quarrels.pop(pair, None)
        else:
            fought = Quarrel(
                one=str(one),
                other=str(other),
                on=on,
                blood=kind == "blood",
                never=kind == "never",
                words=words,
            )
            quarrels.setdefault(pair, []).append(fought)
    return Ties(
        bonds=tuple(bond for bond in bonds.values() if bond is not None),
        quarrels=tuple(quarrel for own in quarrels.values() for quarrel in own),
    )
