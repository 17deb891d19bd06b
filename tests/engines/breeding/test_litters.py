"""Litters: who must be parted by day 21, the possible sires, and growth side by side.

Outside figures: "separate the boys from the girls at around 3 weeks old" (Melbourne rabbit
clinic) or 250 g (lay pages); gestation 59 to 72 days (Vetpedia 840); labour limits LafeberVet.
"""

from datetime import UTC, timedelta

import pytest

from cavyround.advice.book import book
from cavyround.engines.breeding import Labour, LitterState, labour, litter_state
from cavyround.facts.animal import Sex
from cavyround.facts.breeding import Breeder, LitterFacts
from cavyround.facts.stays import Stay
from tests.engines.breeding.made import NOW, TODAY, ago, boar, born, grams, moment, sow, stay

AGE = 18


def state(pups: list[Breeder], stays: list[Stay], *others: Breeder, age: int = AGE) -> LitterState:
    litter = LitterFacts(dam="dam", born_on=ago(age), pups=tuple(pup.id for pup in pups))
    animals = {one.id: one for one in [sow("dam"), *pups, *others]}
    return litter_state(litter, animals, stays, now=NOW, zone=UTC, book=book())


def together(*names: str) -> list[Stay]:
    return [stay(name, "nest", AGE) for name in names]


def test_a_boar_pup_leaves_mother_and_sisters_on_day_twenty_one() -> None:
    pups = [boar("he", born=born(AGE)), sow("she", born=born(AGE))]
    known = state(pups, together("dam", "he", "she"))
    he, she = known.pups
    assert he.part_by == TODAY + timedelta(days=3) == known.part_by
    assert she.part_by is None
    assert known.part_now == ()
    assert "boars_out" in {one.code for one in known.do}


def test_or_sooner_when_he_weighs_250_grams() -> None:
    he = boar("he", born=born(AGE), weighings=(grams(4, 240), grams(2, 251)))
    known = state([he], together("dam", "he"))
    assert known.pups[0].part_by == ago(2)
    assert known.part_now == ("he",)


def test_one_that_lives_apart_already_is_parted() -> None:
    he = boar("he", born=born(AGE))
    known = state([he], [*together("dam"), stay("he", "boars", 1)])
    assert known.pups[0].part_by is None


def test_an_unsexed_pup_counts_as_a_boar_among_sisters_and_as_a_sow_among_brothers() -> None:
    pups = [sow("she", born=born(AGE)), sow("who", born=born(AGE), sex=Sex.UNKNOWN)]
    known = state(pups, together("dam", "she", "who"))
    assert known.unsexed == ("who",)
    assert known.pups[1].part_by is not None
    brothers = [boar("he", born=born(AGE)), sow("who", born=born(AGE), sex=Sex.UNKNOWN)]
    apart = state(brothers, together("he", "who"))
    assert [pup.part_by is not None for pup in apart.pups] == [True, True]


@pytest.mark.parametrize(("parted", "possible"), [(59, True), (72, True), (73, False)])
def test_the_sire_is_one_she_met_59_to_72_days_before(parted: int, possible: bool) -> None:
    sire = boar("sire")
    stays = [*together("dam"), stay("dam", "a", 300, AGE), stay("sire", "a", 290, AGE + parted)]
    known = state([boar("he", born=born(AGE))], stays, sire)
    assert (known.sires == ("sire",)) is possible


def test_a_pup_far_below_its_litter_mates_is_looked_at() -> None:
    weights = {"a": 200, "b": 204, "c": 198, "small": 150}
    pups = [sow(name, weighings=(grams(0.1, g),)) for name, g in weights.items()]
    known = state(pups, together("dam", *weights))
    assert [pup.animal for pup in known.pups if pup.behind] == ["small"]
    assert known.pups[3].beside_pct == -25
    assert "pup_behind" in {one.code for one in known.do}


def test_weights_of_other_days_are_not_compared() -> None:
    pups = [sow("a", weighings=(grams(9, 100),)), sow("b", weighings=(grams(9, 101),))]
    today = sow("c", weighings=(grams(0.1, 200),))
    assert state([*pups, today], []).pups[2].beside_pct is None


def test_straining_for_ten_minutes_without_a_pup_rings_the_vet() -> None:
    """LafeberVet: more than 10 to 20 minutes, or intermittently for more than 2 hours."""
    begun = moment(0) - timedelta(minutes=9)
    call = labour(Labour(straining_since=begun), now=NOW, book=book())
    assert not call.ring_now
    assert call.ring_at == NOW + timedelta(minutes=1)
    late = labour(Labour(straining_since=begun), now=NOW + timedelta(minutes=1), book=book())
    assert late.ring_now
    assert late.why[0].sources == ("LAF-DYS",)


def test_a_pup_begins_the_ten_minutes_anew_but_not_the_half_hour() -> None:
    """Univ. Missouri: pups every few minutes, all within about half an hour."""
    begun = NOW - timedelta(minutes=29)
    pups = (NOW - timedelta(minutes=28), NOW - timedelta(minutes=5))
    seen = Labour(straining_since=begun, pups_at=pups)
    assert not labour(seen, now=NOW, book=book()).ring_now
    assert labour(seen, now=NOW + timedelta(minutes=2), book=book()).ring_now


def test_on_and_off_for_two_hours_rings_the_vet() -> None:
    seen = Labour(on_and_off_since=NOW - timedelta(hours=2))
    assert labour(seen, now=NOW, book=book()).ring_now
