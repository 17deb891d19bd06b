"""Mating risk and the days of birth, as a carer would state the rules.

Outside figures: gestation 59 to 72 days, mean 68 (Vetpedia 840; researchanimaltraining.com);
about 70.5 days with one pup and 66.8 with six (Goy, Hoar and Young 1957, from memory);
parting at 21 days (Melbourne rabbit clinic; Matos and others, AR2021-0068).
"""

from datetime import UTC, date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cavyround.advice.book import book
from cavyround.engines.breeding import Expecting, State, expecting, mean_gestation
from cavyround.facts.animal import Born, Known, Sex
from cavyround.facts.breeding import Away, Felt, MetBefore, SaidPregnant, Sure
from cavyround.facts.stays import Stay
from tests.engines.breeding.made import (
    NOW,
    TODAY,
    ago,
    boar,
    born,
    expect,
    expect_one,
    grams,
    looked,
    sow,
    stay,
)


def test_one_day_together_gives_the_published_days_of_birth() -> None:
    stays = [stay("sow", "a", 100), stay("boar", "a", 30.2, 30)]
    one = expect_one([sow(), boar()], stays)
    # 1 February 2026 and 59 or 72 days: 1 April and 14 April.
    assert one.possible.first == date(2026, 4, 1) == ago(30) + timedelta(days=59)
    assert one.possible.last == date(2026, 4, 14)
    assert one.state is State.AT_RISK
    assert one.sires == ("boar",)


def test_while_they_are_together_there_is_no_last_day_and_the_answer_is_to_part_them() -> None:
    one = expect_one([sow(), boar()], [stay("sow", "a", 20), stay("boar", "a", 10)])
    assert one.state is State.WITH_BOAR
    assert one.possible.last is None
    assert one.with_now == ("boar",)
    assert one.do[0].code == "part_now"


def test_seventy_two_days_after_the_last_contact_the_risk_is_over() -> None:
    at_risk = [stay("sow", "a", 200), stay("boar", "a", 100, 72)]
    over = [stay("sow", "a", 200), stay("boar", "a", 100, 73)]
    assert expect([sow(), boar()], at_risk)
    assert expect([sow(), boar()], over) == []


def test_one_that_is_known_to_be_pregnant_and_past_the_last_day_is_an_emergency() -> None:
    she = sow(said=(SaidPregnant(on=ago(40), pregnant=Known.YES),))
    one = expect_one([she, boar()], [stay("sow", "a", 200), stay("boar", "a", 100, 73)])
    assert one.state is State.PAST_TERM
    assert one.do[0].code == "past_term"


@pytest.mark.parametrize(
    "who",
    [
        boar(sex=Sex.UNKNOWN),
        boar(neutered=Known.UNKNOWN),
        boar(neutered=Known.POSSIBLE),
        boar(sure=Sure.TOLD),
        boar(sex=Sex.SOW, sure=Sure.TOLD),
        boar(sexings=(looked(Sex.SOW, "Ann", 2), looked(Sex.BOAR, "Ben", 1))),
    ],
    ids=["sex unknown", "neutering unknown", "perhaps neutered", "told", "told sow", "disputed"],
)
def test_what_nobody_knows_counts_as_could_be(who: object) -> None:
    stays = [stay("sow", "a", 50), stay("boar", "a", 5)]
    assert "sow" in {one.animal for one in expect([sow(), who], stays)}  # type: ignore[list-item]


def test_two_of_unknown_sex_put_each_other_at_risk() -> None:
    pair = [sow("one", sex=Sex.UNKNOWN), sow("two", sex=Sex.UNKNOWN)]
    found = expect(pair, [stay("one", "a", 9), stay("two", "a", 9)])
    assert {one.animal for one in found} == {"one", "two"}


def test_two_sows_or_two_boars_are_no_risk() -> None:
    stays = [stay("one", "a", 9), stay("two", "a", 9)]
    assert expect([sow("one"), sow("two")], stays) == []
    assert expect([boar("one"), boar("two")], stays) == []


