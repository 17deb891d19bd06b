"""The planner keeps apart whoever is in quarantine, wherever it stands, and the exposed."""

from datetime import timedelta

import pytest

from cavyround.advice.housing import house_now
from cavyround.advice.outbreaks_today import watched
from cavyround.engines.housing import House, Proposal, propose
from cavyround.facts.housing import Health, Lodger
from cavyround.record.animals import move
from cavyround.record.contagion import (
    Apart,
    CaseSaid,
    end_quarantine,
    open_outbreak,
    set_quarantine,
)
from cavyround.record.models import Animal, Pen, Person
from cavyround.record.places import Floor, keep_pen
from tests.builders import NOW, TODAY, a_full_check, a_pen, an_animal

DAY = timedelta(days=1)
KNOWN = {"sex": "sow", "sex_sure": "sure", "neutered": "no", "pregnant": "no"}


def sow(person: Person, name: str, pen: Pen) -> Animal:
    animal = an_animal(person, name, on=TODAY - 300 * DAY, **KNOWN)
    move(person, animal, pen, NOW - 200 * DAY, why="lives there")
    return animal


def floored(kind: str = "residents", name: str = "Clover", room: str = "Long room") -> Pen:
    pen = a_pen(kind, name=name, room=room)
    return keep_pen(pen.room, pen.name, pen.kind, pen=pen, floor=Floor(area_cm2=15000))


def lodger(house: House, animal: Animal) -> Lodger:
    return house.by_id[str(animal.pk)]


def hard(house: House, one: Animal, other: Animal) -> list[str]:
    whys = house.sharing.why_apart(lodger(house, one), lodger(house, other))
    return [f"{why.rule}: {why.detail}" for why in whys if why.hard]


def put_apart(person: Person, animal: Animal, began_days_ago: int = 3, days: int = 21) -> None:
    began = TODAY - began_days_ago * DAY
    apart = Apart(
        began_on=began, days=days, second_look_days=14, last_check_days=7, why="met a stray"
    )
    set_quarantine(person, animal, apart, NOW - began_days_ago * DAY)


def test_a_quarantine_that_runs_outside_a_quarantine_pen_parts_with_the_reason_and_its_day(
    lead: Person,
) -> None:
    fern, sage = sow(lead, "Fern", floored()), sow(lead, "Sage", floored(name="Yarrow"))
    assert hard(house_now(NOW), fern, sage) == []
    put_apart(lead, fern)
    house = house_now(NOW)
    assert lodger(house, fern).health is Health.QUARANTINE
    [why] = hard(house, fern, sage)
    ends = TODAY + 18 * DAY
    assert why.startswith("quarantine: Fern in quarantine: until")
    assert f"until {ends.day} {ends:%B %Y}" in why
    assert "met a stray" in why


def test_the_planner_takes_one_in_quarantine_out_of_the_residents_pen_and_its_mates_with_it(
    lead: Person,
) -> None:
    clover, shed = floored(), floored("quarantine", "Shed 1", "Shed")
    fern, sage, rue = (sow(lead, name, clover) for name in ("Fern", "Sage", "Rue"))
    put_apart(lead, fern)
    plan = propose(house_now(NOW))
    assert isinstance(plan, Proposal)
    assert {(one.animal, one.pen) for one in plan.moves} == {
        (str(one.pk), str(shed.pk)) for one in (fern, sage, rue)
    }
    assert any("met a stray" in words for words in plan.moves[0].because)
    assert any("shared a pen or air with Fern" in words for words in plan.moves[1].because)


def test_a_clock_that_is_over_holds_until_somebody_ends_it(lead: Person) -> None:
    fern, sage = sow(lead, "Fern", floored()), sow(lead, "Sage", floored(name="Yarrow"))
    put_apart(lead, fern, began_days_ago=30)
    [why] = hard(house_now(NOW), fern, sage)
    assert "its days were over on" in why
    assert "No whole check yet" in why
    end_quarantine(lead, fern, NOW, missing=["arrival_check"], why="the vet says so")
    assert hard(house_now(NOW), fern, sage) == []


def test_one_whose_quarantine_was_ended_is_well_though_it_still_stands_there(lead: Person) -> None:
    fern = sow(lead, "Fern", floored("quarantine", "Shed 1", "Shed"))
    assert lodger(house_now(NOW), fern).health is Health.QUARANTINE
    end_quarantine(lead, fern, NOW, missing=["arrival_check"], why="the vet says so")
    assert lodger(house_now(NOW), fern).health is Health.WELL


@pytest.fixture
def ringworm(lead: Person) -> dict[str, Animal]:
    """A case that was taken to isolation a day ago, its pen mate, and one in another room."""
    clover = floored()
    case, mate = sow(lead, "Juniper", clover), sow(lead, "Cob", clover)
    far = sow(lead, "Wisp", floored(name="Barn 1", room="Barn"))
    said = CaseSaid(signs_at=NOW - 2 * DAY, sure="suspected", why="bald nose")
    open_outbreak(lead, "ringworm", "Ringworm in Clover", "bald", case, said, NOW - 2 * DAY)
    move(lead, case, floored("isolation", "Wash 1", "Wash house"), NOW - DAY, why="a case")
    return {"case": case, "mate": mate, "far": far}


def test_an_exposed_one_that_is_watched_is_kept_apart_where_it_is(
    lead: Person, ringworm: dict[str, Animal]
) -> None:
    house, mate, far = house_now(NOW), ringworm["mate"], ringworm["far"]
    assert lodger(house, mate).health is Health.WATCHED
    assert lodger(house, ringworm["case"]).health is Health.ISOLATED
    assert lodger(house, far).health is Health.WELL
    told = watched(NOW)[str(mate.pk)]
    assert told.until == TODAY - DAY + told.days * DAY
    [why] = hard(house, mate, far)
    assert why.startswith("quarantine: Cob exposed to something catching and watched: ringworm")
    assert f"until {told.until.day} {told.until:%B %Y}" in why
    assert mate.pen is not None
    own = house.pen_by_id[str(mate.pen_id)]
    assert house.fitting.why_not_in(lodger(house, mate), own) == ()


def test_looked_at_on_its_last_day_it_is_free_again_and_not_before(
    lead: Person, ringworm: dict[str, Animal]
) -> None:
    mate = ringworm["mate"]
    told = watched(NOW)[str(mate.pk)]
    last = NOW + (told.days - 1) * DAY
    assert str(mate.pk) in watched(last + DAY)
    a_full_check(lead, mate, at=last + DAY)
    assert str(mate.pk) not in watched(last + 2 * DAY)
