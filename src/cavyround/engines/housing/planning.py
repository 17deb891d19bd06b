"""Propose pens: for newcomers, after an outbreak, or to see whether all is well as it is.

A proposal moves nobody. It says where each would live and why, and, where the rules leave no
plan, which of them stands in the way and what would free it.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from cavyround.engines.housing.costs import Cost, cost_of
from cavyround.engines.housing.fitting import KIND_WORDS, MAY_GO
from cavyround.engines.housing.problem import LIFTABLE, House
from cavyround.engines.housing.sharing import Why
from cavyround.engines.housing.solving import EFFORT, is_possible, solve
from cavyround.facts.housing import Lodger
from cavyround.facts.places import PenFacts, PenKind

# Asking again for each reason is worth less of the solver's work than the plan itself.
SIDE_EFFORT = 2.0
MOVES_EXPLAINED = 12
EXTRA = "one more pen"


@dataclass(frozen=True, slots=True, kw_only=True)
class Elsewhere:
    """Another pen, and why not there."""

    pen: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """Where one animal would live, with whom, and why there."""

    animal: str
    pen: str
    was: str
    beside: tuple[str, ...]
    because: tuple[str, ...]
    warnings: tuple[Why, ...]
    elsewhere: tuple[Elsewhere, ...]

    @property
    def moves(self) -> bool:
        """Whether it would leave the pen it lives in, or come into its first."""
        return self.pen != self.was


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A plan for all. ``proven``: no other plan that keeps the rules is better."""

    placements: tuple[Placement, ...]
    cost: Cost
    proven: bool
    parted_bonds: tuple[tuple[str, str], ...]

    @property
    def moves(self) -> tuple[Placement, ...]:
        """Those that change something."""
        return tuple(one for one in self.placements if one.moves)


