"""From the record: sexings, mating risk, litters, the planner's house, what comes on the list."""

from datetime import timedelta

import pytest

from cavyround.advice.breeding import BreedingNow, sex_animal
from cavyround.advice.due import due_today
from cavyround.advice.housing import house_now, introductions_now
from cavyround.advice.living_due import living_due
from cavyround.advice.rounds import round_of
from cavyround.engines.breeding import State
from cavyround.engines.housing import Proposal, as_it_is, propose
from cavyround.facts.housing import Health
from cavyround.record.animals import ImpossibleError, move, state
from cavyround.record.living import (
    Between,
    Born,
    Look,
    begin_introduction,
    end_introduction,
    keep_castration,
    keep_litter,
    keep_pups_felt,
    keep_sexing,
    keep_tie,
)
from cavyround.record.models import Animal, Pen, Person
from cavyround.record.places import Floor, keep_pen
from cavyround.record.ties import ties_among
from tests.builders import NOW, TODAY, a_full_check, a_pen, an_animal

DAY = timedelta(days=1)
LONG = TODAY - 300 * DAY


def resident(person: Person, name: str, sex: str, pen: Pen | None = None, **said: object) -> Animal:
    known = {"sex_sure": "sure", "neutered": "no", "pregnant": "no" if sex == "boar" else "unknown"}
    animal = an_animal(person, name=name, sex=sex, on=LONG, **{**known, **said})
    if pen is not None:
        move(person, animal, pen, NOW - 20 * DAY, why="lives there")
    return animal


def reasons(animal: Animal, now: object = NOW) -> list[str]:
    return [r for due in due_today(now) if due.animal == animal for r in due.reasons]  # type: ignore[arg-type]


def test_a_boar_and_a_sow_in_one_pen_come_on_the_list_at_once(lead: Person) -> None:
    pen = a_pen()
    sow, boar = resident(lead, "Fern", "sow", pen), resident(lead, "Moss", "boar", pen)
    [one] = BreedingNow(NOW).expecting
    assert one.state is State.WITH_BOAR
    assert any("part now from Moss" in words for words in reasons(sow))
    assert not any("part now" in words for words in reasons(boar))
    assert {why.rule for why in as_it_is(house_now(NOW)) if why.hard} == {"sow_before_birth"}


def test_parted_again_she_is_watched_from_the_likeliest_days_on(lead: Person) -> None:
    pen, other = a_pen(), a_pen(name="Other")
    sow, boar = resident(lead, "Fern", "sow", pen), resident(lead, "Moss", "boar", pen)
    move(lead, boar, other, NOW - 15 * DAY, why="a boar")
    [one] = BreedingNow(NOW).expecting
    assert one.possible.last == TODAY + (72 - 15) * DAY
    assert not any("give birth" in words for words in reasons(sow))
    assert any("may give birth" in words for words in reasons(sow, NOW + 50 * DAY))


def test_two_who_disagree_on_the_sex_make_it_unknown_until_two_look_together(
    lead: Person, carer: Person
) -> None:
    animal = resident(lead, "Fern", "sow")
    sex_animal(lead, animal, Look(sex="sow", sure="sure"), NOW - 2 * DAY)
    sex_animal(carer, animal, Look(sex="boar", sure="sure"), NOW - DAY)
    assert (animal.sex, animal.sex_sure) == ("unknown", "unknown")
    sex_animal(lead, animal, Look(sex="boar", sure="two_people"), NOW)
    assert (animal.sex, animal.sex_sure) == ("boar", "two_people")


def test_a_pregnant_one_that_turns_out_a_boar_is_pregnant_no_more(lead: Person) -> None:
    animal = resident(lead, "Fern", "sow", pregnant="possible")
    sex_animal(lead, animal, Look(sex="boar", sure="two_people"), NOW)
    assert (animal.sex, animal.pregnant) == ("boar", "no")


def test_the_day_of_a_castration_states_it_and_is_waited_out(lead: Person) -> None:
    pen = a_pen()
    resident(lead, "Fern", "sow", pen)
    boar = resident(lead, "Moss", "boar", pen)
    keep_castration(lead, boar, TODAY - 41 * DAY, NOW, by_whom="the practice")
    assert boar.neutered == "yes"
    [one] = BreedingNow(NOW).expecting
    assert one.state is State.WITH_BOAR
    assert BreedingNow(NOW + DAY).expecting[0].with_now == ()


def test_a_boar_pup_of_a_litter_comes_on_the_list_the_day_before_day_twenty_one(
    lead: Person,
) -> None:
    pen = a_pen("nursery")
    dam = resident(lead, "Fern", "sow", pen)
    born = TODAY - 20 * DAY
    pups = [
        an_animal(
            lead,
            name=name,
            sex=sex,
            sex_sure="sure",
            neutered="no",
            on=born,
            how="born_here",
            at=NOW - 20 * DAY,
            born_earliest=born,
            born_latest=born,
        )
        for name, sex in (("Acorn", "boar"), ("Hazel", "sow"))
    ]
    for pup in pups:
        move(lead, pup, pen, NOW - 20 * DAY, why="born")
    keep_litter(lead, dam, Born(on=born, alive=2), NOW - 20 * DAY, pups=pups)
    [litter] = BreedingNow(NOW).litters
    assert [pup.part_by for pup in litter.pups] == [TODAY + DAY, None]
    assert any("out of the litter" in words for words in reasons(pups[0]))
    assert not any("litter" in words for words in reasons(pups[1]))


