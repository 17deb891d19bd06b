"""The planner's proposal: each move with its reasons, taken up one by one by a person."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.housing import house_now
from cavyround.advice.proposing import propose_apart
from cavyround.engines.housing import (
    Elsewhere,
    House,
    Impossible,
    Placement,
    Proposal,
    as_it_is,
    in_steps,
)
from cavyround.web.gate import for_readers
from cavyround.web.house.taking_up import named_step, taken_up_today

# So much of the solver's work that nobody waits long at a page; the command line has more.
PAGE_EFFORT = 1.5


@dataclass(frozen=True, slots=True)
class Named:
    """A placement with the names of its animals and pens."""

    placement: Placement
    animal: str
    was: str
    pen: str
    beside: tuple[str, ...]
    elsewhere: tuple[tuple[str, str], ...]


@for_readers
def proposal(request: HttpRequest) -> HttpResponse:
    """Where all would live by the rules with the fewest moves. Nobody is moved by it."""
    now = timezone.now()
    house = house_now(now)
    answer = propose_apart(house, effort=PAGE_EFFORT)
    page: dict[str, Any] = {
        "as_it_is": [why for why in as_it_is(house) if why.hard],
        "here": "house",
        "floor": book().living.floor,
        "taken_up": taken_up_today(now),
    }
    if isinstance(answer, Proposal):
        page["proposal"] = answer
        plan = {one.animal: one.pen for one in answer.placements}
        page["steps"] = [named_step(house, one) for one in in_steps(house, plan)]
        page["moves"] = [_named(house, one) for one in answer.moves]
        page["stays"] = len(answer.placements) - len(answer.moves)
        page["parted"] = [_names(house, pair) for pair in answer.parted_bonds]
    elif isinstance(answer, Impossible):
        page["impossible"] = answer
        page["no_place"] = [
            (house.by_id[one.animal].name, one.animal, _pens(house, one.elsewhere))
            for one in answer.no_place
        ]
    else:
        page["not_found"] = answer.words
    return render(request, "web/house/proposal.html", page)


def _named(house: House, one: Placement) -> Named:
    was = house.pen_by_id.get(one.was)
    return Named(
        placement=one,
        animal=house.by_id[one.animal].name,
        was=was.name if was is not None else "no pen",
        pen=house.pen_by_id[one.pen].name,
        beside=_names(house, one.beside),
        elsewhere=_pens(house, one.elsewhere),
    )


def _names(house: House, animals: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(house.by_id[animal].name for animal in animals)


def _pens(house: House, elsewhere: tuple[Elsewhere, ...]) -> tuple[tuple[str, str], ...]:
    return tuple((house.pen_by_id[other.pen].name, other.why) for other in elsewhere)
