"""A pen plan as a question: who may go where, who with whom, and how many."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from itertools import combinations

from cavyround.engines.housing.fitting import HOMES, Fitting
from cavyround.engines.housing.sharing import Sharing, Why
from cavyround.facts.housing import Health, Lodger, Ties
from cavyround.facts.places import PenFacts, PenKind
from cavyround.knowledge.book import Knowledge

# Rules that can be lifted to find the one that makes a plan impossible.
LIFTABLE = (
    "pen_kind",
    "floor",
    "floor_unknown",
    "bonded",
    "quarantine",
    "infection",
    "enemies",
    "kept_alone",
)


@dataclass(frozen=True)
class House:
    """What is asked: animals, pens and what is known between animals, on a day."""

    animals: Sequence[Lodger]
    pens: Sequence[PenFacts]
    ties: Ties
    today: date
    book: Knowledge
    lifted: frozenset[str] = frozenset()
    pinned: Mapping[str, str] = field(default_factory=dict)

    def in_order(self) -> "House":
        """The same, told in the order of the ids: of plans that are as good, the search finds
        the one that the order of the question leads it to.
        """
        animals = sorted(self.animals, key=lambda one: one.id)
        pens = sorted(self.pens, key=lambda one: (one.room, one.position, one.id))
        if [*self.animals] == animals and [*self.pens] == pens:
            return self
        return replace(self, animals=tuple(animals), pens=tuple(pens))

    def without(self, rule: str) -> "House":
        """The same without one rule: only to find out what stands in the way."""
        return replace(self, lifted=self.lifted | {rule})

    def with_pen(self, pen: PenFacts) -> "House":
        """The same with one more pen: only to find out what would free it."""
        return replace(self, pens=(*self.pens, pen))

    def with_pinned(self, animal: str, pen: str) -> "House":
        """The same with one animal in a pen that is given."""
        return replace(self, pinned={**self.pinned, animal: pen})

    @cached_property
    def sharing(self) -> Sharing:
        """The rules between animals."""
        return Sharing(self.ties, self.today, self.book)

    @cached_property
    def fitting(self) -> Fitting:
        """The rules between animal and pen."""
        return Fitting(self.book)

    @cached_property
    def by_id(self) -> dict[str, Lodger]:
        """The animals by their id."""
        return {animal.id: animal for animal in self.animals}

    @cached_property
    def pen_by_id(self) -> dict[str, PenFacts]:
        """The pens by their id."""
        return {pen.id: pen for pen in self.pens}

    @cached_property
    def weight(self) -> dict[str, int]:
        """How many each counts for as company: two where it needs no other."""
        mothers = {animal.sucks_from for animal in self.animals}
        return {
            animal.id: 2 if animal.alone_because or animal.id in mothers else 1
            for animal in self.animals
        }

    def is_head(self, animal: Lodger) -> bool:
        """Whether it counts for the floor and as company: a pup that sucks does not."""
        return not (animal.sucks_from and animal.sucks_from in self.by_id)

    @cached_property
    def apart(self) -> dict[frozenset[str], tuple[Why, ...]]:
        """Pairs with all that speaks against them."""
        found = {}
        for one, other in combinations(self.animals, 2):
            if self._sucks(one, other):
                continue
            why = tuple(
                why for why in self.sharing.why_apart(one, other) if why.rule not in self.lifted
            )
            if why:
                found[frozenset({one.id, other.id})] = why
        return found

    @staticmethod
    def _sucks(one: Lodger, other: Lodger) -> bool:
        """A pup that sucks goes with its mother, wherever she has to go."""
        return other.id == one.sucks_from or one.id == other.sucks_from

    @cached_property
    def conflicts(self) -> frozenset[frozenset[str]]:
        """Pairs that a hard rule parts."""
        return frozenset(pair for pair, why in self.apart.items() if any(w.hard for w in why))

    @cached_property
    def allowed(self) -> dict[str, tuple[str, ...]]:
        """The pens each animal may live in, in the order of the pens."""
        mates: dict[str, set[Health]] = defaultdict(set)
        for bond in self.ties.bonds:
            for one, other in ((bond.one, bond.other), (bond.other, bond.one)):
                if other in self.by_id:
                    mates[one].add(self.by_id[other].health)
        return {
            animal.id: tuple(
                pen.id for pen in self.pens if self._may(animal, pen, frozenset(mates[animal.id]))
            )
            for animal in self.animals
        }

    def _may(self, animal: Lodger, pen: PenFacts, beside: frozenset[Health]) -> bool:
        if animal.id in self.pinned:
            return self.pinned[animal.id] == pen.id
        if self._is_settled_in_foster(animal):
            return pen.id == animal.pen
        why = self.fitting.why_not_in(animal, pen, beside=beside)
        return not any(one.hard and one.rule not in self.lifted for one in why)

    def _is_settled_in_foster(self, animal: Lodger) -> bool:
        pen = self.pen_by_id.get(animal.pen)
        return (
            pen is not None
            and pen.kind is PenKind.FOSTER
            and animal.health in (Health.WELL, Health.SICK, Health.QUARANTINE, Health.WATCHED)
        )

    @cached_property
    def capacity(self) -> dict[str, int]:
        """How many heads each pen takes: by its floor, or as many as live there now."""
        living: dict[str, int] = defaultdict(int)
        for animal in self.animals:
            living[animal.pen] += self.is_head(animal)
        rooms = {pen.id: self.fitting.room_for(pen) for pen in self.pens}
        everybody = len(self.animals)
        if "floor" in self.lifted:
            return dict.fromkeys(rooms, everybody)
        unmeasured = {p: everybody if "floor_unknown" in self.lifted else living[p] for p in rooms}
        return {pen: unmeasured[pen] if room is None else room for pen, room in rooms.items()}

    @cached_property
    def together(self) -> tuple[frozenset[str], ...]:
        """Pairs that share a pen: pups that suck with their mother, and bonded ones not parted."""
        pairs = {
            frozenset({animal.id, animal.sucks_from})
            for animal in self.animals
            if not self.is_head(animal)
        }
        if "bonded" not in self.lifted:
            pairs |= {bond.pair for bond in self.ties.bonds if self.can_be_together(bond.pair)}
        return tuple(sorted(pairs, key=sorted))

    def can_be_together(self, pair: Collection[str]) -> bool:
        """Whether no other rule parts a bonded pair."""
        if not all(animal in self.by_id for animal in pair) or frozenset(pair) in self.conflicts:
            return False
        one, other = (set(self.allowed[animal]) for animal in sorted(pair))
        return bool(one & other)

    @cached_property
    def parted_bonds(self) -> tuple[frozenset[str], ...]:
        """Bonded pairs that another rule parts."""
        here = [b.pair for b in self.ties.bonds if all(a in self.by_id for a in b.pair)]
        return tuple(pair for pair in here if not self.can_be_together(pair))

    def soft_pairs(self) -> Iterable[frozenset[str]]:
        """Pairs that may share, with a warning."""
        return (pair for pair in self.apart if pair not in self.conflicts)

    def is_out_of_place(self, animal: Lodger, pen: PenFacts) -> bool:
        """Whether it may stay there, though the pen is meant for others."""
        if animal.health is not Health.WELL:
            return False
        wants_nursery = animal.expecting_until is not None or self.weight[animal.id] > 1
        if pen.kind is PenKind.NURSERY:
            return not (wants_nursery or animal.sucks_from)
        return pen.kind not in HOMES and pen.kind is not PenKind.FOSTER
