"""Litters that cannot be: a mother too young, two births too close, a pup born another day."""

from collections.abc import Collection
from datetime import date, timedelta
from typing import NoReturn

from cavyround.record.animals import ImpossibleError
from cavyround.record.living_standing import standing_rows, taken_back_of
from cavyround.record.models import Animal, Litter, LitterPup

# The shortest pregnancy (Vetpedia 840), and the age from which one may begin (Matos and others).
SHORTEST = timedelta(days=59)
CONCEIVES_FROM = timedelta(days=17)
# A birth may be written down a day late, and an arrival with it.
A_DAY = timedelta(days=1)


def refuse_impossible_litter(dam: Animal, on: date, alive: int | None, dead: int | None) -> None:
    """Raise ImpossibleError for a litter that this sow cannot have had on this day."""
    youngest = dam.born_earliest
    if youngest is not None and on < youngest + SHORTEST + CONCEIVES_FROM:
        days = (on - youngest).days
        _refuse(
            "dam",
            f"{dam} was {max(days, 0)} days old at most on that day: too young to give birth. "
            "Is she the mother, and are her birth date and this day right?",
        )
    if alive == 0 and dead == 0:
        _refuse("alive", "No pup alive and none dead is no litter. How many were there?")
    own = standing_rows(Litter).filter(dam=dam, born_on__gt=on - SHORTEST)
    near = own.filter(born_on__lt=on + SHORTEST).order_by("born_on").first()
    if near is not None:
        day = f"{near.born_on.day} {near.born_on:%B %Y}"
        _refuse(
            "born_on",
            f"A litter of {dam} of {day} is written down already, by {near.made_by}: two births "
            f"lie at least {SHORTEST.days} days apart. Add pups to that one, or take it back "
            "under Sows and litters.",
        )


def refuse_impossible_pups(dam: Animal, on: date, pups: Collection[Animal]) -> None:
    """Raise ImpossibleError for a pup that cannot be of this litter."""
    for pup in pups:
        _refuse_pup(dam, on, pup)


def _refuse_pup(dam: Animal, on: date, pup: Animal) -> None:
    if pup.pk == dam.pk:
        _refuse("pups", "A sow is not her own pup. Take her out of the list.")
    known = LitterPup.objects.filter(animal=pup).exclude(litter__in=taken_back_of(Litter))
    other = known.select_related("litter__dam").first()
    if other is not None:
        _refuse("pups", f"{pup} is a pup of the {other.litter} already.")
    if LitterPup.objects.filter(animal=dam, litter__dam=pup).exists():
        _refuse("pups", f"{pup} is the mother of {dam}, and cannot be her pup.")
    earliest, latest = pup.born_earliest, pup.born_latest
    if (earliest and earliest > on + A_DAY) or (latest and latest < on - A_DAY):
        _refuse("pups", f"{pup} was not born on that day, by what is stated of it.")
    if pup.arrived_on is not None and pup.arrived_on < on - A_DAY:
        day = f"{pup.arrived_on.day} {pup.arrived_on:%B %Y}"
        _refuse("pups", f"{pup} came on {day}, before this litter was born.")


def _refuse(field: str, words: str) -> NoReturn:
    raise ImpossibleError(field, words)
