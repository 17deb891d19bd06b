"""Who may share a pen, as a carer would state it.

Published: sows together, or a neutered boar with sows; two boars possible with no sows near
(bvna.org.uk, Richardson); after castration four weeks (April Lodge) or six (no source).
"""

from datetime import timedelta

import pytest

from cavyround.engines.housing import Sharing, Why
from cavyround.facts.animal import Born, Known, Sex
from cavyround.facts.breeding import Sure
from cavyround.facts.housing import Health, Lodger
from tests.engines.housing.made import TODAY, boar, castrated, fought, house, lodger, sow


def born(days: int) -> Born:
    day = TODAY - timedelta(days=days)
    return Born(earliest=day, latest=day)


def why(one: Lodger, other: Lodger) -> list[str]:
    return [reason.rule for reason in sharing([one, other]).why_apart(one, other)]


def sharing(animals: list[Lodger]) -> Sharing:
    return house(animals, []).sharing


def among(*animals: Lodger) -> list[Why]:
    return list(sharing(list(animals)).among(animals))


def test_sows_share_and_so_do_two_boars_and_a_neutered_boar_with_sows() -> None:
    assert why(sow("a"), sow("b")) == []
    assert why(boar("a"), boar("b")) == []
    assert why(castrated("a"), sow("b")) == []


@pytest.mark.parametrize(
    "he",
    [
        boar("he"),
        boar("he", neutered=Known.UNKNOWN),
        boar("he", neutered=Known.POSSIBLE),
        lodger("he", Sex.UNKNOWN),
        lodger("he", Sex.SOW, sure=Sure.TOLD),
    ],
    ids=["entire", "not known", "perhaps", "sex unknown", "only told"],
)
def test_no_boar_that_may_be_entire_shares_with_a_sow(he: Lodger) -> None:
    assert "sexes" in why(he, sow("she"))


def test_several_boars_with_a_sow_are_warned_of_neutered_ones_too() -> None:
    """bvna.org.uk: a neutered boar with sows; boars together with no sows near."""
    assert [w.rule for w in among(castrated("a"), castrated("b"), sow("c"))] == ["boars_with_a_sow"]
    assert among(castrated("a"), castrated("b")) == []
    assert among(castrated("a"), sow("b"), sow("c")) == []
    pup = boar("p", born=born(10), dam="c")
    assert among(castrated("a"), pup, sow("c")) == [], "a pup is no rival yet"


def test_two_of_unknown_sex_do_not_share() -> None:
    assert why(lodger("a", Sex.UNKNOWN), lodger("b", Sex.UNKNOWN)) == ["sexes"]


def test_one_castrated_lately_does_not_share_with_sows_for_six_weeks() -> None:
    lately = castrated("he", castrated_on=TODAY - timedelta(days=41))
    over = castrated("he", castrated_on=TODAY - timedelta(days=42))
    assert why(lately, sow("she")) == ["castrated_lately"]
    assert why(over, sow("she")) == []


def test_a_young_boar_stays_with_his_mother_until_day_twenty_one() -> None:
    assert why(boar("he", born=born(20), dam="she"), sow("she")) == []
    assert why(boar("he", born=born(21), dam="she"), sow("she")) == ["young_boar_with_dam"]


def test_a_young_boar_is_not_put_with_a_strange_sow_for_his_last_days() -> None:
    assert why(boar("he", born=born(15)), sow("she")) == ["sexes"]
    assert why(boar("he", born=born(5)), sow("she")) == []


def test_a_sow_before_birth_is_kept_from_entire_boars() -> None:
    she = sow("she", expecting_until=TODAY + timedelta(days=3))
    assert why(boar("he"), she) == ["sow_before_birth"]


def test_newcomers_of_two_groups_do_not_share_and_those_who_came_together_do() -> None:
    first, second = (sow(name, health=Health.QUARANTINE, cohort="tuesday") for name in ("a", "b"))
    later = sow("c", health=Health.QUARANTINE, cohort="friday")
    nobody_knows = sow("d", health=Health.QUARANTINE)
    assert why(first, second) == []
    assert why(first, later) == ["quarantine"]
    assert why(first, sow("resident")) == ["quarantine"]
    assert why(nobody_knows, sow("e", health=Health.QUARANTINE)) == ["quarantine"]


def test_only_those_with_the_same_infection_share() -> None:
    ill = {"health": Health.ISOLATED}
    one, other = (sow(n, infections=frozenset({"ringworm"}), **ill) for n in ("a", "b"))
    lice = sow("c", infections=frozenset({"lice"}), **ill)
    assert why(one, other) == []
    assert why(one, lice) == ["infection"]
    assert why(one, sow("well")) == ["infection"]
    assert why(sow("d", **ill), sow("e", **ill)) == ["infection"]


def test_blood_is_not_forgotten_and_a_squabble_is_a_warning_for_a_year() -> None:
    pair = [sow("a"), sow("b")]
    blood = house(pair, [], quarrels=[fought("a", "b", 900, blood=True)]).sharing
    squabble = house(pair, [], quarrels=[fought("b", "a", 300)]).sharing
    forgotten = house(pair, [], quarrels=[fought("b", "a", 400)]).sharing
    assert [(w.rule, w.hard) for w in blood.why_apart(*pair)] == [("enemies", True)]
    assert [(w.rule, w.hard) for w in squabble.why_apart(*pair)] == [("quarrelled", False)]
    assert forgotten.why_apart(*pair) == ()


def test_a_small_one_with_a_large_stranger_is_a_warning_but_not_with_its_mother() -> None:
    assert why(sow("a", grams=250), sow("b", grams=900)) == ["size"]
    assert why(sow("a", grams=250, dam="b"), sow("b", grams=900)) == []


def test_three_boars_and_one_alone_are_warnings() -> None:
    assert [w.rule for w in among(boar("a"), boar("b"), boar("c"))] == ["many_boars"]
    assert [w.rule for w in among(sow("a"))] == ["alone"]
    assert among(sow("a", alone_because="the vet wants it alone")) == []


def test_every_reason_names_its_source_and_what_would_free_it() -> None:
    for reason in sharing([]).why_apart(boar("he"), sow("she")):
        assert reason.sources
        assert reason.frees
        assert "he: entire boar" in reason.detail


def test_one_written_down_as_living_alone_shares_with_nobody_but_pups_that_suck() -> None:
    alone = sow("a", alone_because="fights with all it was tried with", keeps_alone=True)
    assert why(alone, sow("b")) == ["kept_alone"]
    assert why(alone, sow("pup", sucks_from="a", dam="a")) == []
    may_be = sow("c", alone_because="in quarantine")
    assert why(may_be, sow("b")) == []


def test_why_one_lives_alone_though_it_needs_company_is_said_with_the_warning() -> None:
    [only] = among(sow("a", alone_told="last of a pair, since 3 March 2026"))
    assert (only.rule, only.detail) == ("alone", "a: last of a pair, since 3 March 2026")