@dataclass(frozen=True, slots=True, kw_only=True)
class NoPlace:
    """One animal that finds no place, and each pen with what speaks against it."""

    animal: str
    elsewhere: tuple[Elsewhere, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Impossible:
    """No plan keeps the rules: which rules stand in the way, who is left, what would free it.

    ``rules`` are those of which lifting any single one would leave a plan; where it takes
    several at once (``all_of_them``), the fewest that were found. ``frees`` was tried, each
    by itself.
    """

    all_of_them: bool
    rules: tuple[Why, ...]
    no_place: tuple[NoPlace, ...]
    frees: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NotFound:
    """Neither a plan was found nor ruled out within the work allowed."""

    words: str


def propose(house: House, *, effort: float = EFFORT) -> Proposal | Impossible | NotFound:
    """The best plan with its reasons, or why there is none."""
    house = house.in_order()
    try:
        solved = solve(house, effort=effort)
    except TimeoutError:
        words = "No plan was found in the time set. Ask for fewer animals at once."
        return NotFound(words=words)
    if solved is None:
        return why_impossible(house)
    inside = _inside(solved.pen_of)
    explained = [a.id for a in house.animals if a.pen and a.pen != solved.pen_of[a.id]]
    costs = dict.fromkeys(explained[:MOVES_EXPLAINED], solved.cost)
    return Proposal(
        placements=tuple(
            _placement(house, animal, solved.pen_of, inside, costs.get(animal.id))
            for animal in house.animals
        ),
        cost=solved.cost,
        proven=solved.proven,
        parted_bonds=tuple(_two(pair) for pair in house.parted_bonds),
    )


def _two(pair: frozenset[str]) -> tuple[str, str]:
    one, other = sorted(pair)
    return one, other


def as_it_is(house: House) -> tuple[Why, ...]:
    """Every rule that is broken, or warns, where all live now."""
    found: list[Why] = []
    for pen, animals in sorted(_inside({a.id: a.pen for a in house.animals if a.pen}).items()):
        if pen not in house.pen_by_id:
            continue
        here = [house.by_id[animal] for animal in animals]
        heads_here = [one for one in here if house.is_head(one)]
        # A mother has her pups beside her.
        found += [
            why
            for why in house.sharing.among(heads_here)
            if not (why.rule == "alone" and house.weight[heads_here[0].id] > 1)
        ]
        for one in here:
            found += house.fitting.why_not_in(one, house.pen_by_id[pen])
        heads = sum(house.is_head(one) for one in here)
        if heads > house.capacity[pen]:
            found.append(crowded(house, house.pen_by_id[pen], heads))
    return tuple(found)


def crowded(house: House, pen: PenFacts, heads: int) -> Why:
    """Too little floor for so many, with both figures."""
    from_rule = house.book.living.rule("floor")
    return Why(
        rule="floor",
        hard=True,
        words=from_rule.words,
        detail=house.fitting.floor_words(pen, heads),
        frees=from_rule.frees,
        sources=from_rule.sources,
    )


def _inside(pen_of: Mapping[str, str]) -> dict[str, list[str]]:
    inside: dict[str, list[str]] = defaultdict(list)
    for animal, pen in pen_of.items():
        inside[pen].append(animal)
    return inside


def _placement(
    house: House,
    animal: Lodger,
    pen_of: Mapping[str, str],
    inside: Mapping[str, Sequence[str]],
    cost: Cost | None,
) -> Placement:
    pen = pen_of[animal.id]
    beside = tuple(other for other in inside[pen] if other != animal.id)
    because = list(_because(house, animal, pen_of, inside))
    if cost is not None:
        because.append(_if_it_stayed(house, animal, cost))
    together = [house.by_id[other] for other in inside[pen]]
    return Placement(
        animal=animal.id,
        pen=pen,
        was=animal.pen,
        beside=beside,
        because=tuple(because),
        warnings=tuple(
            why
            for why in house.sharing.among(together)
            if not why.hard and animal.id in why.animals
        ),
        elsewhere=tuple(
            Elsewhere(pen=other.id, why=words)
            for other in house.pens
            if other.id != pen
            and (words := why_not_there(house, animal, other, inside.get(other.id, ())))
        ),
    )


def _because(
    house: House, animal: Lodger, pen_of: Mapping[str, str], inside: Mapping[str, Sequence[str]]
) -> Iterator[str]:
    pen = house.pen_by_id[pen_of[animal.id]]
    if animal.pen == pen.id:
        yield "It stays where it lives."
    heads = sum(house.is_head(house.by_id[other]) for other in inside[pen.id])
    yield f"{pen.name} is {KIND_WORDS[pen.kind]}, and it is {animal.health_words}."
    for pair in house.together:
        if animal.id in pair:
            [mate] = pair - {animal.id}
            with_dam = mate == animal.sucks_from or house.by_id[mate].sucks_from == animal.id
            yield f"{'Mother and pup' if with_dam else 'Bonded'}: with {house.by_id[mate].name}."
    others = [house.by_id[other].name for other in inside[pen.id] if other != animal.id]
    yield f"With {', '.join(others)}: no rule parts them." if others else "Nobody else is there."
    if pen.area_cm2 is not None:
        yield f"Floor: {heads} of at most {house.capacity[pen.id]}."


def _if_it_stayed(house: House, animal: Lodger, cost: Cost) -> str:
    """What it would cost to leave it where it is: asked of the solver again."""
    if animal.pen not in house.allowed[animal.id]:
        why = why_not_there(house, animal, house.pen_by_id[animal.pen], ())
        return f"It cannot stay: {why}" if why else "It cannot stay where it is."
    try:
        other = solve(house.with_pinned(animal.id, animal.pen), effort=SIDE_EFFORT)
    except TimeoutError:
        return "What would follow if it stayed could not be worked out in the time set."
    if other is None:
        return "If it stayed where it is, no plan would keep the rules."
    if other.cost.alone > cost.alone:
        return f"If it stayed, {other.cost.alone} would live alone instead of {cost.alone}."
    if other.cost.moves > cost.moves:
        return f"If it stayed, {other.cost.moves} would have to move instead of {cost.moves}."
    if other.cost.warnings > cost.warnings:
        return "If it stayed, there would be more to be careful about."
    return "It could as well stay: there is another plan that is as good."


def why_not_there(house: House, animal: Lodger, pen: PenFacts, there: Sequence[str]) -> str:
    """The first hard reason against a pen, with those who live in it; empty where there is none."""
    if pen.id not in house.allowed[animal.id]:
        hard = [why for why in house.fitting.why_not_in(animal, pen) if why.hard]
        if hard:
            return f"{hard[0].words} {hard[0].detail}."
        return "Nobody is planned into or out of a foster home."
    for other in there:
        pair = frozenset({animal.id, other})
        if other != animal.id and pair in house.conflicts:
            worst = next(why for why in house.apart[pair] if why.hard)
            return f"{worst.words} {worst.detail}."
    heads = sum(house.is_head(house.by_id[other]) for other in there if other != animal.id)
    if house.is_head(animal) and heads + 1 > house.capacity[pen.id]:
        return f"Too little floor. {house.fitting.floor_words(pen, heads + 1)}."
    return ""


def why_impossible(house: House) -> Impossible:
    """Which rules stand in the way, who finds no place, and what would free it."""
    rules = [rule for rule in LIFTABLE if is_possible(house.without(rule), effort=SIDE_EFFORT)]
    single = bool(rules)
    rules = rules or _several(house)
    return Impossible(
        all_of_them=not single,
        rules=tuple(_rule(house, rule) for rule in rules),
        no_place=tuple(_no_place(house)),
        frees=tuple(_frees(house)),
    )


def _several(house: House) -> list[str]:
    """Rules that stand in the way together: none of them can be left out of those lifted."""
    lifted = list(LIFTABLE)
    if not is_possible(_lifting(house, lifted), effort=SIDE_EFFORT):
        return []
    for rule in LIFTABLE:
        fewer = [other for other in lifted if other != rule]
        if is_possible(_lifting(house, fewer), effort=SIDE_EFFORT):
            lifted = fewer
    return lifted


def _lifting(house: House, rules: Sequence[str]) -> House:
    for rule in rules:
        house = house.without(rule)
    return house


def _rule(house: House, rule: str) -> Why:
    known = house.book.living.rule(rule)
    return Why(
        rule=rule,
        hard=known.hard,
        words=known.words,
        detail="",
        frees=known.frees,
        sources=known.sources,
    )


def _no_place(house: House) -> Iterator[NoPlace]:
    """Place one after the other as well as can be; whoever is left finds no place.

    Those who live where they may stay come first, so that a newcomer is named and not
    the resident it would push out.
    """
    inside: dict[str, list[str]] = defaultdict(list)
    order = sorted(house.animals, key=lambda a: (a.pen not in house.allowed[a.id], a.id))
    for animal in order:
        pens = sorted(house.allowed[animal.id], key=lambda pen: pen != animal.pen)
        free = [
            pen
            for pen in pens
            if not why_not_there(house, animal, house.pen_by_id[pen], inside[pen])
        ]
        if free:
            inside[free[0]].append(animal.id)
            continue
        reasons = tuple(
            Elsewhere(pen=pen.id, why=why_not_there(house, animal, pen, inside[pen.id]))
            for pen in house.pens
        )
        yield NoPlace(animal=animal.id, elsewhere=reasons)


def _frees(house: House) -> Iterator[str]:
    """One more pen of a kind that somebody needs, or a floor that is measured: each is tried."""
    kinds = {kind for animal in house.animals for kind in MAY_GO[animal.health]}
    area = int(house.book.living.floor_for(2))
    for kind in sorted(kinds, key=list(PenKind).index):
        pen = PenFacts(id=EXTRA, name=EXTRA, room=EXTRA, kind=kind, area_cm2=area)
        if is_possible(house.with_pen(pen), effort=SIDE_EFFORT):
            yield f"One more pen for {KIND_WORDS[kind]}, of at least {area} cm²."
    for pen in house.pens:
        if pen.area_cm2 is None and _with_area(house, pen, area):
            yield f"{pen.name} measured, with a floor of at least {area} cm²."


def _with_area(house: House, pen: PenFacts, area: int) -> bool:
    measured = PenFacts(id=pen.id, name=pen.name, room=pen.room, kind=pen.kind, area_cm2=area)
    pens = tuple(measured if one.id == pen.id else one for one in house.pens)
    return is_possible(
        House(house.animals, pens, house.ties, house.today, house.book), effort=SIDE_EFFORT
    )


def cost_now(house: House) -> Cost:
    """What it comes to where all live now, for those in a pen."""
    return cost_of(house, {a.id: a.pen for a in house.animals if a.pen in house.pen_by_id})