def test_a_boar_castrated_lately_counts_as_fertile_for_six_weeks() -> None:
    """Four weeks by one page, six by common practice: the longer is used."""
    she, stays = sow(), [stay("sow", "a", 100), stay("boar", "a", 1)]
    lately = boar(neutered=Known.YES, castrated_on=ago(41))
    long_ago = boar(neutered=Known.YES, castrated_on=ago(43))
    assert expect([she, lately], stays)
    assert expect([she, long_ago], stays) == []


def test_a_castration_of_unknown_day_is_counted_from_the_day_he_came() -> None:
    stays = [stay("sow", "a", 100), stay("boar", "a", 1)]
    came = boar(neutered=Known.YES, first_seen_on=ago(20))
    resident = boar(neutered=Known.YES, first_seen_on=ago(60))
    assert expect([sow(), came], stays)
    assert expect([sow(), resident], stays) == []


def test_a_boar_pup_is_fertile_from_day_twenty_one() -> None:
    stays = [stay("sow", "a", 100), stay("boar", "a", 25)]
    assert expect([sow(), boar(born=born(20))], stays) == []
    one = expect_one([sow(), boar(born=born(21))], stays)
    assert one.contacts[0].since == TODAY
    assert one.possible.first == TODAY + timedelta(days=59)


def test_an_age_that_may_be_enough_counts() -> None:
    perhaps = boar(born=Born(earliest=ago(30), latest=ago(10)))
    assert expect([sow(), perhaps], [stay("sow", "a", 100), stay("boar", "a", 5)])


def test_after_a_birth_the_mother_is_at_once_at_risk_again() -> None:
    """The heat after birth begins 2 to 10 hours later and is fertile (Melbourne rabbit clinic)."""
    she = sow(births=(ago(10),))
    one = expect_one([she, boar()], [stay("sow", "a", 100), stay("boar", "a", 80, 9)])
    assert one.possible.first == ago(10) + timedelta(days=59)
    assert one.possible.last == ago(9) + timedelta(days=72)
    parted_before = [stay("sow", "a", 100), stay("boar", "a", 80, 11)]
    assert expect([she, boar()], parted_before) == []


def test_a_sow_that_came_may_have_met_a_boar_before() -> None:
    came = sow(born_here=False, first_seen_on=ago(30))
    one = expect_one([came], [stay("sow", "q", 30)])
    assert one.history_unknown
    assert one.possible.last == ago(30) + timedelta(days=72)
    long_here = sow(born_here=False, first_seen_on=ago(73))
    assert expect([long_here], [stay("sow", "q", 73)]) == []


def test_company_that_was_told_of_counts_until_the_day_it_ended() -> None:
    told = sow(born_here=False, first_seen_on=ago(40), met=(MetBefore(until=ago(45)),))
    one = expect_one([told], [])
    assert one.possible.last == ago(45) + timedelta(days=72)
    assert not one.history_unknown


def test_not_pregnant_says_nothing_of_the_last_four_weeks() -> None:
    stays = [stay("sow", "a", 100), stay("boar", "a", 60.2, 60)]
    ruled_out = sow(said=(SaidPregnant(on=ago(30), pregnant=Known.NO),))
    too_soon = sow(said=(SaidPregnant(on=ago(33), pregnant=Known.NO),))
    assert expect([ruled_out, boar()], stays) == []
    assert expect([too_soon, boar()], stays)


def test_pups_that_were_felt_move_the_last_day_nearer() -> None:
    stays = [stay("sow", "a", 100), stay("boar", "a", 80, 5)]
    plain = expect_one([sow(), boar()], stays)
    felt = expect_one([sow(felt=(Felt(on=ago(6)),)), boar()], stays)
    moving = expect_one([sow(felt=(Felt(on=ago(6), moving=True),)), boar()], stays)
    # Felt from day 14 at the earliest: conceived by day 20 ago. Moving: within the last 21 days,
    # so at least 59 - 21 = 38 days on: conceived by day 44 ago.
    assert plain.possible.last == ago(5) + timedelta(days=72)
    assert felt.possible.last == ago(20) + timedelta(days=72)
    assert moving.possible.last == ago(44) + timedelta(days=72)
    assert moving.likely.last is not None
    assert moving.likely.last <= ago(6) + timedelta(days=21)
    assert felt.state is not State.AT_RISK


