"""Standing orders for arrivals: what they propose for whom. A person confirms each, or declines."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Exists, OuterRef
from django.utils import timezone

from cavyround.advice.medicines.working import WorkedDose, known_of, work_out_order
from cavyround.record import models
from cavyround.record.orders import order_of

# Whoever came longer ago than this is no newcomer any more. Our own judgement.
NEWCOMER_FOR = timedelta(days=60)


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """One standing order for one newcomer, with the dose it would come to today, or why none."""

    order: models.Order
    animal: models.Animal
    worked: WorkedDose | None


def proposals(now: datetime) -> list[Proposal]:
    """What the standing orders propose, newest arrivals first.

    Nothing for an animal that has a course by the order already, or was declined; and
    nothing for one that came before the order was given.
    """
    orders = list(
        models.Order.objects.filter(standing=True, stops=None).select_related("product", "made_by")
    )
    if not orders:
        return []
    wanted = [(order, animal) for order in orders for animal in _newcomers(order, now)]
    known = known_of(list({animal.pk: animal for _, animal in wanted}.values()), now)
    return [
        Proposal(
            order=order,
            animal=animal,
            worked=work_out_order(order_of(order, animals=[animal.pk]), order, animal, known)
            if order.dose
            else None,
        )
        for order, animal in wanted
    ]


def standing_orders() -> Sequence[models.Order]:
    """The standing orders that hold."""
    held = models.Order.objects.filter(standing=True, stops=None)
    return list(held.select_related("product", "made_by"))


def _newcomers(order: models.Order, now: datetime) -> Iterable[models.Animal]:
    today = timezone.localdate(now)
    since = max(today - NEWCOMER_FOR, timezone.localdate(order.ordered_at))
    # A replaced order was followed or declined for what its successor means, too.
    orders = [order.pk, *_before(order)]
    has = models.Course.objects.filter(order__in=orders, animal=OuterRef("pk"))
    declined = models.StandingDeclined.objects.filter(order__in=orders, animal=OuterRef("pk"))
    # Pups born here are no newcomers: what they need the vet orders for them.
    came = models.Arrival.objects.filter(animal=OuterRef("pk"), on__gte=since)
    here = models.Animal.objects.filter(Exists(came.exclude(how="born_here")), left_on=None)
    fitting = here.filter(~Exists(has), ~Exists(declined)).select_related("pen__room", "face")
    return fitting.order_by("-arrived_on", "name")


def _before(order: models.Order) -> list[UUID]:
    """The orders it took the place of, one after the other."""
    found: list[UUID] = []
    before = order.replaces
    while before is not None and before.pk not in found:
        found.append(before.pk)
        before = before.replaces
    return found
