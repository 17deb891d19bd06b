"""No order, a broken order, a stale or doubtful weight: nothing is worked out."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from cavyround.engines.dosing import (
    Dose,
    KnownWeight,
    Refusal,
    known_weight,
)
from cavyround.facts.animal import AnimalFacts, Born, Weighing
from cavyround.facts.orders import Order
from cavyround.facts.reading_amounts import read_strength
from cavyround.facts.schedules import Ending, Schedule, days
from cavyround.knowledge.book import Knowledge
from tests.builders import NOW, TODAY, a_boar, months_old
from tests.engines.dosing_made import (
    a_dose,
    a_product,
    an_order,
    by_mouth,
    every,
    every_hours,
    keys,
    refused,
    weighing,
    worked,
)


def test_nothing_is_worked_out_without_an_order(book: Knowledge) -> None:
    result = refused(book, None)
    assert [(one.code, one.may) for one in result.reasons] == [("no_order", "nobody")]


@pytest.mark.parametrize(
    ("missing", "key"),
    [
        ({"vet": " "}, "order_incomplete:vet"),
        ({"ordered_at": None}, "order_incomplete:when"),
        ({"why": ""}, "order_incomplete:why"),
        ({"drug": ""}, "order_incomplete:drug"),
        ({"route": ""}, "order_incomplete:route"),
        ({"schedule": None}, "order_incomplete:schedule"),
        ({"animals": frozenset({"another"})}, "not_for_this_animal"),
        ({"ordered_at": NOW + timedelta(minutes=1)}, "order_in_future"),
        ({"stopped_at": NOW}, "order_over"),
        ({"strength": read_strength("1 %")}, "unknown_unit:order_strength"),
        ({"route": "by wing"}, "unknown_route"),
    ],
)
def test_an_order_that_lacks_something_is_refused_for_it(
    missing: dict[str, Any], key: str, book: Knowledge
) -> None:
    result = refused(book, an_order(**missing))
    assert key in keys(result)
    assert {one.may for one in result.reasons if one.what == key} == {"nobody"}


def test_a_standing_order_holds_for_an_animal_it_does_not_name(book: Knowledge) -> None:
    standing = an_order(animals=frozenset(), standing=True)
    assert isinstance(worked(book, standing), Dose)


def test_an_order_whose_last_day_is_over_is_refused_and_on_that_day_not(book: Knowledge) -> None:
    def until(day: date) -> Order:
        started = TODAY - timedelta(days=20)
        often = Schedule(every=days(10), ends=Ending(last_day=day), first_on=started)
        return an_order(schedule=often)

    assert keys(refused(book, until(TODAY - timedelta(days=1)))) == {"order_over"}
    assert isinstance(worked(book, until(TODAY)), Dose)


@pytest.mark.parametrize(
    "dose", ["20 mg", "0,4 mg/kg", "4 U/kg", "0.4 Mg/kg", "0.4 mg/lb", "0.4 cubits/kg", ""]
)
def test_a_dose_that_cannot_be_read_is_refused_in_words(dose: str, book: Knowledge) -> None:
    result = refused(book, an_order(dose))
    [unread] = [one for one in result.reasons if one.what == "unknown_unit:order_dose"]
    assert unread.may == "nobody"
    assert repr(dose) in unread.words


def test_an_animal_that_was_never_weighed_is_weighed_first(book: Knowledge) -> None:
    assert keys(refused(book, an_order(), weight=KnownWeight())) == {"no_weight"}


@pytest.mark.parametrize(
    ("days_ago", "drug", "dose", "allowed"),
    [
        (7, "ivermectin", "0.4 mg/kg", True),
        (8, "ivermectin", "0.4 mg/kg", False),
        (2, "buprenorphine", "0.05 mg/kg", True),
        (3, "buprenorphine", "0.05 mg/kg", False),
    ],
)
def test_a_weighing_may_be_only_so_old_as_the_drug_allows(
    days_ago: int, drug: str, dose: str, allowed: bool, book: Knowledge
) -> None:
    often = every(10) if drug == "ivermectin" else every_hours(12)
    product = a_product("0.3 mg/mL" if drug == "buprenorphine" else "10 mg/mL", drug)
    result = worked(
        book,
        an_order(dose, drug, schedule=often),
        product=product,
        weight=weighing(800, days_ago=days_ago),
    )
    if allowed:
        assert isinstance(result, Dose)
    else:
        assert isinstance(result, Refusal)
        assert keys(result) == {"weight_too_old"}


def test_vitamins_ask_no_weighing_of_this_week(book: Knowledge) -> None:
    order = by_mouth("20 mg/kg", "vitamin C")
    product = a_product("100 mg/mL", "vitamin C")
    dose = a_dose(book, order, product=product, weight=weighing(800, days_ago=30))
    assert dose.weight is not None
    assert "30 days ago" in dose.weight.words


@pytest.mark.parametrize(
    "animal",
    [a_boar(born=months_old(3)), a_boar(born=Born(), arrived_on=TODAY)],
)
def test_a_young_animal_is_weighed_more_often(animal: AnimalFacts, book: Knowledge) -> None:
    weak = a_product("1 mg/mL")
    old, fresh = weighing(450, days_ago=3), weighing(450, days_ago=2)
    result = refused(book, an_order(), animal=animal, weight=old, product=weak)
    assert keys(result) == {"weight_too_old"}
    assert isinstance(worked(book, an_order(), animal=animal, weight=fresh, product=weak), Dose)


def test_a_grown_animal_that_changes_fast_is_weighed_today(book: Knowledge) -> None:
    losing = weighing(800, days_ago=2, change_pct_week=Decimal(-6))
    assert keys(refused(book, an_order(), weight=losing)) == {"weight_changing"}
    today = weighing(800, days_ago=1, change_pct_week=Decimal(-6))
    dose = a_dose(book, an_order(), weight=today)
    assert dose.weight is not None
    assert dose.weight.words == "800 g, weighed 1 day ago, losing 6 % a week"


@pytest.mark.parametrize(
    "weight",
    [
        weighing(9000),
        weighing(8),
        weighing(800, doubt="35 % less than last week"),
        weighing(200),
    ],
)
def test_a_doubtful_weight_is_never_dosed_by(weight: KnownWeight, book: Knowledge) -> None:
    result = refused(book, an_order(), weight=weight)
    [doubt] = [one for one in result.reasons if one.code == "weight_doubtful"]
    assert (doubt.may, doubt.do) == ("nobody", "Weigh it again now.")


@pytest.mark.parametrize(
    "said",
    [
        {"grams": Decimal("NaN"), "at": NOW},
        {"grams": Decimal(0), "at": NOW},
        {"grams": Decimal(800)},
        {"at": NOW},
        {"grams": Decimal(800), "at": NOW, "change_pct_week": Decimal("Infinity")},
        {"grams": Decimal(800), "at": NOW, "at_last_dose_g": Decimal(-1)},
    ],
)
def test_what_is_no_weight_cannot_be_made(said: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="weight"):
        KnownWeight(**said)


def test_a_week_is_a_week_of_days_whatever_the_hour(book: Knowledge) -> None:
    just_over = weighing(800, days_ago=7.3)
    assert (NOW - timedelta(days=7.3)).date() == TODAY - timedelta(days=7)
    assert isinstance(worked(book, an_order(), weight=just_over), Dose)


def test_a_weighing_in_the_future_is_no_weighing(book: Knowledge) -> None:
    assert "weight_in_future" in keys(refused(book, an_order(), weight=weighing(800, days_ago=-1)))


def weighed(*pairs: tuple[int, int], doubted: int | None = None) -> tuple[Weighing, ...]:
    return tuple(
        Weighing(at=NOW - timedelta(days=ago), grams=Decimal(grams), doubted=index == doubted)
        for index, (ago, grams) in enumerate(pairs)
    )


@pytest.mark.parametrize(
    ("weighings", "grown", "doubt"),
    [
        (weighed((7, 800), (0, 1010)), True, "26 % more than 800 g 7 days before"),
        (weighed((7, 800), (0, 590)), True, "26 % less than 800 g 7 days before"),
        (weighed((7, 800), (0, 1000)), True, ""),
        (weighed((7, 200), (0, 270)), False, ""),
        (weighed((7, 200), (0, 290)), False, "45 % more than 200 g 7 days before"),
        (weighed((20, 800), (0, 1010)), True, ""),
        (weighed((7, 800), (0, 810), doubted=1), True, "the last weighing is doubted"),
        (weighed((7, 1600), (0, 810), doubted=0), True, ""),
        ((), True, ""),
    ],
)
def test_a_last_weight_far_from_the_one_before_is_doubted(
    weighings: tuple[Weighing, ...], grown: bool, doubt: str, book: Knowledge
) -> None:
    assert known_weight(weighings, grown=grown, book=book).doubt == doubt


@pytest.mark.parametrize(
    ("weighings", "change"),
    [
        (weighed((7, 800), (0, 840)), "5"),
        (weighed((14, 800), (0, 840)), "2.5"),
        (weighed((14, 800), (1, 820), (0, 840)), "2.5"),  # a day is too short for a trend
        (weighed((1, 800), (0, 840)), "5"),  # the change itself, not blown up to a week
        (weighed((30, 800), (0, 840)), None),
        (weighed((0, 840)), None),
    ],
)
def test_the_trend_is_a_change_in_a_week(
    weighings: tuple[Weighing, ...], change: str | None, book: Knowledge
) -> None:
    known = known_weight(weighings, grown=True, book=book)
    assert known.change_pct_week == (None if change is None else Decimal(change))
