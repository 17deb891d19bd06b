"""In which order the moves of a plan are made, so that nobody meets whom it must not meet.

Who has to leave a pen leaves before the next comes in. Where moves wait for each other in a
ring (two that change places), they are one step: somebody waits in a carrier of its own.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from cavyround.engines.housing.problem import House
from cavyround.facts.housing import Health

# From the healthy to the catching, as the round goes: nothing is carried to the next.
CARE_ORDER = (Health.WELL, Health.WATCHED, Health.SICK, Health.QUARANTINE, Health.ISOLATED)


@dataclass(frozen=True, slots=True, kw_only=True)
class OneMove:
    """One animal from a pen (empty: from none) to another."""

    animal: str
    was: str
    pen: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """Moves made in one go, in this order.

    ``held`` wait in a carrier of their own meanwhile. ``after`` left the pens in an earlier
    step: that has to be done first. ``clean`` are pens to be cleaned before anybody comes in.
    """

    moves: tuple[OneMove, ...]
    held: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    clean: tuple[str, ...] = ()


def in_steps(house: House, pen_of: Mapping[str, str]) -> tuple[Step, ...]:
    """The moves from where all live now to a plan that keeps the hard rules, in order.

    Raises:
        ValueError: the plan breaks a hard rule.
    """
    return tuple(_Order(house.in_order(), pen_of).steps())


Unit = tuple[str, ...]
Where = Mapping[str, str]


class _Order:
    """The moves that are left, and where everybody is by now."""

    def __init__(self, house: House, pen_of: Mapping[str, str]) -> None:
        self.house, self.pen_of = house, pen_of
        self.where = {one.id: one.pen for one in house.animals}
        self.left: dict[str, list[str]] = defaultdict(list)

    def steps(self) -> Iterator[Step]:
        waiting = self._units()
        while waiting:
            ready = next((unit for unit in waiting if self._fits(unit, self.where)), None)
            held, together = ((), [ready]) if ready is not None else self._ring(waiting)
            waiting = [unit for unit in waiting if unit not in together]
            yield self._step(together, tuple(animal for unit in held for animal in unit))

    def _units(self) -> list[Unit]:
        """Those that move, those that belong together in one, the healthy first."""
        moving = [one.id for one in self.house.animals if self.pen_of[one.id] != one.pen]
        group = {animal: {animal} for animal in moving}
        for pair in self.house.together:
            one, other = sorted(pair)
            if one in group and other in group:
                joined = group[one] | group[other]
                for animal in joined:
                    group[animal] = joined
        return sorted({tuple(sorted(own)) for own in group.values()}, key=self._care)

    def _care(self, unit: Unit) -> tuple[int, Unit]:
        return max(CARE_ORDER.index(self.house.by_id[one].health) for one in unit), unit

    def _fits(self, unit: Unit, where: Where) -> bool:
        """Whether it may come in now, beside those that are still there."""
        pen = self.pen_of[unit[0]]
        there = [one for one, at in where.items() if at == pen and one not in unit]
        heads = sum(self.house.is_head(self.house.by_id[one]) for one in (*there, *unit))
        return heads <= self.house.capacity[pen] and not any(
            frozenset({one, other}) in self.house.conflicts for one in unit for other in there
        )

    def _ring(self, waiting: Sequence[Unit]) -> tuple[list[Unit], list[Unit]]:
        """Who waits in a carrier, and the moves that opens, with the fewest animals waiting."""
        found = [self._opened_by(unit, waiting) for unit in waiting]
        return min(found, key=lambda one: (sum(map(len, one[0])), len(one[1])))

    def _opened_by(self, first: Unit, waiting: Sequence[Unit]) -> tuple[list[Unit], list[Unit]]:
        where, left = dict(self.where), list(waiting)
        held, ring = [first], []
        where |= dict.fromkeys(first, "")
        while not all(unit in ring for unit in held):
            fitting = [unit for unit in left if self._fits(unit, where)]
            if fitting:
                ready = next((unit for unit in fitting if unit in held), fitting[0])
                where |= {animal: self.pen_of[animal] for animal in ready}
                left.remove(ready)
                ring.append(ready)
            else:
                held.append(_another(left, held))
                where |= dict.fromkeys(held[-1], "")
        return held, ring

    def _step(self, units: Sequence[Unit], held: tuple[str, ...]) -> Step:
        moves = tuple(
            OneMove(animal=animal, was=self.where[animal], pen=self.pen_of[animal])
            for unit in units
            for animal in unit
        )
        targets = dict.fromkeys(one.pen for one in moves)
        before = {pen: list(self.left[pen]) for pen in targets}
        for one in moves:
            if one.was:
                self.left[one.was].append(one.animal)
            self.where[one.animal] = one.pen
        own = {one.animal for one in moves}
        left = {pen: [*before[pen], *(a for a in self.left[pen] if a in own)] for pen in targets}
        return Step(
            moves=moves,
            held=held,
            after=tuple(dict.fromkeys(a for pen in targets for a in before[pen])),
            clean=tuple(pen for pen in targets if any(map(self._may_leave_something, left[pen]))),
        )

    def _may_leave_something(self, animal: str) -> bool:
        return self.house.by_id[animal].health is not Health.WELL


def _another(left: Sequence[Unit], held: Sequence[Unit]) -> Unit:
    found = next((unit for unit in left if unit not in held), None)
    if found is None:
        msg = "with everybody out of the way a move still breaks a hard rule"
        raise ValueError(msg)
    return found
