"""The clock of a quarantine, as a carer would state it."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from cavyround.engines.contagion.quarantine import (
    Began,
    Clock,
    InQuarantine,
    LookedOver,
    Restart,
    Treatment,
    clock_of,
    how_long,
)
from cavyround.knowledge.book import Knowledge

CAME = date(2026, 3, 2)


def began(day: date, why: Restart = Restart.CAME) -> Began:
    return Began(on=day, why=why, words=str(why))


def after(days: int) -> date:
    return CAME + timedelta(days=days)


GOOD = InQuarantine(
    animal="Newcomer",
    began=(began(CAME),),
    days=21,
    second_look_days=14,
    last_check_days=7,
    checks=(
        LookedOver(on=CAME, whole=True, skin_clear=True),
        LookedOver(on=after(20), whole=True, skin_clear=True),
    ),
    keep_apart=False,
)


def clock(facts: InQuarantine, day: int, book: Knowledge) -> Clock:
    return clock_of(facts, today=after(day), book=book)


def missing(facts: InQuarantine, day: int, book: Knowledge) -> list[str]:
    return [one.code for one in clock(facts, day, book).missing]


def test_a_newcomer_without_signs_is_three_weeks_apart(book: Knowledge) -> None:
    """21 days: our own arithmetic over 14 days of a rescue (BTH) and published cycles."""
    told = how_long("new_arrival", book)
    assert told.days == 21
    assert "JUDGEMENT" in told.sources


def test_an_itchy_one_or_one_from_an_unknown_source_is_five_weeks_apart(book: Knowledge) -> None:
    """35 days: the longest published incubation of mange, 5 weeks (VP-ECT)."""
    told = how_long("unknown_source", book)
    assert told.days == 35
    assert "35 days" in told.words


def test_it_may_end_on_the_day_all_is_met_and_not_before(book: Knowledge) -> None:
    assert missing(GOOD, 20, book) == ["time"]
    ended = clock(GOOD, 21, book)
    assert ended.may_end
    assert ended.ends_on == after(21)


def test_a_newcomer_in_the_same_pen_or_air_sets_the_clock_back(book: Knowledge) -> None:
    later = replace(GOOD, began=(began(CAME), began(after(10), Restart.NEWCOMER_AIR)))
    told = clock(later, 21, book)
    assert told.ends_on == after(31)
    assert told.began.why is Restart.NEWCOMER_AIR
    assert [one.on for one in told.earlier] == [CAME], "that it began before is not forgotten"
    assert not told.may_end


def test_whatever_the_order_the_latest_beginning_counts(book: Knowledge) -> None:
    days = (began(after(10), Restart.NEW_SIGN), began(CAME), began(after(4), Restart.CONTACT))
    assert clock(replace(GOOD, began=days), 0, book).ends_on == after(31)


def test_without_a_second_look_at_coat_and_skin_it_does_not_end(book: Knowledge) -> None:
    """Two weeks: the shortest published time from contact to signs of mange (VP-ECT)."""
    early = (
        LookedOver(on=CAME, whole=True, skin_clear=True),
        LookedOver(on=after(13), whole=True, skin_clear=True),
        LookedOver(on=after(20), whole=True, skin_clear=None),
    )
    assert missing(replace(GOOD, checks=early), 21, book) == ["second_skin_look"]


def test_a_second_look_that_was_not_clear_does_not_count(book: Knowledge) -> None:
    looked = (*GOOD.checks, LookedOver(on=after(21), whole=True, skin_clear=False))
    told = clock(replace(GOOD, checks=looked), 21, book)
    assert [one.code for one in told.missing] == ["second_skin_look"]
    assert "not as they should be" in told.missing[0].what


def test_a_whole_check_must_lie_within_the_last_week(book: Knowledge) -> None:
    looked = (
        LookedOver(on=CAME, whole=True, skin_clear=True),
        LookedOver(on=after(14), whole=False, skin_clear=True),
    )
    assert missing(replace(GOOD, checks=looked), 21, book) == ["last_check"]


def test_never_checked_is_not_the_same_as_nothing_found(book: Knowledge) -> None:
    unknown = replace(GOOD, checks=(), keep_apart=None)
    assert set(missing(unknown, 30, book)) == {
        "arrival_check",
        "second_skin_look",
        "last_check",
        "nothing_catching",
    }


def test_it_stays_apart_while_advice_says_so_or_a_look_is_overdue(book: Knowledge) -> None:
    assert missing(replace(GOOD, keep_apart=True), 21, book) == ["nothing_catching"]
    assert missing(replace(GOOD, overdue=1), 21, book) == ["promises"]


def test_a_running_treatment_keeps_it_in_and_a_finished_one_its_cycle_longer(
    book: Knowledge,
) -> None:
    """Burrowing mites: 14 days after the last treatment, one cycle (CB-PRU)."""
    running = replace(GOOD, treatments=(Treatment(what="spot-on"),))
    assert missing(running, 21, book) == ["treatments"]
    ended = Treatment(what="spot-on", ended_on=after(15), days_after=14)
    assert clock(replace(GOOD, treatments=(ended,)), 21, book).ends_on == after(29)


def test_a_quarantine_that_began_on_no_day_is_a_fault(book: Knowledge) -> None:
    with pytest.raises(ValueError, match="begins on a day"):
        clock(replace(GOOD, began=()), 1, book)


def test_every_need_says_what_it_rests_on(book: Knowledge) -> None:
    assert all(need.sources and need.words for need in clock(GOOD, 1, book).needs)
