"""How the story of the medicines is told: orders, courses, doses as worked out on their day."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from cavyround.advice.medicines.drawn import drawn_of
from cavyround.advice.medicines.running import standing
from cavyround.advice.medicines.working import work_out_for
from cavyround.demo.story import Story
from cavyround.facts.schedules import (
    UNTIL_VET_SAYS,
    Ending,
    Length,
    Schedule,
)
from cavyround.record.courses import begin_course
from cavyround.record.doses import DoseSaid, keep_dose
from cavyround.record.models import Course, Order, Product
from cavyround.record.orders import OrderSaid, place_order

VET = "Dr Imre Pell"
ORDERED_AT, BEGUN_AT, GIVEN_AT = 620, 640, 1130


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """One dose, so many days ago at a minute of the day."""

    ago: int
    minute: int = GIVEN_AT
    outcome: str = "given"
    why: str = ""


@dataclass(slots=True)
class Cabinet:
    """What the story of the medicines makes on its way."""

    products: dict[str, Product] = field(default_factory=dict)
    orders: dict[str, Order] = field(default_factory=dict)
    courses: dict[tuple[str, str], Course] = field(default_factory=dict)


def every(amount: Length, first: Any, *, doses: int | None = None, **said: Any) -> Schedule:
    """A schedule from a day, or from a moment where it is counted in hours."""
    ends = UNTIL_VET_SAYS if doses is None else Ending(doses=doses)
    begun = {"first_at": first} if isinstance(first, datetime) else {"first_on": first}
    return Schedule(every=amount, ends=ends, **begun, **said)


def orders(
    story: Story, cabinet: Cabinet, key: str, ago: int, product: str = "", **said: Any
) -> None:
    """The vet orders; what is said of when comes from the day itself."""
    when: Callable[[], Schedule] = said.pop("when")

    def act(moment: datetime) -> None:
        cabinet.orders[key] = place_order(
            story.people["lead"],
            OrderSaid(
                id=story.table.ids.at(moment),
                vet=VET,
                ordered_at=moment,
                schedule=when(),
                product=cabinet.products[product].pk if product else None,
                **said,
            ),
            moment,
        )

    story.on(ago, ORDERED_AT, act)


def begins(
    story: Story, cabinet: Cabinet, order: str, keys: tuple[str, ...], ago: int, **first: Any
) -> None:
    """The order is carried out on these animals from a day on."""

    def act(moment: datetime) -> None:
        for key in keys:
            cabinet.courses[(order, key)] = begin_course(
                story.people["lead"],
                cabinet.orders[order],
                story.animals[key],
                moment,
                id=story.table.ids.at(moment),
                **first,
            )

    story.on(ago, BEGUN_AT, act)


def gives(story: Story, cabinet: Cabinet, order: str, key: str, number: int, given: Given) -> None:
    """One dose as it was worked out on its day; an odd one is told with why."""

    def act(moment: datetime) -> None:
        course = cabinet.courses[(order, key)]
        rows = Course.objects.select_related("order__product", "order__made_by", "animal__pen")
        (running,) = standing(rows.filter(pk=course.pk), moment)
        said: dict[str, Any] = {}
        if course.order.dose:
            drawn = drawn_of(work_out_for(running, moment))
            said = {
                "weight_g": drawn.weight_g,
                "weighed_at": drawn.weighed_at,
                "worked": drawn.worked,
                "syringe": drawn.syringe,
            }
            if given.outcome != "not_given" and drawn.amount is not None:
                said |= {"amount": drawn.amount, "unit": drawn.unit, "lot": drawn.lot}
        keep_dose(
            story.people["carer"],
            DoseSaid(
                id=story.table.ids.at(moment),
                course=course.pk,
                at=moment,
                outcome=given.outcome,
                why=given.why,
                number=number,
                second=story.people["jory"].pk if course.order.second_check else None,
                **said,
            ),
            moment,
        )

    story.on(given.ago, given.minute, act)
