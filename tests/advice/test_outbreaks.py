"""Outbreaks from the record: who was exposed, what today's list says, what changed."""

from datetime import datetime, timedelta

import pytest

from cavyround.advice.book import book
from cavyround.advice.due import due_today
from cavyround.advice.housing import house_now
from cavyround.advice.leaving import speaks_against_leaving
from cavyround.advice.order_of_care import order_of_care
from cavyround.advice.outbreaks import origins, outbreak_now
from cavyround.advice.outbreaks_today import last_contacts, looks_due, watched
from cavyround.engines.contagion.changes import ChangeKind
from cavyround.engines.contagion.outbreak_said import OutbreakStands
from cavyround.engines.contagion.tracing import Strength
from cavyround.engines.housing import speaks_against
from cavyround.record.animals import ImpossibleError, Leaving, depart, move
from cavyround.record.contagion import (
    CaseSaid,
    clean_pen,
    close_outbreak,
    open_outbreak,
    say_case,
    say_done,
)
from cavyround.record.models import Animal, Outbreak, Person
from tests.builders import FINISH, NOW, a_check, a_full_check, a_pen, an_animal, found

DAY = timedelta(days=1)


class House:
    """A case, its pen mate, a neighbour in the room, one far away, one adopted last week."""

    def __init__(self, lead: Person) -> None:
        self.clover, self.yarrow = a_pen(name="Clover"), a_pen(name="Yarrow")
        self.barn = a_pen(name="Barn 1", room="Barn")
        self.isolation = a_pen("isolation", room="Wash house")
        self.case = an_animal(lead, "Juniper", pen=self.clover)
        self.mate = an_animal(lead, "Cob", pen=self.clover)
        self.near = an_animal(lead, "Teasel", pen=self.yarrow)
        self.far = an_animal(lead, "Wisp", pen=self.barn)
        self.adopted = an_animal(lead, "Sorrel", pen=self.clover)
        leaving = Leaving(on=(NOW - 7 * DAY).date(), how="adopted", went_to="the Pells")
        depart(lead, self.adopted, leaving, NOW - 7 * DAY)

    def breaks_out(self, lead: Person, kind: str = "ringworm") -> Outbreak:
        said = CaseSaid(signs_at=NOW - DAY, sure="suspected", why="bald, scaly nose")
        return open_outbreak(
            lead, kind, "Ringworm in Clover", "bald or scaly", self.case, said, NOW - DAY
        )


@pytest.fixture
def house(lead: Person) -> House:
    return House(lead)


def strengths(stands: OutbreakStands) -> dict[str, Strength]:
    names = {str(pk): name for pk, name in Animal.objects.values_list("pk", "name")}
    return {names[one.animal]: one.strength for one in stands.traced.exposures}


def test_who_was_exposed_is_read_from_the_moves(lead: Person, house: House) -> None:
    told = outbreak_now(house.breaks_out(lead), NOW)
    assert strengths(told.stands) == {
        "Cob": Strength.CLOSE_DIRECT,
        "Sorrel": Strength.CLOSE_DIRECT,
        "Teasel": Strength.WEAK_DIRECT,
    }


def test_who_took_one_meanwhile_is_to_be_told(lead: Person, house: House) -> None:
    told = outbreak_now(house.breaks_out(lead), NOW)
    (task,) = [one for one in told.stands.tasks if one.code == "tell"]
    assert task.animals[0][0] == str(house.adopted.pk)
    assert "the Pells" in task.animals[0][1]


def test_one_handled_after_the_case_by_the_same_person_is_weakly_exposed(
    lead: Person, carer: Person, house: House
) -> None:
    a_check(carer, house.case, {"kind": "finish"}, at=NOW - DAY / 2)
    a_check(carer, house.far, {"kind": "finish"}, at=NOW - DAY / 2 + timedelta(minutes=7))
    told = outbreak_now(house.breaks_out(lead), NOW)
    assert strengths(told.stands)["Wisp"] is Strength.WEAK_DIRECT


def test_todays_list_shows_the_exposed_and_a_look_answers_it(
    lead: Person, carer: Person, house: House
) -> None:
    house.breaks_out(lead)
    assert {one.animal for one in looks_due(NOW)} == {house.mate.pk, house.near.pk}
    (due,) = [one for one in due_today(NOW) if one.animal == house.mate]
    assert any("exposed to ringworm" in words for words in due.reasons)
    a_full_check(carer, house.mate, at=NOW)
    assert {one.animal for one in looks_due(NOW + DAY / 24)} == {house.near.pk}


SKIN = {"kind": "hold_normal", "hold": "standing"}


def asks(animal: Animal, at: datetime) -> list[str]:
    return [one.words for one in looks_due(at) if one.animal == animal.pk]


