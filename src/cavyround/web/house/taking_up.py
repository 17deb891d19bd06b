"""Take up a step of the proposal: its moves are made at one moment, by a person."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, time
from uuid import UUID

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from cavyround.advice.housing import house_now
from cavyround.engines.housing import House, OneMove, Step, as_it_is
from cavyround.facts.housing import Lodger
from cavyround.record.animals import move
from cavyround.record.models import Animal, Move, Pen
from cavyround.web.gate import for_recorders, person_of

WHY = "proposal for the pens, taken up"


@dataclass(frozen=True, slots=True)
class NamedStep:
    """A step as the page shows it: who goes where, who waits, whom it waits for."""

    moves: tuple[tuple[str, str, str], ...]
    held: tuple[str, ...]
    after: tuple[str, ...]
    clean: tuple[str, ...]
    sent_as: str

    @property
    def words(self) -> str:
        """``Fern to Shed 1, Rue to Hayloft``."""
        return ", ".join(f"{animal} to {pen}" for animal, _, pen in self.moves)


def named_step(house: House, step: Step) -> NamedStep:
    """With the names of animals and pens."""
    return NamedStep(
        moves=tuple(
            (house.by_id[one.animal].name, _pen(house, one.was), _pen(house, one.pen))
            for one in step.moves
        ),
        held=tuple(house.by_id[one].name for one in step.held),
        after=tuple(house.by_id[one].name for one in step.after),
        clean=tuple(_pen(house, pen) for pen in step.clean),
        sent_as=" ".join(f"{one.animal}:{one.was}:{one.pen}" for one in step.moves),
    )


def _pen(house: House, pen: str) -> str:
    known = house.pen_by_id.get(pen)
    return known.name if known is not None else "no pen"


def taken_up_today(now: datetime) -> list[Move]:
    """The moves of the proposal that were made today, in their order."""
    midnight = datetime.combine(timezone.localdate(now), time.min, timezone.get_current_timezone())
    # From the animals here: the moves of years are not read from end to end.
    here = Animal.objects.filter(left_on=None).order_by().values("pk")
    made = Move.objects.filter(animal__in=here, why=WHY, made_at__gte=midnight, made_at__lte=now)
    return list(made.select_related("animal", "pen", "made_by").order_by("made_at", "id"))


@require_POST
@for_recorders
def take_up(request: HttpRequest) -> HttpResponseBase:
    """Write down the moves of one step as made now, all at one moment: they did not meet."""
    now = timezone.now()
    with transaction.atomic():
        house = house_now(now)
        moves = _read(request.POST.get("moves", ""), house)
        refused = _refused(house, moves)
        if refused:
            messages.warning(request, refused)
            return redirect("house-proposal")
        animals = Animal.objects.in_bulk([UUID(one.animal) for one in moves])
        pens = Pen.objects.in_bulk([int(one.pen) for one in moves])
        for one in moves:
            animal, pen = animals[UUID(one.animal)], pens[int(one.pen)]
            move(person_of(request), animal, pen, now, why=WHY)
            messages.success(request, f"{animal} is now in {pen}.")
    return redirect("house-proposal")


def _read(sent: str, house: House) -> list[OneMove]:
    """The moves that were sent, of animals and pens there are; what is no move is left out."""
    parts = [one.split(":") for one in sent.split()]
    return [
        OneMove(animal=part[0], was=part[1], pen=part[2])
        for part in parts
        if len(part) == len(("animal", "was", "pen"))
        and part[0] in house.by_id
        and part[2] in house.pen_by_id
    ]


def _refused(house: House, moves: list[OneMove]) -> str:
    """Why they are not made: the house is otherwise than the proposal saw it."""
    if not moves:
        return "Nothing was moved: the house has changed since. This is the proposal made anew."
    for one in moves:
        if house.by_id[one.animal].pen != one.was:
            name = house.by_id[one.animal].name
            return f"Nothing was moved: {name} is no longer where it was. This is made anew."
    to = {one.animal: one.pen for one in moves}
    after = replace(house, animals=tuple(_moved(one, to) for one in house.animals))
    before = {(why.rule, why.animals) for why in as_it_is(house)}
    for why in as_it_is(after):
        if why.hard and set(why.animals) & set(to) and (why.rule, why.animals) not in before:
            return f"Nothing was moved: {why.words} {why.detail}. This is the proposal made anew."
    return ""


def _moved(one: Lodger, to: Mapping[str, str]) -> Lodger:
    return replace(one, pen=to[one.id]) if one.id in to else one
