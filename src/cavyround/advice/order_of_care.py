"""In which order animals are handled: by the state of each one, never by the kind of its pen alone.

The most vulnerable and healthy first, then residents, then whoever was exposed or is in
quarantine, then the sick, and what is catching last of all. A pen comes where its worst animal
comes, so that nobody goes back to it. Order and sources: ``living.round`` of the knowledge.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from uuid import UUID

from cavyround.advice.book import book
from cavyround.advice.keeping_apart import Apart, apart_now
from cavyround.advice.latest import Advised, latest_advice
from cavyround.advice.outbreaks_today import cases_now
from cavyround.facts.housing import Health
from cavyround.knowledge.living import RoundGroup
from cavyround.record.models import Animal

NO_PEN, WATCHED, QUARANTINE, ISOLATION = "no_pen", "watched", "quarantine", "isolation"
STAGE_OF = {Health.QUARANTINE: QUARANTINE, Health.WATCHED: WATCHED}


@dataclass(frozen=True)
class OrderOfCare:
    """The stage of each animal here, and of each pen, by their keys; the stages in order."""

    of_animal: Mapping[UUID, str]
    of_pen: Mapping[int, str]

    @cached_property
    def groups(self) -> Mapping[str, RoundGroup]:
        """What each stage is called, why it comes where it comes, and what is done before."""
        return {one.group: one for one in book().living.round}

    @cached_property
    def place(self) -> Mapping[str, int]:
        """Each stage's place, the first to be handled being 0."""
        return {group: place for place, group in enumerate(self.groups)}

    def stage(self, animal: Animal) -> str:
        """Its stage; one that is not here comes where its pen does."""
        known = self.of_animal.get(animal.pk)
        if known is not None:
            return known
        return self.of_pen.get(animal.pen_id, NO_PEN) if animal.pen_id else NO_PEN


def order_of_care(
    now: datetime,
    *,
    advised: Mapping[UUID, Advised] | None = None,
    apart: Apart | None = None,
) -> OrderOfCare:
    """The order as all here stand now; ``advised`` and ``apart`` where they are known already."""
    here = Animal.objects.filter(left_on=None)
    given = latest_advice(here) if advised is None else advised
    kept, cases = apart or apart_now(now), cases_now(now)
    place = {one.group: number for number, one in enumerate(book().living.round)}
    own: dict[UUID, str] = {}
    pens: dict[int, str] = {}
    lives: dict[UUID, int] = {}
    for key, pen, kind in here.order_by().values_list("pk", "pen", "pen__kind"):
        stages = [kind or NO_PEN]
        known = given.get(key)
        if str(key) in cases or (known is not None and known.isolate):
            stages.append(ISOLATION)
        because = kept.of(str(key))
        if because is not None:
            stages.append(STAGE_OF[because.health])
        own[key] = max(stages, key=place.__getitem__)
        if pen is not None:
            lives[key] = pen
            pens[pen] = max((pens.get(pen, own[key]), own[key]), key=place.__getitem__)
    return OrderOfCare({key: pens[lives[key]] if key in lives else own[key] for key in own}, pens)
