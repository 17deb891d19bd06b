"""Contagion against published figures, each with its source."""

import csv
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from math import log
from pathlib import Path

import pytest
from scipy.optimize import minimize_scalar

from cavyround.engines.contagion.freedom import cannon_roe, sample_size, with_sensitivity
from cavyround.engines.contagion.presences import Lasts, presences_of
from cavyround.engines.contagion.reach import Catching, reach
from cavyround.engines.contagion.reed_frost import chains, final_sizes, if_nothing_is_done
from cavyround.facts.stays import SharedUse, UseKind

REFERENCE = Path(__file__).parents[3] / "shared" / "reference" / "data"
DAY0 = datetime(2026, 1, 1, tzinfo=UTC)
NONE = Lasts(pen=timedelta(), things=timedelta(), hands=timedelta())


def at(day: int) -> datetime:
    return DAY0 + timedelta(days=day)


def meeting(day: int, pair: str) -> list[SharedUse]:
    return [
        SharedUse(
            id=f"{pair}{day}{animal}",
            animal=animal,
            kind=UseKind.RUN,
            name=f"{pair} on {day}",
            began_at=at(day),
            ended_at=at(day + 1),
        )
        for animal in pair
    ]


# A small worked network: A and B meet on day 1, B and C and also C and D on day 2, D and E on
# day 1, C and E on day 3. Its answers were computed with a time-expanded graph of networkx 3.6.1
# and agree with dynetx 0.3.2 on the way from A to E and on there being none back.
WORKED = [
    *meeting(1, "AB"),
    *meeting(2, "BC"),
    *meeting(2, "CD"),
    *meeting(1, "DE"),
    *meeting(3, "CE"),
]


@pytest.mark.parametrize(
    ("start", "delay", "expected"),
    [
        ("A", 1, {"A": 0, "B": 1, "C": 2, "E": 3}),
        ("E", 1, {"E": 0, "D": 1, "C": 2}),
        ("A", 0, {"A": 0, "B": 1, "C": 2, "D": 2, "E": 3}),
        ("E", 0, {"E": 0, "D": 1, "C": 2, "B": 2}),
    ],
)
def test_the_worked_network_with_and_without_passing_on_in_the_same_contact(
    start: str, delay: int, expected: dict[str, int]
) -> None:
    found = reach(
        presences_of([], WORKED, NONE),
        [Catching(animal=start, since=DAY0)],
        delay=timedelta(days=delay),
    )
    assert {animal: (one.at - DAY0).days for animal, one in found.items()} == expected


@pytest.mark.parametrize("p", [0.1, 0.2, 0.5])
def test_households_of_three_and_four_have_the_printed_chains(p: float) -> None:
    """Reed-Frost chain probabilities of households: Bailey, The Mathematical Theory of
    Infectious Diseases (1975), chapter 14; Abbey 1952 (both from memory).
    """
    q = 1 - p
    three = {
        (1, 0): q**2,
        (1, 1, 0): 2 * p * q**2,
        (1, 1, 1): 2 * p**2 * q,
        (1, 2): p**2,
    }
    assert chains(2, 1, p) == pytest.approx(three)
    four = {
        (1, 0): q**3,
        (1, 1, 0): 3 * p * q**4,
        (1, 1, 1, 0): 6 * p**2 * q**4,
        (1, 2, 0): 3 * p**2 * q**3,
        (1, 1, 1, 1): 6 * p**3 * q**3,
        (1, 1, 2): 3 * p**3 * q**2,
        (1, 2, 1): 3 * p**2 * q * (1 - q**2),
        (1, 3): p**3,
    }
    assert chains(3, 1, p) == pytest.approx(four)


def test_the_exact_chains_of_households_of_two_to_five() -> None:
    """114 chains as exact fractions, computed by enumeration outside the project."""
    file = REFERENCE / "reed_frost_exact.csv"
    if not file.exists():
        pytest.skip(f"did not run: {file.name} lies outside the repository and is not here")
    rows = list(csv.DictReader(file.read_text().splitlines()))
    assert len(rows) == 114
    for row in rows:
        introduced, p = int(row["index_cases"]), float(Fraction(row["p"]))
        ours = chains(int(row["household_n"]) - introduced, introduced, p)
        # The file leaves out the nought of a chain in which nobody is left to fall ill.
        chain = tuple(int(part) for part in row["chain"].split("-"))
        assert ours[chain] == pytest.approx(float(Fraction(row["probability_fraction"])))


