"""What the courses use up, and which dose is the first without. Sums worked by hand."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from cavyround.engines.courses import (
    NotCounted,
    OnShelf,
    PerDose,
    ProductAhead,
    SupplyPlan,
    plan_supply,
)
from cavyround.engines.courses.shelf import (
    AMOUNT_NOT_KNOWN,
    DATE_NOT_KNOWN,
    OPEN_TOO_LONG,
    OTHER_UNIT,
    PAST_ITS_DATE,
)
from cavyround.facts.courses import Course
from cavyround.facts.orders import Lot
from cavyround.facts.schedules import UNTIL_VET_SAYS, days, hours
from cavyround.knowledge.book import Knowledge
from tests.engines.courses.made import FIRST, LONDON, a_course, at, every, given

FAR = date(2028, 1, 1)


def bottle(left: str | None = "10", name: str = "one", unit: str = "mL", **said: Any) -> OnShelf:
    use_within = said.pop("use_within", None)
    lot = Lot(id=name, product="drops", **{"expires_on": FAR, **said})
    amount = None if left is None else Decimal(left)
    return OnShelf(lot=lot, left=amount, unit=unit, use_within=use_within)


def takes(amount: str, unit: str = "mL") -> PerDose:
    return PerDose(product="drops", amount=Decimal(amount), unit=unit)


def on(day: int) -> date:
    return FIRST + timedelta(days=day)


def plan(
    book: Knowledge,
    *shelf: OnShelf,
    courses: tuple[Course, ...] = (a_course(every(10)),),
    per_dose: dict[str, PerDose] | None = None,
    now: int = 0,
) -> SupplyPlan:
    doses = {"course": takes("0.5")} if per_dose is None else per_dose
    return plan_supply(courses, doses, shelf, now=at(now), zone=LONDON, book=book)


def product(book: Knowledge, *shelf: OnShelf, **said: Any) -> ProductAhead:
    [found] = plan(book, *shelf, **said).products
    return found


def test_what_is_needed_is_counted_to_the_end_of_the_course(book: Knowledge) -> None:
    """Four doses of 0.5 mL are 2 mL, with a tenth to spare 2.2 mL."""
    found = product(book, bottle())
    assert found.needed == 2
    assert found.to_have == Decimal("2.2")
    assert found.usable == 10
    assert found.runs_out is None
    assert not found.is_tight


def test_doses_given_are_not_needed_any_more(book: Knowledge) -> None:
    course = a_course(every(10), given(at(0), at(10)))
    assert product(book, bottle(), courses=(course,), now=11).needed == 1


def test_the_first_dose_without_a_bottle_is_named(book: Knowledge) -> None:
    found = product(book, bottle("1.2"))
    assert found.runs_out is not None
    assert found.runs_out.slot.day == on(20)
    # 0.2 mL stay in the bottle: a dose is drawn whole from one
    assert found.short_by == 1


def test_nothing_on_the_shelf_runs_out_at_once(book: Knowledge) -> None:
    found = product(book)
    assert found.runs_out is not None
    assert found.runs_out.slot.number == 1
    assert found.usable == 0
    assert found.short_by == 2


def test_just_enough_is_tight(book: Knowledge) -> None:
    assert product(book, bottle("2")).is_tight
    assert not product(book, bottle("2.2")).is_tight


def test_a_bottle_past_its_date_is_not_used(book: Knowledge) -> None:
    found = product(book, bottle(expires_on=on(10)))
    assert found.runs_out is not None
    assert found.runs_out.slot.day == on(20)
    [left] = found.wont_last
    assert (left.lot, left.unusable_from) == ("one", on(11))
    assert left.unused == 9
    assert left.why == PAST_ITS_DATE


@pytest.mark.parametrize(("use_within", "out_on"), [(days(15), 20), (hours(48), 10)])
def test_a_bottle_open_too_long_is_not_used(
    book: Knowledge, use_within: object, out_on: int
) -> None:
    found = product(book, bottle(opened_on=on(0), use_within=use_within))
    assert found.runs_out is not None
    assert found.runs_out.slot.day == on(out_on)
    assert found.wont_last[0].why == OPEN_TOO_LONG


def test_a_new_bottle_is_opened_with_its_first_dose(book: Knowledge) -> None:
    """It keeps 15 days once opened: the doses of day 0 and 10 are drawn, that of day 20 is not."""
    found = product(book, bottle(use_within=days(15)))
    assert [dose.lot for dose in found.doses] == ["one", "one", None, None]


def test_the_opened_bottle_comes_first_then_the_one_that_keeps_shortest(book: Knowledge) -> None:
    shelf = (
        bottle("10", "late", expires_on=on(200)),
        bottle("0.5", "soon", expires_on=on(100)),
        bottle("0.5", "open", expires_on=on(300), opened_on=on(-1)),
    )
    found = product(book, *shelf)
    assert [dose.lot for dose in found.doses] == ["open", "soon", "late", "late"]


@pytest.mark.parametrize(
    ("shelf", "why"),
    [
        (bottle(None), AMOUNT_NOT_KNOWN),
        (bottle(expires_on=None), DATE_NOT_KNOWN),
        (bottle(unit="g"), OTHER_UNIT),
    ],
)
def test_a_bottle_of_which_something_is_not_known_is_not_counted_on(
    book: Knowledge, shelf: OnShelf, why: str
) -> None:
    found = product(book, shelf)
    assert found.not_counted == (NotCounted(lot="one", why=why),)
    assert found.runs_out is not None


def test_other_products_do_not_count(book: Knowledge) -> None:
    other = OnShelf(lot=Lot(id="x", product="paste", expires_on=FAR), left=Decimal(5), unit="mL")
    assert product(book, other).usable == 0


def test_a_course_without_an_end_is_counted_so_far_as_the_knowledge_says(book: Knowledge) -> None:
    """28 days ahead and today: 29 doses of 0.1 mL."""
    open_ended = a_course(every(1, ends=UNTIL_VET_SAYS))
    found = product(book, bottle(), courses=(open_ended,), per_dose={"course": takes("0.1")})
    assert (len(found.doses), found.needed) == (29, Decimal("2.9"))
    assert found.open_ended


def test_a_course_of_which_nobody_said_what_a_dose_takes_is_named(book: Knowledge) -> None:
    found = plan(book, per_dose={})
    assert found.not_known == ("course",)
    assert found.products == ()


def test_care_without_a_product_is_not_missed_on_the_shelf(book: Knowledge) -> None:
    weighing = a_course(every(1), care="daily_weighing")
    assert plan(book, courses=(weighing,), per_dose={}).not_known == ()


def test_doses_in_several_units_are_not_added_up(book: Knowledge) -> None:
    two = (a_course(every(10)), a_course(every(10), id="other"))
    found = plan(book, courses=two, per_dose={"course": takes("1"), "other": takes("1", "g")})
    assert (found.unlike, found.products) == (("drops",), ())


def test_animals_draw_from_one_shelf_in_the_order_their_doses_fall_due(book: Knowledge) -> None:
    first = a_course(every(10, 1), id="a", animal="ada")
    second = a_course(every(10, 1, first_on=on(5)), id="b", animal="bea")
    found = product(
        book,
        bottle("0.5"),
        courses=(second, first),
        per_dose={"a": takes("0.5"), "b": takes("0.5")},
    )
    assert [(dose.animal, dose.lot) for dose in found.doses] == [("ada", "one"), ("bea", None)]


def test_what_runs_out_soonest_stands_first(book: Knowledge) -> None:
    courses = tuple(a_course(every(10), id=name) for name in ("a", "b", "c"))
    per_dose = {
        "a": PerDose(product="enough", amount=Decimal(1), unit="mL"),
        "b": PerDose(product="later", amount=Decimal(1), unit="mL"),
        "c": PerDose(product="at once", amount=Decimal(1), unit="mL"),
    }
    shelf = [
        OnShelf(lot=Lot(id=name, product=name, expires_on=FAR), left=left, unit="mL")
        for name, left in (("enough", Decimal(9)), ("later", Decimal(2)))
    ]
    found = plan(book, *shelf, courses=courses, per_dose=per_dose)
    assert [one.product for one in found.products] == ["at once", "later", "enough"]


@pytest.mark.parametrize("amount", ["0", "-1", "NaN"])
def test_a_dose_of_nothing_is_refused(amount: str) -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        takes(amount)


def test_an_amount_without_its_unit_is_refused() -> None:
    with pytest.raises(ValueError, match="unit"):
        takes("1", "")


def test_a_late_dose_is_drawn_today(book: Knowledge) -> None:
    """Due on day 10 and given on day 12, when the bottle is past its date."""
    course = a_course(every(10), given(at(0)))
    found = product(book, bottle(expires_on=on(11)), courses=(course,), now=12)
    assert found.doses[0].lot is None
