"""Pen plans: 60 animals into 30 pens to the proven best, and a good plan for 200 into 100."""

import time
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from random import Random

from cavyround.engines.housing import House, broken, solve
from cavyround.facts.animal import Born, Known, Sex
from cavyround.facts.breeding import Breeder, Sure
from cavyround.facts.housing import Bonded, Health, Lodger, Ties
from cavyround.facts.places import PenFacts, PenKind
from cavyround.knowledge.book import Knowledge

TODAY = date(2026, 3, 3)
BORN = date(2025, 1, 1)
AREAS = (7200, 10000, 15000, 20000)
# How hard the solver works for each wish with the large house: enough for a good plan.
QUICK = 0.5


def measure(book: Knowledge) -> list[str]:
    """A line for each house."""
    return [_line(60, 30, book, effort=5.0), _line(200, 100, book, effort=QUICK)]


def _line(animals: int, pens: int, book: Knowledge, *, effort: float) -> str:
    house = invented(animals, pens, book)
    began = time.perf_counter()
    solved = solve(house, effort=effort)
    took = time.perf_counter() - began
    if solved is None:
        return f"{animals} animals into {pens} pens: the rules leave no plan ({took:.1f} s)"
    faults = sum(1 for _ in broken(house, solved.pen_of))
    how = "proven the best" if solved.proven else "a good plan, not proven"
    cost = solved.cost
    return (
        f"{animals} animals into {pens} pens: {how} in {took:.1f} s; {cost.moves} moves, "
        f"{cost.alone} alone, {cost.warnings} of care, {faults} hard rules broken"
    )


def invented(count: int, pens: int, book: Knowledge, seed: int = 1) -> House:
    """Residents in groups of one sex, newcomers, and a few that fell ill since."""
    random = Random(seed)  # noqa: S311 - an invented house
    kept = max(2, pens // 4)
    apart = max(2, pens // 10)
    kinds = [PenKind.RESIDENTS] * (pens - kept - apart)
    kinds += [PenKind.QUARANTINE] * kept + [PenKind.ISOLATION] * apart
    places = [
        PenFacts(
            id=f"pen{number}",
            name=f"Pen {number}",
            room=f"{kind} {number // 8}",
            kind=kind,
            area_cm2=random.choice(AREAS),
        )
        for number, kind in enumerate(kinds)
    ]
    animals, bonds = _residents(count, places, book, random)
    animals += _newcomers(count - len(animals), random)
    for _ in range(max(1, count // 40)):
        ill = random.randrange(count // 2)
        animals[ill] = replace(
            animals[ill], health=Health.ISOLATED, infections=frozenset({"ringworm"})
        )
    return House(tuple(animals), tuple(places), Ties(bonds=tuple(bonds)), TODAY, book)


def _residents(
    count: int, places: list[PenFacts], book: Knowledge, random: Random
) -> tuple[list[Lodger], list[Bonded]]:
    animals: list[Lodger] = []
    bonds = []
    for pen in places:
        if pen.kind is not PenKind.RESIDENTS or pen.area_cm2 is None:
            continue
        sex = random.choice([Sex.SOW, Sex.SOW, Sex.BOAR])
        most = min(book.living.most_on(pen.area_cm2), count * 82 // 100 - len(animals))
        group = [
            _animal(f"a{len(animals) + n}", sex, pen.id)
            for n in range(max(0, min(most, random.choice([0, 2, 2, 3, 4, 4]))))
        ]
        if len(group) > 1:
            bonds.append(Bonded(one=group[0].id, other=group[1].id))
        animals += group
    return animals, bonds


def _newcomers(count: int, random: Random) -> list[Lodger]:
    found: list[Lodger] = []
    while len(found) < count:
        sex = random.choice([Sex.SOW, Sex.BOAR])
        kept = random.random() < 0.5
        for _ in range(min(count - len(found), random.choice([1, 2]))):
            one = _animal(f"n{len(found)}", sex if kept else Sex.SOW, "")
            cohort = f"came {len(found) // 2}"
            if kept:
                one = replace(one, health=Health.QUARANTINE, cohort=cohort)
            found.append(one)
    return found


def _animal(name: str, sex: Sex, pen: str) -> Lodger:
    breeder = Breeder(
        id=name,
        name=name,
        sex=sex,
        sure=Sure.SURE,
        neutered=Known.NO,
        born=Born(earliest=BORN, latest=BORN),
        first_seen_on=TODAY - timedelta(days=300),
    )
    return Lodger(breeder=breeder, pen=pen, grams=Decimal(950))