def test_a_quick_feel_or_a_look_elsewhere_is_no_look_for_ringworm(
    lead: Person, carer: Person, house: House
) -> None:
    house.breaks_out(lead)
    a_check(carer, house.mate, {**SKIN, "steps": ["coat", "skin"]}, FINISH, kind="quick", at=NOW)
    assert asks(house.mate, NOW + DAY / 24), "nose, ears and feet were not looked at"
    skipped = {"kind": "step_skipped", "step": "nose", "why": "struggled"}
    rest = {**SKIN, "steps": ["coat", "skin", "ears", "feet"]}
    a_check(carer, house.mate, rest, skipped, FINISH, at=NOW)
    assert asks(house.mate, NOW + DAY / 24), "the nose was skipped"
    a_check(carer, house.mate, {**SKIN, "steps": [*rest["steps"], "nose"]}, FINISH, at=NOW)
    assert not asks(house.mate, NOW + DAY / 24)


def test_an_unfinished_check_is_no_look(lead: Person, carer: Person, house: House) -> None:
    house.breaks_out(lead)
    every = [step.code for step in book().steps]
    a_check(carer, house.mate, {**SKIN, "steps": every}, at=NOW)
    assert asks(house.mate, NOW + DAY / 24)


def test_a_hairless_one_is_looked_at_without_a_coat(
    lead: Person, carer: Person, house: House
) -> None:
    house.breaks_out(lead)
    bare = an_animal(lead, "Bare", pen=house.clover, coat=["hairless"])
    steps = ["skin", "nose", "ears", "feet"]
    a_check(carer, bare, {**SKIN, "steps": steps}, FINISH, at=NOW)
    assert not asks(bare, NOW + DAY / 24)


def test_a_look_that_found_something_asks_whether_it_is_a_case_and_frees_nobody(
    lead: Person, carer: Person, house: House
) -> None:
    outbreak = house.breaks_out(lead)
    move(lead, house.case, house.isolation, NOW)
    last = NOW + 28 * DAY
    others = [step.code for step in book().steps if step.code != "ears"]
    bald = found("bald_patch", "ear", "ears")
    a_check(carer, house.mate, {**SKIN, "steps": others}, bald, FINISH, at=last)
    later = last + DAY
    assert str(house.mate.pk) in watched(later)
    assert any("say whether it is a case" in words for words in asks(house.mate, later))
    stands = outbreak_now(outbreak, later).stands
    tasks = {one.code: [name for name, _ in one.animals] for one in stands.tasks}
    assert tasks["say"] == [str(house.mate.pk)]
    assert str(house.mate.pk) in tasks["no_adoption"]
    met = {one.code: one.what for one in stands.conditions}
    assert "1 animal with a sign" in met["looked_at"]
    never = CaseSaid(signs_at=last, sure="ruled_out", why="an old bite, says the vet")
    say_case(lead, outbreak, house.mate, never, later)
    assert str(house.mate.pk) not in watched(later)
    assert not asks(house.mate, later)


def test_a_harmless_find_is_no_sign(lead: Person, carer: Person, house: House) -> None:
    house.breaks_out(lead)
    others = [step.code for step in book().steps if step.code != "ears"]
    dark = found("dark_skin", "ear", "ears")
    a_check(carer, house.mate, {**SKIN, "steps": others}, dark, FINISH, at=NOW)
    assert not asks(house.mate, NOW + DAY / 24)


def test_an_animal_moved_to_isolation_is_last_met_then(lead: Person, house: House) -> None:
    house.breaks_out(lead)
    assert last_contacts(NOW)[str(house.mate.pk)][0] == NOW, "it lasts"
    move(lead, house.case, house.isolation, NOW)
    later = last_contacts(NOW + 3 * DAY)
    assert later[str(house.mate.pk)] == (NOW, "ringworm")


def test_a_cleaned_pen_no_longer_counts(lead: Person, house: House) -> None:
    outbreak = house.breaks_out(lead)
    move(lead, house.case, house.isolation, NOW)
    move(lead, house.mate, house.isolation, NOW)
    move(lead, house.far, house.clover, NOW + 2 * DAY)
    dirty = strengths(outbreak_now(outbreak, NOW + 3 * DAY).stands)
    assert dirty["Wisp"] is Strength.WEAK_DIRECT
    clean_pen(lead, house.clover, "sprayed wet for ten minutes", NOW + 3 * DAY, at=NOW + DAY)
    clean = strengths(outbreak_now(outbreak, NOW + 3 * DAY).stands)
    assert clean["Wisp"] is not Strength.WEAK_DIRECT


