"""Orders and courses in the record: whole or refused, never changed, begun once."""

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from cavyround.facts.orders import Limits
from cavyround.facts.schedules import Ending, Schedule, days
from cavyround.knowledge.book import Knowledge
from cavyround.record.courses import (
    CourseRefusedError,
    begin_course,
    courses_of,
    decline_standing,
    stop_course,
)
from cavyround.record.models import Animal, Course, Order, Person
from cavyround.record.orders import (
    OrderRefusedError,
    OrderSaid,
    limits_of,
    order_of,
    place_order,
    replace_order,
    schedule_of,
    stop_order,
)
from cavyround.record.shelf import Moved, ShelfRefusedError, left_in, move_stock, state_product
from tests.builders import NOW, TODAY
from tests.builders_medicines import (
    a_course,
    a_lot,
    a_product,
    an_order,
    care_order,
    every_days,
)


@pytest.mark.parametrize(
    ("missing", "about"),
    [
        ({"vet": " "}, "vet"),
        ({"drug": ""}, "drug"),
        ({"why": ""}, "why"),
        ({"dose": ""}, "dose"),
        ({"route": ""}, "route"),
        ({"care": "foot_bath"}, "care"),
        ({"ordered_at": NOW + timedelta(days=1)}, "ordered_on"),
    ],
)
def test_what_is_no_order_is_not_kept(carer: Person, missing: dict[str, Any], about: str) -> None:
    with pytest.raises(OrderRefusedError) as refused:
        an_order(carer, **missing)
    assert refused.value.about == about
    assert not Order.objects.exists()


def test_an_order_is_read_back_as_it_was_said(carer: Person) -> None:
    schedule = Schedule(
        every=days(10), ends=Ending(doses=4), first_on=TODAY, late=days(1), missed_after=days(3)
    )
    limits = Limits(not_under_g=Decimal(300), not_pregnant=True)
    kept = an_order(carer, schedule=schedule, limits=limits)
    kept.refresh_from_db()
    assert schedule_of(kept) == schedule
    assert limits_of(kept) == limits
    assert order_of(kept).dose == order_of(an_order(carer)).dose


def test_an_order_sent_twice_is_kept_once(carer: Person) -> None:
    said = OrderSaid(
        care="foot_bath", vet="", ordered_at=NOW, why="sore feet", schedule=every_days(1, doses=3)
    )
    assert place_order(carer, said, NOW) == place_order(carer, said, NOW)
    assert Order.objects.count() == 1


def test_a_replaced_order_is_stopped_with_its_courses_and_says_why(
    carer: Person, sow: Animal, book: Knowledge
) -> None:
    course = a_course(carer, sow)
    said = OrderSaid(
        drug="ivermectin",
        vet="Dr Isla Fern",
        ordered_at=NOW,
        why="mites",
        dose="0.3 mg/kg",
        route="under_skin",
        strength="10 mg/mL",
        schedule=every_days(10, doses=2),
    )
    with pytest.raises(OrderRefusedError, match="why the order is changed"):
        replace_order(carer, course.order, said, " ", NOW)
    new = replace_order(carer, course.order, said, "lighter than thought", NOW)
    assert new.replaces == course.order
    (fact,) = courses_of([course], book).values()
    assert fact.stopped_at == NOW
    assert fact.stopped_why == "replaced: lighter than thought"


def test_a_course_begins_once_and_not_by_a_stopped_order(carer: Person, sow: Animal) -> None:
    order = an_order(carer)
    assert begin_course(carer, order, sow, NOW) == begin_course(carer, order, sow, NOW)
    assert Course.objects.count() == 1
    other = an_order(carer)
    stop_order(carer, other, "the vet called", NOW)
    with pytest.raises(CourseRefusedError, match="new one"):
        begin_course(carer, other, sow, NOW)


def test_a_course_does_not_begin_after_the_orders_last_day(carer: Person, sow: Animal) -> None:
    schedule = Schedule(every=days(1), ends=Ending(last_day=TODAY), first_on=TODAY)
    order = an_order(carer, schedule=schedule)
    with pytest.raises(CourseRefusedError, match="over before"):
        begin_course(carer, order, sow, NOW, first_on=TODAY + timedelta(days=1))


def test_stopping_and_declining_need_their_reason(carer: Person, sow: Animal) -> None:
    course = a_course(carer, sow)
    with pytest.raises(CourseRefusedError, match="why"):
        stop_course(carer, course, "", NOW)
    with pytest.raises(CourseRefusedError, match="why"):
        decline_standing(carer, course.order, sow, " ", NOW)


def test_care_runs_as_a_course_that_is_no_medicine(
    carer: Person, sow: Animal, book: Knowledge
) -> None:
    (fact,) = courses_of([a_course(carer, sow, care_order(carer))], book).values()
    assert not fact.is_medicine
    assert fact.what == "vitamin C by mouth"


def test_counting_sets_what_is_left_and_what_came_adds_to_it(lead: Person) -> None:
    lot = a_lot(lead, a_product(lead), came="10")

    def moved(kind: str, amount: str, hours: int) -> None:
        at = NOW + timedelta(hours=hours)
        move_stock(lead, lot, Moved(kind=kind, amount=Decimal(amount), at=at, why="x"), at)

    moved("thrown_away", "2", 1)
    assert left_in([lot.pk])[lot.pk] == 8
    moved("counted", "7.5", 2)
    moved("came", "1", 3)
    assert left_in([lot.pk])[lot.pk] == Decimal("8.5")


def test_a_product_whose_lots_are_counted_keeps_its_unit(lead: Person) -> None:
    product = a_product(lead)
    a_lot(lead, product)
    with pytest.raises(ShelfRefusedError, match="counted in the old unit"):
        state_product(lead, product, {"unit": "g"}, "it is a paste", NOW)
