"""All reasons are told at once, and set aside only by who may."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from cavyround.engines.dosing import (
    AlsoKnown,
    Dose,
    KnownWeight,
    Refusal,
    Running,
    SetAside,
)
from cavyround.facts.orders import Limits
from cavyround.knowledge.book import Knowledge
from tests.builders import NOW, TODAY, a_boar, months_old
from tests.engines.dosing_made import (
    FIRST,
    GOOD_LOT,
    VET,
    a_product,
    an_order,
    aside,
    by_mouth,
    every,
    every_hours,
    keys,
    refused,
    weighing,
    worked,
)


def test_all_reasons_are_told_at_once(book: Knowledge) -> None:
    order = an_order(
        "40 mg/kg",
        "amoxicillin",
        route="by_mouth",
        vet="",
        strength="50 mg/mL",
        limits=Limits(not_under_g=Decimal(1000)),
        schedule=every_hours(12),
    )
    result = refused(
        book,
        order,
        product=a_product("25 mg/mL", "amoxicillin"),
        weight=weighing(800, days_ago=9),
        lot=replace(GOOD_LOT, expires_on=date(2020, 1, 1)),
        hand=["insulin_u100_1"],
        also=AlsoKnown(running=(Running(order="x", drug="ampicillin"),), allergies=("penicillin",)),
    )
    assert keys(result) == {
        "allergy:penicilin",
        "dangerous:penicillins",
        "expired",
        "no_syringe",
        "order_incomplete:vet",
        "same_class_running:x",
        "strength_unlike:order",
        "too_light:order",
        "weight_too_old",
    }


def test_the_dose_is_held_against_what_is_published_even_without_weight_or_bottle(
    book: Knowledge,
) -> None:
    order = an_order("4 mg/kg")
    result = refused(book, order, weight=KnownWeight(), product=a_product("1 %"))
    assert {"no_weight", "tenfold", "above_stop:1 mg/kg", "unknown_unit:label"} <= keys(result)


def test_every_reason_has_words_and_says_what_to_do(book: Knowledge) -> None:
    result = refused(book, an_order("4 mg/kg", vet="", why=""), weight=weighing(9000))
    for reason in result.reasons:
        assert reason.words.endswith((".", "?", ")."))
        assert reason.do.endswith(".")


@pytest.mark.parametrize(
    ("said", "stays"),
    [
        (aside("wrong_route"), False),
        (aside("wrong_route", why=" "), True),
        (aside("wrong_route", by=" "), True),
        (aside("wrong_route", "carer"), True),
        (aside("pregnant"), True),
        (aside("wrong_route", animal="another"), True),
        (aside("wrong_route", animal="boar"), False),
        (
            AlsoKnown(
                set_aside=(SetAside(key="wrong_route", order="x", by=VET, role="vet", why="y"),)
            ),
            True,
        ),
    ],
)
def test_a_reason_is_set_aside_only_by_who_may_with_name_and_reason(
    said: AlsoKnown, stays: bool, book: Knowledge
) -> None:
    order = an_order("2.5 mg/kg", "carprofen", route="by_mouth", schedule=every(1))
    result = worked(book, order, product=a_product("50 mg/mL", "carprofen"), also=said)
    assert isinstance(result, Refusal if stays else Dose)


def test_setting_one_reason_aside_leaves_the_others(book: Knowledge) -> None:
    order = an_order("2.5 mg/kg", "carprofen", route="by_mouth", schedule=every(1), vet="")
    also = aside("wrong_route")
    result = refused(book, order, product=a_product("50 mg/mL", "carprofen"), also=also)
    assert keys(result) == {"order_incomplete:vet"}
    assert [reason.key for reason, _ in result.set_aside] == ["wrong_route"]


def test_a_course_that_began_on_its_first_day_is_not_over(book: Knowledge) -> None:
    assert isinstance(worked(book, an_order(schedule=every(10)), now=NOW), Dose)
    assert FIRST == TODAY


def set_aside_all(result: Refusal) -> AlsoKnown:
    """The vet sets aside all that stands, as the page keeps it."""
    said = (
        SetAside(key=one.key, order="order", by=VET, role="vet", why="y") for one in result.reasons
    )
    return AlsoKnown(set_aside=tuple(said))


def test_an_old_weighing_that_was_set_aside_stands_again_the_day_after(book: Knowledge) -> None:
    old = weighing(800, days_ago=8)
    vet = set_aside_all(refused(book, an_order(), weight=old))
    assert isinstance(worked(book, an_order(), weight=old, also=vet), Dose)
    older = weighing(800, days_ago=8)
    tomorrow = NOW + timedelta(days=1)
    again = refused(book, an_order(), weight=older, also=vet, now=tomorrow)
    assert keys(again) == {"weight_too_old"}


def test_a_word_about_one_weighing_is_none_about_the_next(book: Knowledge) -> None:
    vet = set_aside_all(refused(book, an_order(), weight=weighing(800, days_ago=9)))
    other = weighing(790, days_ago=8)
    assert keys(refused(book, an_order(), weight=other, also=vet)) == {"weight_too_old"}


@pytest.mark.parametrize(
    ("grams", "stands"), [(290, False), (295, False), (289, True), (180, True)]
)
def test_near_enough_at_one_weight_is_not_near_enough_at_a_lower(
    grams: int, stands: bool, book: Knowledge
) -> None:
    order = by_mouth("0.2 mg/kg", "meloxicam", limits=Limits(not_under_g=Decimal(300)))
    product = a_product("0.5 mg/mL", "meloxicam")
    young = a_boar(born=months_old(2))
    vet = set_aside_all(refused(book, order, 290, product=product, animal=young))
    result = worked(book, order, grams, product=product, animal=young, also=vet)
    left = keys(result) if isinstance(result, Refusal) else set()
    assert ("too_light:order" in left) is stands


def test_a_dose_a_vet_confirmed_is_not_confirmed_once_it_is_higher_for_the_animal(
    book: Knowledge,
) -> None:
    """The order is for the whole animal: it gets lighter, and the dose per kg higher."""
    order = by_mouth("0.8 mg per animal", "meloxicam")
    product = a_product("1.5 mg/mL", "meloxicam")
    vet = set_aside_all(refused(book, order, 1000, product=product))
    assert isinstance(worked(book, order, 1000, product=product, also=vet), Dose)
    assert "above_stop:0.6 mg/kg" in keys(refused(book, order, 700, product=product, also=vet))