def test_what_was_felt_unsurely_takes_no_day_away() -> None:
    stays = [stay("sow", "a", 100), stay("boar", "a", 80, 5)]
    unsure = expect_one([sow(felt=(Felt(on=ago(6), moving=True, sure=False),)), boar()], stays)
    assert unsure.possible.last == ago(5) + timedelta(days=72)
    assert unsure.state is State.AT_RISK


def test_weight_gained_moves_the_likeliest_days_nearer_never_the_possible_ones() -> None:
    stays = [stay("sow", "a", 100), stay("boar", "a", 70, 5)]
    old = born(700)
    even = sow(born=old, weighings=(grams(80, 900), grams(60, 905), grams(1, 915)))
    heavy = sow(born=old, weighings=(grams(80, 900), grams(60, 905), grams(1, 1350)))
    light, carrying = (expect_one([one, boar()], stays) for one in (even, heavy))
    assert light.possible == carrying.possible
    assert light.likely.last is not None
    assert carrying.likely.last is not None
    assert carrying.likely.last < light.likely.last


@pytest.mark.parametrize(("pups", "days"), [(1, 70.5), (2, 69.8), (6, 66.8)])
def test_gestation_is_shorter_with_more_pups(pups: int, days: float) -> None:
    """Goy, Hoar and Young 1957 (from memory): 70.5 days with one, about 0.7 less for each more."""
    assert float(mean_gestation(pups, book())) == pytest.approx(days, abs=0.1)


def test_a_large_litter_is_expected_sooner() -> None:
    stays = [stay("sow", "a", 100), stay("boar", "a", 50.2, 50)]
    single = expect_one([sow(felt=(Felt(on=ago(10), pups=1),)), boar()], stays)
    six = expect_one([sow(felt=(Felt(on=ago(10), pups=6),)), boar()], stays)
    assert six.likely.first < single.likely.first
    assert six.possible == single.possible


def test_a_first_litter_after_six_months_wants_a_plan_with_the_vet() -> None:
    stays = [stay("sow", "a", 100), stay("boar", "a", 10)]
    late = expect_one([sow(born=born(250)), boar()], stays)
    again = expect_one([sow(born=born(250), litters_before=1), boar()], stays)
    unknown = expect_one([sow(born=Born()), boar()], stays)
    assert late.first_litter.late
    assert "late_first" in {one.code for one in late.do}
    assert not again.first_litter.late
    assert unknown.first_litter.late
    assert unknown.first_litter.first is True
    assert {"LAF-DYS", "VHD"} <= {s for one in late.do for s in one.sources}


def test_a_very_young_mother_wants_a_plan_too() -> None:
    stays = [stay("sow", "a", 30), stay("boar", "a", 10)]
    young = expect_one([sow(born=born(40)), boar()], stays)
    assert young.first_litter.young
    assert not young.first_litter.late


def test_illness_is_an_emergency_from_three_weeks_before_to_two_weeks_after() -> None:
    """The union of the published windows of pregnancy toxaemia (Missouri, PetMD, TGPV)."""
    one = expect_one([sow(), boar()], [stay("sow", "a", 100), stay("boar", "a", 30.2, 30)])
    assert one.emergency.first == one.possible.first - timedelta(days=21)
    assert one.possible.last is not None
    assert one.emergency.last == one.possible.last + timedelta(days=14)


def test_a_stay_that_ends_before_it_begins_hides_no_risk() -> None:
    backwards = [stay("sow", "a", 100), stay("boar", "a", 20, 25)]
    assert expect([sow(), boar()], backwards)


DAYS = st.integers(min_value=0, max_value=120)


@settings(max_examples=60)
@given(began=DAYS, length=st.integers(min_value=0, max_value=60), felt_ago=DAYS)
def test_the_likeliest_days_always_lie_among_the_possible_ones(
    began: int, length: int, felt_ago: int
) -> None:
    ended = began - length
    together = stay("boar", "a", began, ended if ended > 0 else None)
    she = sow(felt=(Felt(on=ago(felt_ago), moving=True),), weighings=(grams(1, 1400),))
    for one in expect([she, boar()], [stay("sow", "a", 300), together]):
        assert one.possible.first <= one.likely.first
        if one.possible.last is not None:
            assert one.likely.last is not None
            assert one.likely.first <= one.likely.last <= one.possible.last


