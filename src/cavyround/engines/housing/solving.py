"""Solve a pen plan with CP-SAT: hard rules as constraints, then one wish after the other.

First nobody alone, then the fewest moves, then the fewest warnings. Each stage keeps what
the one before it reached, so no number of warnings is worth a move, and no move an animal alone.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any

from cavyround.engines.housing.costs import JOINING, MISPLACED, OPENED, WARNING, Cost, cost_of
from cavyround.engines.housing.problem import House
from cavyround.engines.housing.starting import start_of

# The solver's own count of work, not seconds: the same question has the same answer anywhere.
EFFORT = 5.0


class Status(Enum):
    """What a search came to."""

    BEST = "best"
    SOME = "some"
    NONE = "none"
    NOT_KNOWN = "not_known"


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """A plan that keeps all hard rules; ``proven``: none is better."""

    pen_of: Mapping[str, str]
    cost: Cost
    proven: bool


def solve(house: House, *, effort: float = EFFORT) -> Solved | None:
    """The best plan, or None where the hard rules leave none.

    The same question has the same plan, in whatever order animals and pens are told.

    Raises:
        TimeoutError: no plan was found within the effort, and none was ruled out.
    """
    house = house.in_order()
    if any(not pens for pens in house.allowed.values()):
        return None
    model, proven = _Model(house), True
    for name in ("alone", "moves", "warnings"):
        status = model.best(getattr(model, name), effort)
        if status is Status.NONE:
            return None
        if not model.found:
            msg = "no plan was found in the time set, and none was ruled out"
            raise TimeoutError(msg)
        proven = proven and status is Status.BEST
        model.hold(getattr(model, name), getattr(cost_of(house, model.found), name))
    return Solved(pen_of=model.found, cost=cost_of(house, model.found), proven=proven)


def is_possible(house: House, *, effort: float = EFFORT) -> bool:
    """Whether the hard rules leave any plan; False too where none was found in time."""
    house = house.in_order()
    if any(not pens for pens in house.allowed.values()):
        return False
    return _Model(house).best(0, effort) in (Status.BEST, Status.SOME)


class _Model:
    """The variables and constraints; ``found`` is the best plan so far."""

    def __init__(self, house: House) -> None:
        # It brings pandas along: a second and a hundred megabytes for everybody who plans nothing.
        from ortools.sat.python import cp_model  # noqa: PLC0415

        self.said = {
            cp_model.OPTIMAL: Status.BEST,
            cp_model.FEASIBLE: Status.SOME,
            cp_model.INFEASIBLE: Status.NONE,
        }
        self.house = house
        self.model = cp_model.CpModel()
        self.solver = cp_model.CpSolver()
        self.found: dict[str, str] = start_of(house) or {}
        self.x = {
            (animal, pen): self.model.new_bool_var(f"{animal}@{pen}")
            for animal, pens in house.allowed.items()
            for pen in pens
        }
        self.inside: dict[str, list[str]] = defaultdict(list)
        for animal, pen in self.x:
            self.inside[pen].append(animal)
        self._place()
        self._apart()
        self._together()
        self.alone = self._alone()
        self.moves = sum(
            1 - self.x[(one.id, one.pen)] if (one.id, one.pen) in self.x else 1
            for one in house.animals
            if one.pen in house.pen_by_id
        )
        self.warnings = self._warnings()
        self._hint()

    def _hint(self) -> None:
        for (animal, pen), var in self.x.items():
            likely = self.found.get(animal, self.house.by_id[animal].pen)
            self.model.add_hint(var, likely == pen)

    def _place(self) -> None:
        for animal, pens in self.house.allowed.items():
            self.model.add_exactly_one(self.x[(animal, pen)] for pen in pens)
        for pen, animals in self.inside.items():
            heads = [a for a in animals if self.house.is_head(self.house.by_id[a])]
            room = self.house.capacity[pen]
            if len(heads) > room:
                self.model.add(sum(self.x[(a, pen)] for a in heads) <= room)

    def _apart(self) -> None:
        """Animals parted from the same others stand for each other; cliques of them exclude."""
        kinds = _kinds(self.house)
        for pen, animals in self.inside.items():
            present = {}
            for kind in sorted({kinds.of[animal] for animal in animals}):
                own = [self.x[(a, pen)] for a in animals if kinds.of[a] == kind]
                if kinds.parted[kind]:
                    present[kind] = self._any(own, f"kind {kind} in {pen}")
            for clique in kinds.cliques:
                held = [present[kind] for kind in clique if kind in present]
                if len(held) > 1:
                    self.model.add_at_most_one(held)

    def _any(self, own: Sequence[Any], name: str) -> Any:
        if len(own) == 1:
            return own[0]
        some = self.model.new_bool_var(name)
        for var in own:
            self.model.add_implication(var, some)
        return some

    def _together(self) -> None:
        for pair in self.house.together:
            one, other = sorted(pair)
            for pen in dict.fromkeys((*self.house.allowed[one], *self.house.allowed[other])):
                self.model.add(self._var(one, pen) == self._var(other, pen))

    def _var(self, animal: str, pen: str) -> Any:
        return self.x.get((animal, pen), 0)

    def _alone(self) -> Any:
        """How many live without company though they need it."""
        lonely = []
        for pen, animals in self.inside.items():
            heads = [a for a in animals if self.house.is_head(self.house.by_id[a])]
            in_need = [a for a in heads if self.house.weight[a] == 1]
            if not in_need:
                continue
            some = self._any([self.x[(a, pen)] for a in in_need], f"somebody in {pen}")
            single = self.model.new_bool_var(f"alone in {pen}")
            company = sum(self.house.weight[a] * self.x[(a, pen)] for a in heads)
            self.model.add(company + single >= 2 * some)
            lonely.append(single)
        return sum(lonely)

    def _warnings(self) -> Any:
        return (
            WARNING * sum((*self._bad_pairs(), *self._of_boars()))
            + JOINING * sum(self._joining())
            + MISPLACED * sum(self._misplaced())
            + OPENED * sum(self._opened())
        )

    def _bad_pairs(self) -> Iterator[Any]:
        for pair in sorted(self.house.soft_pairs(), key=sorted):
            one, other = sorted(pair)
            others = set(self.house.allowed[other])
            for pen in (own for own in self.house.allowed[one] if own in others):
                both = self.model.new_bool_var(f"{one} with {other} in {pen}")
                self.model.add(self.x[(one, pen)] + self.x[(other, pen)] <= 1 + both)
                yield both

    def _boars_in(self, pen: str) -> list[Any]:
        sharing, by_id = self.house.sharing, self.house.by_id
        return [self.x[(a, pen)] for a in self.inside[pen] if sharing.is_entire_boar(by_id[a])]

    def _many_boars(self) -> Iterator[Any]:
        most = int(self.house.book.number("boars_in_a_group"))
        for pen in self.inside:
            boars = self._boars_in(pen)
            if len(boars) > most:
                many = self.model.new_bool_var(f"many boars in {pen}")
                self.model.add(sum(boars) <= most + (len(boars) - most) * many)
                yield many

    def _of_boars(self) -> Iterator[Any]:
        yield from self._many_boars()
        yield from self._about_a_sow()
        yield from self._near_sows()

    def _about_a_sow(self) -> Iterator[Any]:
        """Two boars or more in a pen, neutered or not, with a sow."""
        sharing, by_id = self.house.sharing, self.house.by_id
        for pen, animals in self.inside.items():
            boars = [self.x[(a, pen)] for a in animals if sharing.is_grown_boar(by_id[a])]
            sows = [self.x[(a, pen)] for a in animals if sharing.is_grown_sow(by_id[a])]
            if len(boars) > 1 and sows:
                sow = self._any(sows, f"a sow in {pen}")
                several = self.model.new_bool_var(f"boars about a sow in {pen}")
                more = len(boars) - 1
                self.model.add(sum(boars) <= 1 + more * several + more * (1 - sow))
                yield several

    def _near_sows(self) -> Iterator[Any]:
        """Two entire boars or more in a pen, with sows in its room."""
        sows = self._rooms_with_sows()
        for pen in self.inside:
            boars, room = self._boars_in(pen), self.house.pen_by_id[pen].room
            if len(boars) > 1 and room in sows:
                pair = self.model.new_bool_var(f"boars in {pen}")
                near = self.model.new_bool_var(f"boars near sows in {pen}")
                self.model.add(sum(boars) <= 1 + (len(boars) - 1) * pair)
                self.model.add(pair + sows[room] <= 1 + near)
                yield near

    def _rooms_with_sows(self) -> dict[str, Any]:
        sharing, by_id = self.house.sharing, self.house.by_id
        found: dict[str, list[Any]] = defaultdict(list)
        for (animal, pen), var in self.x.items():
            if sharing.is_fertile_sow(by_id[animal]):
                found[self.house.pen_by_id[pen].room].append(var)
        return {room: self._any(own, f"sows in {room}") for room, own in found.items()}

    def _joining(self) -> Iterator[Any]:
        """Coming into a pen where others live now: they have to be introduced."""
        lived_in = {one.pen for one in self.house.animals}
        for (animal, pen), var in self.x.items():
            if pen in lived_in and self.house.by_id[animal].pen != pen:
                yield var

    def _misplaced(self) -> Iterator[Any]:
        for (animal, pen), var in self.x.items():
            if self.house.is_out_of_place(self.house.by_id[animal], self.house.pen_by_id[pen]):
                yield var

    def _opened(self) -> Iterator[Any]:
        """Pens that stand empty now and would be taken: room for the next newcomer."""
        lived_in = {one.pen for one in self.house.animals}
        for pen, animals in self.inside.items():
            if pen not in lived_in:
                yield self._any([self.x[(a, pen)] for a in animals], f"{pen} is opened")

    def best(self, wish: Any, effort: float) -> Status:
        """Minimise one wish; keeps the plan that was found."""
        if isinstance(wish, int):
            self.model.clear_objective()  # type: ignore[no-untyped-call]
        else:
            self.model.minimize(wish)
        # One search: the answer is the same on any machine. Several that take turns abort the
        # whole process where a hint stands and presolve leaves nothing to minimise
        # ("heuristics.fixed_search != nullptr", OR-Tools 9.15), and find no plan sooner.
        self.solver.parameters.num_workers = 1
        self.solver.parameters.random_seed = 1
        self.solver.parameters.max_deterministic_time = effort
        status = self.said.get(self.solver.solve(self.model), Status.NOT_KNOWN)
        if status in (Status.BEST, Status.SOME):
            self._keep({a: pen for (a, pen), var in self.x.items() if self.solver.value(var)})
        return status

    def _keep(self, plan: dict[str, str]) -> None:
        """Keep the better of two plans, and begin the next search from it."""
        if not self.found or cost_of(self.house, plan).key < cost_of(self.house, self.found).key:
            self.found = plan
        self.model.clear_hints()  # type: ignore[no-untyped-call]
        self._hint()

    def hold(self, wish: Any, reached: int) -> None:
        """Give up nothing of what was reached."""
        if not isinstance(wish, int):
            self.model.add(wish <= reached)


@dataclass(frozen=True)
class _Kinds:
    of: dict[str, int]
    parted: dict[int, set[int]]
    cliques: list[frozenset[int]]


def _kinds(house: House) -> _Kinds:
    """Animals that are parted from exactly the same others are of one kind."""
    parted: dict[str, set[str]] = {animal.id: set() for animal in house.animals}
    for pair in house.conflicts:
        one, other = sorted(pair)
        parted[one].add(other)
        parted[other].add(one)
    numbers: dict[frozenset[str], int] = {}
    of = {a: numbers.setdefault(frozenset(others), len(numbers)) for a, others in parted.items()}
    between: dict[int, set[int]] = {kind: set() for kind in numbers.values()}
    for animal, others in parted.items():
        between[of[animal]] |= {of[other] for other in others}
    return _Kinds(of, between, _cliques(between))


def _cliques(between: Mapping[int, set[int]]) -> list[frozenset[int]]:
    """Cliques that together cover every two kinds that are parted."""
    left = {frozenset({a, b}) for a, others in between.items() for b in others}
    cliques = []
    for pair in sorted(left, key=sorted):
        if pair not in left:
            continue
        clique = set(pair)
        for kind in sorted(between):
            if kind not in clique and clique <= between[kind]:
                clique.add(kind)
        left -= {frozenset({a, b}) for a in clique for b in clique if a != b}
        cliques.append(frozenset(clique))
    return cliques
