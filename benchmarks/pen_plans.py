"""Pen plans: 60 animals into 30 pens to the proven best, and a good plan for 200 into 100."""

import time
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from random import Random

from benchmarks.report import Found, Line
from cavyround.engines.housing import House, broken, solve
from cavyround.engines.housing.solving import EFFORT
from cavyround.facts.animal import Born, Known, Sex
from cavyround.facts.breeding import Breeder, Sure
from cavyround.facts.housing import Bonded, Health, Lodger, Ties
from cavyround.facts.places import PenFacts, PenKind
from cavyround.knowledge.book import Knowledge

TODAY = date(2026, 3, 3)
BORN = date(2025, 1, 1)
AREAS = (7200, 10000, 15000, 20000)
# How hard the solver works for each wish with the large house: enough for a good plan.
QUICK = 0.3


def pen_plans(book: Knowledge) -> Found:
    """The planner's part of the table."""
    lines = [_line(60, 30, book, effort=EFFORT), _line(200, 100, book, effort=QUICK)]
    note = (
        "Pen plans: one core; residents in groups of one sex, newcomers, and a few that fell ill "
        "since; found by CP-SAT, and the hard rules counted again from the plan itself."
    )
    return Found(lines, [note])


def _line(animals: int, pens: int, book: Knowledge, *, effort: float) -> Line:
    house = invented(animals, pens, book)
    began = time.perf_counter()
    solved = solve(house, effort=effort)
    took = time.perf_counter() - began
    wanted = "proven best" if effort == EFFORT else "no hard rule broken"
    what = f"a plan for {animals} animals in {pens} pens"
    if solved is None:
        return Line(what, f"the rules leave none ({took:.1f} s)", wanted, met=False)
    faults = sum(1 for _ in broken(house, solved.pen_of))
    how = "proven best" if solved.proven else "not proven"
    cost = solved.cost
    measured = (
        f"{took:.1f} s, {how}: {cost.moves} moves, {cost.alone} alone, {faults} hard rules broken"
    )
    met = faults == 0 and (solved.proven or effort != EFFORT)
    return Line(what, measured, wanted, met)


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
