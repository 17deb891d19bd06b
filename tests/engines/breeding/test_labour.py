"""When a labour lasts too long, as a carer at the pen would say it.

Ten to twenty minutes of straining without a pup, or two hours on and off, is an emergency
(LafeberVet, dystocia); pups come three to seven minutes apart and all within about half an hour
(University of Missouri). A start nobody saw counts as too long: our own judgement.
"""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavyround.advice.book import book
from cavyround.engines.breeding import Labour, LabourCall, labour, labour_seen
from cavyround.facts.labour import LabourFacts, LabourSeen, Seen

BEGUN = datetime(2026, 3, 3, 2, 0, tzinfo=UTC)
PUP = Seen.PUP_ALIVE


def minutes(count: float) -> timedelta:
    return timedelta(minutes=count)


def seen(what: Seen, after: float, sign: str = "") -> LabourSeen:
    return LabourSeen(what=what, at=BEGUN + minutes(after), sign=sign, id=f"{after:08}")


def told(*what: LabourSeen, since: datetime | None = BEGUN) -> LabourFacts:
    return LabourFacts(since=since, noticed_at=BEGUN, seen=what)


def at(after: float, facts: LabourFacts) -> LabourCall:
    counted = labour_seen(facts, book=book())
    return labour(counted, now=BEGUN + minutes(after), book=book())


def codes(call: LabourCall) -> list[str]:
    return [why.code for why in call.why]


def test_ten_minutes_without_a_pup_are_too_long_and_each_pup_begins_them_anew() -> None:
    assert not at(9.9, told()).ring_now
    assert at(10, told()).ring_now
    assert at(9.9, told()).ring_at == BEGUN + minutes(10)
    pup = told(seen(PUP, 8))
    assert not at(17.9, pup).ring_now
    assert at(18, pup).ring_now


def test_a_dead_pup_and_one_nobody_is_sure_of_are_pups_that_came() -> None:
    for what in (Seen.PUP_DEAD, Seen.PUP):
        assert at(12, told(seen(what, 8))).ring_at == BEGUN + minutes(18)


def test_half_an_hour_after_the_first_pup_straining_is_too_long_though_pups_come() -> None:
    coming = told(*(seen(PUP, each) for each in (5, 12, 19, 26, 33)))
    assert not at(34.9, coming).ring_now
    assert codes(at(35, coming)) == ["labour_whole_minutes"]


def test_a_start_nobody_saw_counts_as_too_long_at_once() -> None:
    call = at(0, told(since=None))
    assert call.ring_now
    assert "nobody knows since when" in call.why[0].words
    assert at(3, told(seen(PUP, 2), since=None)).ring_now
    mended = told(LabourSeen(what=Seen.SINCE, at=BEGUN - minutes(3)), since=None)
    assert not at(1, mended).ring_now
    unsure_again = told(LabourSeen(what=Seen.SINCE, at=None))
    assert at(0, unsure_again).ring_now


def test_a_rest_stops_the_ten_minutes_but_not_the_two_hours() -> None:
    resting = told(seen(Seen.RESTS, 6))
    assert not at(30, resting).ring_now
    assert at(30, resting).ring_at == BEGUN + minutes(120)
    assert codes(at(120, resting)) == ["labour_on_off_hours"]


def test_a_short_rest_is_none_and_after_a_long_one_ten_minutes_begin_anew() -> None:
    short = told(seen(Seen.RESTS, 6), seen(Seen.STRAINS, 8))
    long = told(seen(Seen.RESTS, 6), seen(Seen.STRAINS, 26))
    assert at(10, short).ring_now
    assert not at(35.9, long).ring_now
    assert at(36, long).ring_now


def test_short_rests_one_after_another_do_not_put_it_off() -> None:
    breaks = [seen(what, n) for n in range(1, 10, 2) for what in (Seen.RESTS,)]
    again = [seen(Seen.STRAINS, n) for n in range(2, 11, 2)]
    assert at(10, told(*breaks, *again)).ring_now


@pytest.mark.parametrize("sign", ["discharge", "pup_stuck", "bleeding", "weak"])
def test_a_sign_that_is_an_emergency_is_one_in_the_first_minute(sign: str) -> None:
    call = at(1, told(seen(Seen.SIGN, 1, sign)))
    assert call.ring_now
    assert codes(call)[0] == sign
    assert call.why[0].sources


def test_that_the_vet_was_rung_makes_nothing_safer() -> None:
    assert at(10, told(seen(Seen.VET_RUNG, 9))).ring_now


steps = st.lists(
    st.tuples(st.sampled_from([PUP, Seen.RESTS, Seen.STRAINS]), st.integers(0, 180)), max_size=8
)


@given(steps, st.integers(0, 240))
def test_once_it_is_time_to_ring_waiting_alone_never_ends_it(
    what: list[tuple[Seen, int]], after: int
) -> None:
    facts = told(*(seen(one, n) for one, n in sorted(what, key=lambda pair: pair[1])))
    if at(after, facts).ring_now:
        assert at(after + 7, facts).ring_now


@given(steps)
def test_nobody_is_told_to_wait_longer_than_two_hours_after_the_last_pup(
    what: list[tuple[Seen, int]],
) -> None:
    facts = told(*(seen(one, n) for one, n in what))
    last = max([BEGUN, *facts.pups_at])
    call = at(0, facts)
    assert call.ring_at is not None
    assert call.ring_at <= last + timedelta(hours=2)


@given(steps, st.integers(0, 240))
def test_not_knowing_the_start_is_never_the_milder(
    what: list[tuple[Seen, int]], after: int
) -> None:
    events = [seen(one, n) for one, n in what]
    assert at(after, told(*events, since=None)).ring_now


def test_a_labour_of_which_nothing_is_said_asks_for_nothing() -> None:
    assert labour(Labour(), now=BEGUN, book=book()) == LabourCall(
        ring_now=False, ring_at=None, why=()
    )