def test_what_changed_since_yesterday_is_read_from_when_it_was_written(
    lead: Person, house: House
) -> None:
    outbreak = house.breaks_out(lead)
    said = CaseSaid(signs_at=NOW, sure="suspected", why="scaly ear")
    say_case(lead, outbreak, house.mate, said, NOW)
    found = outbreak_now(outbreak, NOW + DAY / 2).changed
    assert [(one.kind, one.animal) for one in found] == [(ChangeKind.NEW_CASE, str(house.mate.pk))]


def test_from_whom_it_may_have_come(lead: Person, house: House) -> None:
    told = origins(outbreak_now(house.breaks_out(lead), NOW))
    met = {one.case for one in told[str(house.case.pk)] if one.way == "pen"}
    assert met == {str(house.mate.pk), str(house.adopted.pk)}


def test_it_closes_once_and_only_for_a_reason_while_a_condition_is_open(
    lead: Person, house: House
) -> None:
    outbreak = house.breaks_out(lead)
    unmet = [one.code for one in outbreak_now(outbreak, NOW).stands.conditions if not one.met]
    assert "cases_over" in unmet
    with pytest.raises(ImpossibleError, match="Not every condition"):
        close_outbreak(lead, outbreak, NOW, unmet=unmet)
    closed = close_outbreak(lead, outbreak, NOW, unmet=unmet, why="the vet says it was none")
    assert close_outbreak(lead, outbreak, NOW + DAY) == closed
    assert looks_due(NOW) == []


def test_closing_early_frees_no_case(lead: Person, house: House) -> None:
    """A case is over when somebody says so of it, never because its outbreak was put away."""
    outbreak = house.breaks_out(lead)
    close_outbreak(lead, outbreak, NOW, unmet=["cases_over"], why="want it gone")
    later = NOW + DAY
    case, far = house.case, house.far
    assert order_of_care(later).stage(case) == "isolation"
    assert house_now(later).by_id[str(case.pk)].infections == {"ringworm"}
    assert "Catching" in {one.what for one in speaks_against_leaving(case, later)}
    assert str(house.mate.pk) in watched(later), "it lives with a case"
    pen = house_now(later).pen_by_id[str(house.clover.pk)]
    against = speaks_against(house_now(later), house_now(later).by_id[str(far.pk)], pen)
    assert "infection" in {why.rule for why in against}


def test_a_case_of_a_closed_outbreak_is_still_said_to_be_over(lead: Person, house: House) -> None:
    outbreak = house.breaks_out(lead)
    close_outbreak(lead, outbreak, NOW, unmet=["cases_over"], why="want it gone")
    later = NOW + 2 * DAY
    with pytest.raises(ImpossibleError, match="was closed"):
        say_case(lead, outbreak, house.far, CaseSaid(signs_at=NOW, sure="suspected", why="x"), NOW)
    over = CaseSaid(signs_at=NOW - DAY, sure="confirmed", why="two cultures", over_at=NOW + DAY)
    say_case(lead, outbreak, house.case, over, later)
    assert order_of_care(later).stage(house.case) == "residents"
    assert house_now(later).by_id[str(house.case.pk)].infections == frozenset()
    assert speaks_against_leaving(house.case, later) == ()
    assert watched(later) == {}


def test_one_that_was_ruled_out_is_free_while_the_outbreak_is_open(
    lead: Person, house: House
) -> None:
    outbreak = house.breaks_out(lead)
    never = CaseSaid(signs_at=NOW - DAY, sure="ruled_out", why="the culture stayed clear")
    say_case(lead, outbreak, house.case, never, NOW)
    assert house_now(NOW).by_id[str(house.case.pk)].infections == frozenset()


def test_what_people_say_was_done_meets_its_condition(lead: Person, house: House) -> None:
    outbreak = house.breaks_out(lead)
    say_done(lead, outbreak, "cleaned", "all pens of the Long room, by Tam", NOW)
    met = {one.code: one.met for one in outbreak_now(outbreak, NOW).stands.conditions}
    assert met["cleaned"]
    assert not met["told"]


def test_the_number_of_queries_does_not_grow_with_the_animals(
    lead: Person, house: House, django_assert_max_num_queries: "object"
) -> None:
    outbreak = house.breaks_out(lead)
    for number in range(30):
        an_animal(lead, f"More {number}", pen=house.yarrow)
    with django_assert_max_num_queries(40):  # type: ignore[operator]
        outbreak_now(outbreak, NOW)


def test_a_check_that_a_phone_sends_late_still_answers_todays_list(
    lead: Person, carer: Person, house: House
) -> None:
    house.breaks_out(lead)
    a_check(carer, house.far, {"kind": "finish"}, at=NOW)
    assert house.mate.pk in {one.animal for one in looks_due(NOW)}
    a_full_check(carer, house.mate, at=NOW - DAY / 24)
    assert house.mate.pk not in {one.animal for one in looks_due(NOW)}
