"""What the engines are told of an animal."""

from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal

import pytest

from cavyround.facts.animal import AnimalFacts, Known, Place, Sex
from cavyround.knowledge.urgency import Urgency
from cavyround.record.animals import Coming, arrive, state
from cavyround.record.building import facts_of, facts_of_all
from cavyround.record.models import Animal, Person
from cavyround.record.promises import (
    Judged,
    LookAgainAt,
    end_mark,
    mark_standing,
    promise,
    settle,
)
from tests.builders import (
    NOW,
    TODAY,
    OnTheTable,
    a_check,
    a_full_check,
    a_pen,
    an_animal,
    found,
    keep,
    weighed,
)

HOUR = timedelta(hours=1)
DAY = timedelta(days=1)


def places(facts: AnimalFacts) -> tuple[set[str], set[str]]:
    """The findings that are current, and those from before."""
    return {o.finding for o in facts.observations}, {o.finding for o in facts.before}


def test_what_nobody_knows_is_said_to_be_unknown(lead: Person) -> None:
    animal = an_animal(lead, sex="unknown")
    facts = facts_of(animal, NOW)
    assert (facts.sex, facts.neutered, facts.pregnant) == (
        Sex.UNKNOWN,
        Known.UNKNOWN,
        Known.UNKNOWN,
    )
    assert (facts.born.earliest, facts.born.latest, facts.dark_skin) == (None, None, None)
    assert facts.place is None
    assert not facts.checked_before


def test_two_phones_at_once_are_put_together(
    carer: Person, other_carer: Person, sow: Animal
) -> None:
    one, other = OnTheTable(sow), OnTheTable(sow, at=NOW + timedelta(minutes=2))
    keep(carer, [one.touch(found("crust", "eye", "eyes"))])
    keep(other_carer, [other.touch(found("wax", "ear", "ears"))])
    for table in (one, other):
        current, before = places(facts_of(sow, NOW + HOUR, check=table.row))
        assert (current, before) == ({"crust", "wax"}, set())


def test_a_phone_whose_clock_runs_ahead_loses_no_finding(carer: Person, sow: Animal) -> None:
    table = OnTheTable(sow, at=NOW + timedelta(minutes=40))
    keep(carer, [table.touch(found("laboured", "breathing", "breathing"))], NOW)
    keep(carer, [table.touch(weighed(912))], NOW)
    facts = facts_of(sow, NOW, check=table.row)
    assert places(facts)[0] == {"laboured"}
    assert [w.grams for w in facts.weighings] == [912]


def test_now_and_before_are_told_apart_by_the_check(carer: Person, sow: Animal) -> None:
    last_week = a_check(carer, sow, found("crust", "eye", "eyes"), at=NOW - 7 * DAY)
    today = a_check(carer, sow, found("wax", "ear", "ears"), at=NOW)
    assert places(facts_of(sow, NOW, check=today)) == ({"wax"}, {"crust"})
    assert places(facts_of(sow, NOW, check=last_week))[0] >= {"crust"}
    assert facts_of(sow, NOW, check=today).checked_before
    assert not facts_of(sow, NOW - 7 * DAY, check=last_week).checked_before


def test_the_latest_word_on_a_place_counts(carer: Person, sow: Animal) -> None:
    a_check(carer, sow, found("crust", "eye", "eyes", side="L"), at=NOW - 7 * DAY)
    gone = found("crust", "eye", "eyes", side="L", status="absent")
    check = a_check(carer, sow, gone, at=NOW)
    facts = facts_of(sow, NOW, check=check)
    assert [o.is_there for o in facts.observations] == [False]
    assert [o.is_there for o in facts.before] == [True]


def test_what_lies_in_the_future_of_the_moment_asked_about_is_not_known(
    carer: Person, sow: Animal
) -> None:
    a_check(carer, sow, found(), weighed(912), at=NOW)
    facts = facts_of(sow, NOW - DAY)
    assert (facts.observations, facts.weighings) == ((), ())


def test_weighings_come_oldest_first_with_their_doubts(carer: Person, sow: Animal) -> None:
    for days, grams, doubted in ((14, 950, False), (7, 1950, True), (0, 940, False)):
        a_check(carer, sow, weighed(grams, doubted=doubted), at=NOW - days * DAY)
    told = [(w.grams, w.doubted) for w in facts_of(sow, NOW).weighings]
    assert told == [(Decimal(950), False), (Decimal(1950), True), (Decimal(940), False)]