# Common colds in families of five, Heasman MA, Reid DD: Theory and observation in family
# epidemics of the common cold, Br J Prev Soc Med 1961;15:12-16: chains after one introduction.
COLDS = {
    (1, 0): 423,
    (1, 1, 0): 131,
    (1, 2, 0): 24,
    (1, 1, 1, 0): 36,
    (1, 3, 0): 3,
    (1, 1, 2, 0): 8,
    (1, 2, 1, 0): 11,
    (1, 1, 1, 1, 0): 14,
    (1, 4): 0,
    (1, 3, 1): 0,
    (1, 1, 3): 2,
    (1, 2, 2): 1,
    (1, 2, 1, 1): 3,
    (1, 1, 2, 1): 2,
    (1, 1, 1, 2): 2,
    (1, 1, 1, 1, 1): 4,
}


def test_family_colds_give_the_chance_of_infection_fitted_elsewhere() -> None:
    """Most likely p 0.116167 from the chains and 0.116524 from the final sizes of 664 families,
    both by enumeration outside the project (final sizes 423, 131, 60, 36, 14 as printed).
    """
    assert sum(COLDS.values()) == 664

    def by_chains(p: float) -> float:
        ours = chains(4, 1, p)
        return -sum(count * log(ours[chain]) for chain, count in COLDS.items())

    def by_sizes(p: float) -> float:
        sizes = zip((423, 131, 60, 36, 14), final_sizes(4, 1, p), strict=True)
        return -sum(count * log(chance) for count, chance in sizes)

    for told, expected in ((by_chains, 0.116167), (by_sizes, 0.116524)):
        found = minimize_scalar(told, bounds=(0.01, 0.9), method="bounded", options={"xatol": 1e-9})
        assert found.x == pytest.approx(expected, abs=2e-6)


def test_generations_add_up_to_the_final_sizes() -> None:
    sizes = final_sizes(6, 1, 0.3)
    last = if_nothing_is_done(6, 1, 0.3, generations=7)[-1]
    expected = 1 + sum(size * chance for size, chance in enumerate(sizes))
    assert sum(sizes) == pytest.approx(1)
    assert last.expected_so_far == pytest.approx(expected)


def test_the_published_cell_of_cannon_and_roe() -> None:
    """Cannon RM, Roe RT, Livestock Disease Surveys (1982): 99 % sure, 1,600 animals, 1 % -> 399
    (as printed in the electronic tables, Hawkins 2003); the exact answer is the same.
    """
    assert cannon_roe(1600, 16, 0.99) == 399
    assert sample_size(1600, 16, 0.99) == 399


@pytest.mark.parametrize(
    ("herd", "infected", "by_macdiarmid", "by_cannon_roe", "exact"),
    [
        (80, 2, 63, 62, 62),
        (80, 5, 37, 36, 36),
        (80, 10, 21, 20, 20),
        (100, 5, 46, 45, 45),
        (100, 10, 26, 25, 25),
        (500, 5, 226, 225, 225),
        (50, 5, 23, 22, 22),
        (40, 4, 22, 21, 21),
        (20, 2, 16, 16, 16),
        (30, 3, 19, 19, 19),
    ],
)
def test_small_herds_by_three_methods(
    herd: int, infected: int, by_macdiarmid: int, by_cannon_roe: int, exact: int
) -> None:
    """Computed outside the project with scipy's hypergeometric distribution."""
    assert with_sensitivity(herd, infected, 0.95, 1) == by_macdiarmid
    assert cannon_roe(herd, infected, 0.95) == by_cannon_roe
    assert sample_size(herd, infected, 0.95) == exact


@pytest.mark.parametrize(
    ("herd", "infected", "sure", "finds", "expected"),
    [
        (100, 1, 0.95, 0.95, 100),
        (100, 1, 0.95, 1, 95),
        (200, 2, 0.95, 1, 156),
        (500, 5, 0.95, 1, 226),
        (1000, 10, 0.95, 1, 259),
        (10000, 100, 0.95, 1, 296),
        (100, 5, 0.5, 1, 13),
        (100, 5, 0.8, 1, 28),
        (100, 5, 0.9, 1, 37),
        (80, 1, 0.95, 0.8, None),
        (80, 2, 0.95, 0.8, 78),
        (80, 5, 0.95, 0.8, 46),
        (80, 10, 0.95, 0.8, 26),
    ],
)
def test_the_help_pages_of_a_reference_package(
    herd: int, infected: int, sure: float, finds: float, expected: int | None
) -> None:
    """R package RSurveillance 0.2.1, the examples of n.hypergeo and n.freedom."""
    assert with_sensitivity(herd, infected, sure, finds) == expected
