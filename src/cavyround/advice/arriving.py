"""What speaks against the pen a newcomer is put into: the rules of a move, before it is there."""

from dataclasses import replace
from datetime import date, datetime

from cavyround.advice.housing import house_now
from cavyround.engines.housing import Why, speaks_against
from cavyround.facts.breeding import Breeder
from cavyround.facts.housing import Health, Lodger
from cavyround.record.animals import Coming
from cavyround.record.models import Animal, Arrival, Pen


def against_newcomer(newcomer: Breeder, coming: Coming, pen: Pen, now: datetime) -> tuple[Why, ...]:
    """Every rule that speaks against it, the hard ones first; nothing is forbidden by it.

    Whoever comes from outside counts as in quarantine; those that came with it on its day
    from the same place are its company and no strangers to it.
    """
    house = house_now(now)
    facts = house.pen_by_id[str(pen.pk)]
    from_outside = coming.how != "born_here"
    lodger = Lodger(
        breeder=newcomer,
        health=Health.QUARANTINE if from_outside else Health.WELL,
        cohort=_cohort(pen, coming) if from_outside else "",
        apart_because="a newcomer from outside" if from_outside else "",
    )
    others = [one for one in house.animals if one.id != lodger.id]
    return speaks_against(replace(house, animals=(*others, lodger)), lodger, facts)


def _cohort(pen: Pen, coming: Coming) -> str:
    """The group of the pen where all in it came with this one; else a group of its own."""
    there = list(Animal.objects.filter(pen=pen, left_on=None).values_list("pk", flat=True))
    latest: dict[object, tuple[date, str]] = {}
    came = Arrival.objects.filter(animal__in=there).order_by("on", "made_at", "id")
    for animal, on, source in came.values_list("animal", "on", "came_from"):
        latest[animal] = (on, source)
    together = all(latest.get(one) == (coming.on, coming.came_from) for one in there)
    return f"pen {pen.pk}" if there and together else f"came {coming.on}"