@settings(max_examples=60)
@given(began=DAYS, length=st.integers(min_value=0, max_value=60), shift=st.integers(1, 400))
def test_later_days_shift_every_answer_by_as_much(began: int, length: int, shift: int) -> None:
    ended = max(0, began - length)
    by = timedelta(days=shift)
    stays = [stay("sow", "a", 300), stay("boar", "a", began, ended)]
    moved = [
        type(one)(
            animal=one.animal,
            pen=one.pen,
            began_at=one.began_at + by,
            ended_at=None if one.ended_at is None else one.ended_at + by,
        )
        for one in stays
    ]
    before = expect([sow(), boar()], stays)
    after = expect([sow(), boar()], moved, NOW + by)
    assert [one.possible.first + by for one in before] == [one.possible.first for one in after]


def test_a_contact_of_long_ago_makes_no_day_of_a_later_one_earlier() -> None:
    """A resident who came with an unknown past, and met a boar last month."""
    she = sow(born_here=False, first_seen_on=ago(300))
    one = expect_one([she, boar()], [stay("sow", "a", 300), stay("boar", "a", 30.2, 30)])
    assert one.possible.first == ago(30) + timedelta(days=59)
    assert not one.history_unknown
    assert [contact.sire for contact in one.contacts] == ["boar"]


def test_a_sow_pup_counts_from_day_seventeen_and_a_boar_from_day_twenty_one() -> None:
    """6 of 39 sows were open at 17 to 21 days (Matos and others, AR2021-0068)."""
    together = [stay("sow", "a", 30), stay("boar", "a", 30)]
    assert expect([sow(born=born(16)), boar()], together) == []
    assert expect([sow(born=born(17)), boar()], together)
    assert expect([sow(), boar(born=born(20))], together) == []
    assert expect([sow(), boar(born=born(21))], together)


def test_what_was_told_is_quoted_with_its_day_and_not_said_of_today() -> None:
    told = MetBefore(until=ago(40), note="entire boar until today")
    [contact] = expect_one([sow(met=(told,))], []).contacts
    assert contact.why == f"said on {ago(40).day} {ago(40):%B %Y}: “entire boar until today”"


def test_a_boar_stated_as_not_neutered_is_entire_whatever_day_was_written_down() -> None:
    stays = [stay("sow", "a", 50), stay("boar", "a", 5)]
    slip = boar(castrated_on=ago(300), neutered=Known.NO)
    assert expect_one([sow(), slip], stays).state is State.WITH_BOAR


def test_a_time_away_is_company_nobody_knows_of() -> None:
    away = sow(away=(Away(since=ago(100), until=ago(10)),))
    one = expect_one([away], [])
    assert one.history_unknown
    assert one.possible.last == ago(10) + timedelta(days=72)


def test_a_shared_run_counts_where_they_were_there_at_one_moment_and_not_on_one_day() -> None:
    pens = [stay("sow", "a", 90), stay("boar", "b", 90)]
    morning, evening = stay("sow", "run", 10.9, 10.8), stay("boar", "run", 10.5, 10.4)
    assert expect([sow(), boar()], pens) == []
    together = [stay("sow", "run", 10.9, 10.5), stay("boar", "run", 10.8, 10.4)]

    def met(meetings: list[Stay]) -> list[Expecting]:
        animals = [sow(), boar()]
        found = expecting(animals, pens, now=NOW, zone=UTC, book=book(), meetings=meetings)
        return list(found)

    assert met([morning, evening]) == []
    [one] = met(together)
    assert one.sires == ("boar",)
    assert one.possible.last == (NOW - timedelta(days=10.5)).date() + timedelta(days=72)
    backwards = [stay("sow", "run", 10.5, 10.9), stay("boar", "run", 10.8, 10.4)]
    assert met(backwards)
    lasting = [stay("sow", "run", 1), stay("boar", "run", 1)]
    [still] = met(lasting)
    assert still.state is State.WITH_BOAR
