"""Which pens an animal may live in, whoever else is there."""

from collections.abc import Iterator
from dataclasses import dataclass

from cavyround.engines.housing.sharing import Why, by_rule
from cavyround.facts.housing import Health, Lodger
from cavyround.facts.places import PenFacts, PenKind
from cavyround.knowledge.book import Knowledge

HOMES = frozenset({PenKind.RESIDENTS, PenKind.NURSERY})
# What each may be put into. A foster home is somebody's home: nobody is planned into or out of it.
MAY_GO = {
    Health.WELL: HOMES,
    Health.QUARANTINE: frozenset({PenKind.QUARANTINE}),
    Health.WATCHED: frozenset({PenKind.QUARANTINE}),
    Health.SICK: frozenset({PenKind.SICK_BAY}),
    Health.ISOLATED: frozenset({PenKind.ISOLATION}),
}
# Where each may also stay if it lives there now.
MAY_STAY = {
    Health.WELL: frozenset({*HOMES, PenKind.FOSTER, PenKind.QUARANTINE, PenKind.SICK_BAY}),
    Health.QUARANTINE: frozenset({PenKind.QUARANTINE, PenKind.FOSTER}),
    # The exposed stay as a closed group where they are: a move would carry it further.
    Health.WATCHED: frozenset({*HOMES, PenKind.QUARANTINE, PenKind.SICK_BAY, PenKind.FOSTER}),
    Health.SICK: frozenset({*HOMES, PenKind.SICK_BAY, PenKind.FOSTER}),
    Health.ISOLATED: frozenset({PenKind.ISOLATION}),
}
KIND_WORDS = {
    PenKind.NURSERY: "nursery",
    PenKind.RESIDENTS: "residents",
    PenKind.FOSTER: "foster home",
    PenKind.QUARANTINE: "quarantine",
    PenKind.SICK_BAY: "sick bay",
    PenKind.ISOLATION: "isolation",
}


@dataclass(frozen=True)
class Fitting:
    """The rules between an animal and a pen."""

    book: Knowledge

    def why_not_in(
        self, animal: Lodger, pen: PenFacts, *, beside: frozenset[Health] = frozenset()
    ) -> tuple[Why, ...]:
        """All that speaks against this pen for this animal; nothing where it may go there.

        ``beside`` is the health of those it is bonded with: company for a sick mate goes along.
        """
        return tuple(self._why_not(animal, pen, beside))

    def _why_not(self, animal: Lodger, pen: PenFacts, beside: frozenset[Health]) -> Iterator[Why]:
        lives_here = animal.pen == pen.id
        kinds = MAY_STAY[animal.health] if lives_here else MAY_GO[animal.health]
        with_mate = animal.health is Health.WELL and (
            Health.SICK in beside and pen.kind is PenKind.SICK_BAY
        )
        if pen.kind not in kinds and not with_mate:
            detail = f"{pen.name} is {KIND_WORDS[pen.kind]}"
            if animal.is_kept_apart:
                detail = f"{detail}; {animal.name} is {animal.health_words}"
            yield by_rule(self.book, "pen_kind", detail, animal.id)
        if pen.area_cm2 is None and not lives_here:
            yield by_rule(self.book, "floor_unknown", pen.name, animal.id)

    def room_for(self, pen: PenFacts) -> int | None:
        """How many it has room for by the published least floor; None where not measured."""
        return None if pen.area_cm2 is None else self.book.living.most_on(pen.area_cm2)

    def floor_words(self, pen: PenFacts, heads: int) -> str:
        """The floor it has beside the floor so many need."""
        needed = self.book.living.floor_for(heads)
        return f"{pen.name}: {pen.area_cm2} cm² for {heads}; at least {needed:.0f} cm² are needed"
