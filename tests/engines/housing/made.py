"""Lodgers, pens and houses for tests, with only what a test says of them."""

from collections.abc import Iterable
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from cavyround.advice.book import book
from cavyround.engines.housing import House
from cavyround.facts.animal import Born, Known, Sex
from cavyround.facts.breeding import Breeder, Sure
from cavyround.facts.housing import Bonded, Lodger, Quarrel, Ties
from cavyround.facts.places import PenFacts, PenKind

TODAY = date(2026, 3, 3)
GROWN = Born(earliest=date(2025, 1, 1), latest=date(2025, 1, 1))
BREEDER = {"neutered", "castrated_on", "born", "sexings", "sure", "first_seen_on"}


def lodger(name: str, sex: Sex, pen: str = "", **said: Any) -> Lodger:
    known: dict[str, Any] = {"born": GROWN, "neutered": Known.NO, "sure": Sure.SURE}
    known |= {key: said.pop(key) for key in set(said) & BREEDER}
    grams = Decimal(said.pop("grams", 950))
    breeder = Breeder(id=name, name=name, sex=sex, **known)
    return Lodger(breeder=breeder, pen=pen, grams=grams, **said)


def sow(name: str, pen: str = "", **said: Any) -> Lodger:
    return lodger(name, Sex.SOW, pen, **said)


def boar(name: str, pen: str = "", **said: Any) -> Lodger:
    return lodger(name, Sex.BOAR, pen, **said)


def castrated(name: str, pen: str = "", **said: Any) -> Lodger:
    long_ago = TODAY - timedelta(days=200)
    return boar(name, pen, **{"neutered": Known.YES, "castrated_on": long_ago, **said})


def pen(
    name: str, kind: str = "residents", area: int | None = 15000, room: str = "hall"
) -> PenFacts:
    return PenFacts(id=name, name=name, room=room, kind=PenKind(kind), area_cm2=area)


def house(
    animals: Iterable[Lodger],
    pens: Iterable[PenFacts],
    bonds: Iterable[tuple[str, str]] = (),
    quarrels: Iterable[Quarrel] = (),
) -> House:
    ties = Ties(
        bonds=tuple(Bonded(one=one, other=other) for one, other in bonds),
        quarrels=tuple(quarrels),
    )
    return House(tuple(animals), tuple(pens), ties, TODAY, book())


def fought(one: str, other: str, days_ago: int = 5, **said: Any) -> Quarrel:
    return Quarrel(one=one, other=other, on=TODAY - timedelta(days=days_ago), **said)