def test_an_animal_signed_in_as_the_other_sex_is_an_event(lead: Person) -> None:
    animal = an_animal(lead, sex="boar")
    arrive(lead, animal, Coming(on=TODAY, how="returned", sexed_as="sow"), NOW)
    assert [event.what for event in facts_of(animal, NOW).events] == ["signed_in_other_sex"]


@pytest.mark.parametrize(
    ("sex", "sexed_as"), [("boar", "boar"), ("boar", "unknown"), ("unknown", "sow")]
)
def test_no_doubt_about_the_sex_is_made_up(lead: Person, sex: str, sexed_as: str) -> None:
    animal = an_animal(lead, sex=sex)
    arrive(lead, animal, Coming(on=TODAY, how="returned", sexed_as=sexed_as), NOW)
    assert facts_of(animal, NOW).events == ()


def test_what_happened_without_a_day_is_taken_as_of_the_day_it_was_told(
    carer: Person, sow: Animal
) -> None:
    told = {"kind": "event", "what": "mated", "on": "2026-02-01", "note": "the boar next door"}
    a_check(carer, sow, told, {"kind": "event", "what": "stone_known"})
    events = {event.what: event for event in facts_of(sow, NOW).events}
    assert str(events["mated"].on) == "2026-02-01"
    assert events["mated"].note == "the boar next door"
    assert events["stone_known"].on == TODAY


def test_a_mark_that_was_ended_no_longer_holds(lead: Person, sow: Animal) -> None:
    judged = Judged(
        region="chin", finding="fat_pad", words="fatty", said_by="Dr A. Vet", said_on=TODAY
    )
    mark = mark_standing(lead, sow, judged, NOW)
    assert [one.id for one in facts_of(sow, NOW).marks] == [str(mark.id)]
    end_mark(lead, mark, "grown by half", NOW)
    assert facts_of(sow, NOW).marks == ()


def test_a_promise_that_was_kept_is_no_longer_open(lead: Person, sow: Animal) -> None:
    again = LookAgainAt(
        due_at=NOW, words="left eye", region="eye", finding="crust", urgency="vet_days"
    )
    made = promise(lead, sow, again, NOW)
    [follow_up] = facts_of(sow, NOW).follow_ups
    assert (follow_up.region, follow_up.urgency) == ("eye", Urgency.VET_DAYS)
    settle(lead, made, "gone", NOW)
    assert facts_of(sow, NOW).follow_ups == ()


@pytest.mark.parametrize(
    ("kind", "place"),
    [
        ("residents", Place.RESIDENT),
        ("nursery", Place.NURSERY),
        ("quarantine", Place.QUARANTINE),
        ("isolation", Place.ISOLATION),
        ("foster", Place.FOSTER),
    ],
)
def test_the_pen_says_under_what_regime_it_lives(lead: Person, kind: str, place: Place) -> None:
    assert facts_of(an_animal(lead, pen=a_pen(kind)), NOW).place is place


def test_in_its_first_days_it_is_a_newcomer_whatever_its_pen(lead: Person) -> None:
    animal = an_animal(lead, on=TODAY - 2 * DAY, pen=a_pen())
    assert facts_of(animal, NOW).place is Place.NEW_ARRIVAL


def a_bare_animal(lead: Person, carer: Person) -> Animal:
    return an_animal(lead)


def a_full_story(lead: Person, carer: Person) -> Animal:
    animal = an_animal(lead, sex="boar", coat=["long"], pen=a_pen("quarantine"))
    arrive(lead, animal, Coming(on=TODAY - 30 * DAY, how="returned", sexed_as="sow"), NOW)
    a_full_check(carer, animal, at=NOW - 14 * DAY)
    a_check(carer, animal, found("crust", "eye", "eyes", kinds=["dry"]), at=NOW - 7 * DAY)
    a_check(carer, animal, found(), weighed(912), {"kind": "event", "what": "stone_known"})
    promise(lead, animal, LookAgainAt(due_at=NOW, words="eye", region="eye"), NOW)
    judged = Judged(
        region="chin", finding="fat_pad", words="fatty", said_by="Dr A. Vet", said_on=TODAY
    )
    mark_standing(lead, animal, judged, NOW)
    state(lead, animal, {"dark_skin": True, "born_latest": TODAY - 90 * DAY}, "seen", NOW)
    return animal


@pytest.mark.parametrize("made", [a_bare_animal, a_full_story])
def test_the_whole_herd_at_once_is_told_the_same_as_one_by_one(
    lead: Person, carer: Person, made: Callable[[Person, Person], Animal]
) -> None:
    animal = made(lead, carer)
    assert facts_of_all([animal], NOW)[animal.id] == facts_of(animal, NOW)
