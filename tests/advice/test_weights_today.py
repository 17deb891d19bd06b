"""A list of many says what was reckoned today, and at once anew what changed."""

from datetime import datetime, timedelta
from typing import Any

import pytest

from cavyround.advice import weights_today
from cavyround.advice.weights import learn_from_herd, readings_of
from cavyround.advice.weights_today import readings_today
from cavyround.record.animals import state
from cavyround.record.models import Animal, HerdTaught, Person
from tests.builders import NOW, TODAY, a_check, an_animal, weighed

DAY = timedelta(days=1)
HOUR = timedelta(hours=1)


@pytest.fixture(autouse=True)
def reckoned(monkeypatch: pytest.MonkeyPatch) -> list[set[Any]]:
    """Whose weights were reckoned, time by time."""
    times: list[set[Any]] = []

    def reckon(animals: Any, now: datetime) -> Any:
        times.append({animal.pk for animal in animals})
        return readings_of(animals, now)

    monkeypatch.setattr(weights_today, "readings_of", reckon)
    return times


@pytest.fixture
def herd(lead: Person, carer: Person) -> list[Animal]:
    several = [an_animal(lead, name=name, sex="sow") for name in ("Alder", "Birch")]
    for days in (29, 22, 15, 8):
        for animal in several:
            a_check(carer, animal, weighed(900 + days), at=NOW - days * DAY)
    learn_from_herd(NOW)
    return several


def test_the_same_is_said_as_if_reckoned_now(herd: list[Animal]) -> None:
    assert readings_today(herd, NOW) == readings_of(herd, NOW)


def test_within_a_day_nothing_is_reckoned_twice(
    herd: list[Animal], reckoned: list[set[Any]]
) -> None:
    first = readings_today(herd, NOW)
    assert readings_today(herd, NOW + HOUR) == first
    assert len(reckoned) == 1
    readings_today(herd, NOW + DAY)
    assert len(reckoned) == 2


def test_who_was_weighed_since_is_reckoned_anew_and_nobody_else(
    herd: list[Animal], carer: Person, reckoned: list[set[Any]]
) -> None:
    alder, birch = herd
    before = readings_today(herd, NOW)
    a_check(carer, alder, weighed(820), at=NOW)
    after = readings_today(herd, NOW + HOUR)
    assert after[alder.pk].last_g == 820
    assert after[birch.pk] == before[birch.pk]
    assert reckoned[-1] == {alder.pk}


def test_what_is_said_of_the_animal_is_heard_at_once(
    herd: list[Animal], lead: Person, reckoned: list[set[Any]]
) -> None:
    alder, birch = herd
    readings_today(herd, NOW)
    state(lead, alder, {"born_earliest": TODAY, "born_latest": TODAY}, "it is a pup", NOW)
    readings_today([Animal.objects.get(pk=alder.pk), birch], NOW + HOUR)
    assert reckoned[-1] == {alder.pk}


def test_what_the_herd_has_taught_since_is_heard(
    herd: list[Animal], reckoned: list[set[Any]]
) -> None:
    readings_today(herd, NOW)
    HerdTaught.objects.all().delete()
    HerdTaught.objects.create(
        on=TODAY, noise_pct=2.5, wander_pct=0.5, growth_per_day=0.02, weighings=99
    )
    readings_today(herd, NOW + HOUR)
    assert len(reckoned) == 2


def test_an_animal_whose_weights_were_never_kept_is_reckoned_each_time(
    lead: Person, reckoned: list[set[Any]]
) -> None:
    new = an_animal(lead, name="Newcomer")
    for _ in range(2):
        assert readings_today([new], NOW)[new.pk].weighings == 0
    assert len(reckoned) == 2