def test_what_cannot_be_is_refused_beside_its_field(lead: Person) -> None:
    sow, boar = resident(lead, "Fern", "sow"), resident(lead, "Moss", "boar")
    with pytest.raises(ImpossibleError, match="future") as refused:
        keep_pups_felt(lead, sow, TODAY + DAY, NOW)
    assert refused.value.field == "on"
    with pytest.raises(ImpossibleError, match="boar"):
        keep_litter(lead, boar, Born(on=TODAY), NOW)
    with pytest.raises(ImpossibleError, match="one animal"):
        keep_tie(lead, sow, sow, Between(kind="bonded", on=TODAY), NOW)
    with pytest.raises(ImpossibleError, match="takes two"):
        begin_introduction(lead, [sow], NOW)


def test_the_last_word_on_a_pair_counts(lead: Person) -> None:
    one, other = resident(lead, "Fern", "sow"), resident(lead, "Sage", "sow")
    keep_tie(lead, one, other, Between(kind="bonded", on=TODAY - 9 * DAY), NOW)
    keep_tie(lead, other, one, Between(kind="blood", on=TODAY - 5 * DAY), NOW)
    ties = ties_among([one.pk, other.pk])
    assert (len(ties.bonds), len(ties.quarrels)) == (1, 1)
    keep_tie(lead, other, one, Between(kind="bond_over", on=TODAY - 4 * DAY), NOW)
    keep_tie(lead, one, other, Between(kind="never_over", on=TODAY - 3 * DAY), NOW)
    ties = ties_among([one.pk, other.pk])
    assert (ties.bonds, ties.quarrels) == ((), ())


def test_the_house_is_what_the_planner_plans(lead: Person) -> None:
    pen = a_pen()
    keep_pen(pen.room, pen.name, pen.kind, pen=pen, floor=Floor(area_cm2=9000, levels=1))
    shed = keep_pen(pen.room, "Shed", "quarantine", floor=Floor(area_cm2=9000))
    for name in ("Fern", "Sage"):
        resident(lead, name, "sow", pen)
    new = an_animal(lead, name="Newcomer", sex="sow", on=TODAY)
    house = house_now(NOW)
    assert {one.name: one.health for one in house.animals}["Newcomer"] is Health.QUARANTINE
    answer = propose(house)
    assert isinstance(answer, Proposal)
    [moved] = answer.moves
    assert (moved.animal, moved.pen) == (str(new.pk), str(shed.pk))
    assert Animal.objects.get(pk=new.pk).pen is None


def test_a_meeting_that_the_rules_forbid_is_to_be_ended_and_not_weighed_through(
    lead: Person,
) -> None:
    she = an_animal(lead, "Tansy", pen=a_pen(name="Clover"))
    he = an_animal(lead, "Barnaby", sex="boar", neutered="no", pen=a_pen(name="Plantain"))
    begin_introduction(lead, [she, he], NOW - 2 * DAY)
    words = [one.words for one in living_due(NOW) if one.animal == she.pk]
    assert any(word.startswith("part from Barnaby") for word in words)
    assert not any("of meeting" in word for word in words)


def test_an_introduction_asks_for_weighings_until_somebody_says_how_it_went(
    lead: Person,
) -> None:
    one, other = resident(lead, "Fern", "sow"), resident(lead, "Sage", "sow")
    begun = begin_introduction(lead, [one, other], NOW - 2 * DAY)
    assert any("day 2 of meeting Sage" in words for words in reasons(one))
    [(row, state_now)] = introductions_now(NOW)
    assert row == begun
    assert state_now.next_weighing == TODAY - 2 * DAY
    end_introduction(lead, begun, "bonded", NOW)
    assert not any("meeting" in words for words in reasons(one))


def test_the_round_is_split_over_those_present_and_keeps_its_order(lead: Person) -> None:
    home, shed = a_pen(), a_pen("quarantine", name="Shed")
    residents = [resident(lead, name, "sow", home) for name in ("Fern", "Sage", "Rue")]
    newcomer = an_animal(lead, name="Newcomer", sex="sow", on=TODAY)
    move(lead, newcomer, shed, NOW, why="arrival")
    for animal in residents:
        a_full_check(lead, animal, at=NOW - 10 * DAY)
    first, last = round_of(["Tam", "Wyn"], NOW)
    assert {a for stop in first.stops for a in stop.animals} == {str(one.pk) for one in residents}
    assert [a for stop in last.stops for a in stop.animals] == [str(newcomer.pk)]
    assert last.changes[0][1].group == "quarantine"


def test_a_statement_that_he_was_neutered_here_counts_from_that_day(lead: Person) -> None:
    pen = a_pen()
    resident(lead, "Fern", "sow", pen)
    boar = resident(lead, "Moss", "boar", pen)
    state(lead, boar, {"neutered": "yes"}, "back from the practice", NOW - 10 * DAY)
    assert BreedingNow(NOW).expecting[0].with_now == (str(boar.pk),)


def test_a_sexing_is_kept_whoever_was_right(lead: Person) -> None:
    animal = resident(lead, "Fern", "sow")
    kept = keep_sexing(lead, animal, Look(sex="boar", sure="likely", looked_by="the vet"), NOW)
    assert (kept.sex, kept.looked_by) == ("boar", "the vet")
