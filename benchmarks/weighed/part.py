"""The part of the benchmarks that tries weight alarms: the engine, the rules, the all-knowing."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import chain

import numpy as np

from benchmarks.report import Found, Line
from benchmarks.weighed import all_knowing, engine_here, speed, world
from benchmarks.weighed.engine_here import Doubts, Read
from benchmarks.weighed.judging import Caught, Scored, bound_for, caught, false_alarms
from benchmarks.weighed.rivals import RULES, Rule
from benchmarks.weighed.world import Lived
from cavyround.knowledge.book import Knowledge

SEED = 20261130
ALLOWED = 0.5
NO_LATER = 1.25
GROSS_LEAST, GOOD_MOST = 0.90, 0.01
Say = Callable[[str], None]


@dataclass(frozen=True)
class Aim:
    """The least share to be caught, and the most to be lost by then: middle and nine of ten."""

    share: float
    lost50: float | None = None
    lost90: float | None = None


AIMS = {
    "slow loss": Aim(0.99, 5.5, 8.0),
    "fast loss": Aim(0.98, 6.5),
    "stalled growth": Aim(0.80),
    "failing pregnancy": Aim(0.70),
    "fluid gain": Aim(0.70),
}


def weights(book: Knowledge, *, animals: int, say: Say) -> Found:
    """Every scenario with so many animals, and as many healthy ones twice."""
    say(f"weighing {animals * 2:,} healthy and {animals * len(world.ILL):,} ill invented animals")
    healthy = world.healthy_herd(animals * 2, SEED)
    ill = {name: world.ill_herd(name, animals, SEED) for name in world.ILL}
    well = engine_here.read(healthy, book)
    read = {name: engine_here.read(several, book) for name, several in ill.items()}
    say("running the rules and the all-knowing beside the engine")
    rules = [_ruled(rule, healthy, ill) for rule in RULES]
    ours = _ours(well, read)
    every = [*well, *chain.from_iterable(read.values())]
    lines = [_own_levels(well), *_doubts(every)]
    for name, several in ill.items():
        known = _known(name, healthy, several)
        lines += [
            _against_aim(name, ours[name]),
            _beside_rules(name, ours[name], rules),
            _beside_known(ours[name], _on_its_terms(name, well, read[name]), known, name),
        ]
    lines += [_rule_line(one) for one in rules]
    return Found(lines + speed.lines(book, say), [_note(animals), _rules_note(), speed.NOTE])


def _ours(well: Sequence[Read], read: dict[str, list[Read]]) -> dict[str, Caught]:
    bound = bound_for([one.scored for one in well], ALLOWED)
    return {name: caught([one.scored for one in those], bound) for name, those in read.items()}


def _known(name: str, healthy: Sequence[Lived], several: Sequence[Lived]) -> Caught:
    """What the all-knowing catches at as many false alarms among those that may have this."""
    rng = np.random.default_rng(SEED)
    numbers = [(one, all_knowing.scores(one, name, rng)) for one in healthy]
    bound = bound_for([Scored(one, score) for one, score in numbers if score is not None], ALLOWED)
    ill = [(one, all_knowing.scores(one, name, rng)) for one in several]
    return caught([Scored(one, score) for one, score in ill if score is not None], bound)


@dataclass(frozen=True)
class _Ruled:
    """A rule with its bound, the false alarms it gives and what it catches of each scenario."""

    rule: Rule
    bound: float
    alarms: float
    caught: dict[str, Caught]


def _ruled(rule: Rule, healthy: Sequence[Lived], ill: dict[str, list[Lived]]) -> _Ruled:
    well = [Scored(one, rule.scores(one)) for one in healthy]
    bound = bound_for(well, ALLOWED) if rule.bound is None else rule.bound
    found = {
        name: caught([Scored(one, rule.scores(one)) for one in several], bound)
        for name, several in ill.items()
    }
    return _Ruled(rule, bound, false_alarms(well, bound), found)


def _on_its_terms(name: str, well: Sequence[Read], ill: Sequence[Read]) -> Caught:
    """The engine with a bound as the all-knowing has it: for these animals alone."""
    among = all_knowing.LOOKED[name].among
    bound = bound_for([one.scored for one in well if one.scored.lived.scenario in among], ALLOWED)
    return caught([one.scored for one in ill], bound)


def _beside_rules(name: str, ours: Caught, rules: Sequence[_Ruled]) -> Line:
    fair = [one for one in rules if one.alarms <= ALLOWED * 1.02]
    best = min(fair, key=lambda one: one.caught[name].lost)
    verb = "gained" if name == "fluid gain" else "lost"
    return Line(
        f"{name}: best rule with as few false alarms, {best.rule.name}",
        f"{_words(best.caught[name])}; {verb} in all {best.caught[name].lost:.1f} %, "
        f"by the engine {ours.lost:.1f} %",
        "engine ahead",
        ours.lost <= best.caught[name].lost,
    )


def _beside_known(ours: Caught, alike: Caught, known: Caught, name: str) -> Line:
    late50, late90 = ours.days50 / known.days50, ours.days90 / known.days90
    alike50, alike90 = alike.days50 / known.days50, alike.days90 / known.days90
    return Line(
        f"{name}: the all-knowing",
        f"{_words(known)}; the engine takes {late50:.2f} times as long (90 %: {late90:.2f}), "
        f"on the same terms {alike50:.2f} ({alike90:.2f})",
        f"≤ {NO_LATER} times",
        late50 <= NO_LATER,
    )


def _against_aim(name: str, ours: Caught) -> Line:
    aim = AIMS.get(name)
    if aim is None:
        return Line(f"{name}: engine", _words(ours))
    wanted = [f"≥ {aim.share:.0%}"]
    met = ours.share >= aim.share
    if aim.lost50 is not None:
        wanted.append(f"≤ {aim.lost50} %")
        met = met and ours.lost50 <= aim.lost50
    if aim.lost90 is not None:
        wanted.append(f"90 %: ≤ {aim.lost90:.0f} %")
        met = met and ours.lost90 <= aim.lost90
    return Line(f"{name}: engine", _words(ours), ", ".join(wanted), met)


def _words(one: Caught) -> str:
    if not one.share:
        return "none caught"
    return (
        f"{one.share:.1%} caught after {one.days50:.0f} days (90 %: {one.days90:.0f}) "
        f"at {one.lost50:.1f} % (90 %: {one.lost90:.1f} %)"
    )


def _own_levels(well: Sequence[Read]) -> Line:
    alarms = false_alarms(engine_here.own_alarms(well), 1.0)
    return Line("false alarms of the engine at its own levels", f"{alarms:.2f} a healthy year")


def _doubts(several: Sequence[Read]) -> list[Line]:
    doubts = Doubts.of(several)
    return [
        Line(
            f"gross errors of 10 % or more asked for again, of {doubts.how_many_gross:,}",
            f"{doubts.gross:.1%}",
            f"≥ {GROSS_LEAST:.0%}",
            doubts.gross >= GROSS_LEAST,
        ),
        Line("smaller errors asked for again", f"{doubts.small:.0%}"),
        Line(
            f"good weighings asked for again, of {doubts.how_many_good:,}",
            f"{doubts.good:.2%}",
            f"≤ {GOOD_MOST:.0%}",
            doubts.good <= GOOD_MOST,
        ),
    ]


def _rule_line(one: _Ruled) -> Line:
    each = "; ".join(
        f"{name} {found.share:.0%}" + (f" at {found.lost50:.1f} %" if found.share else "")
        for name, found in one.caught.items()
    )
    bound = "" if one.rule.bound is not None else f" (bound set to {one.bound:.1f})"
    return Line(f"rule: {one.rule.name}{bound}", f"{one.alarms:.2f} false alarms a year; {each}")


def _note(animals: int) -> str:
    return (
        f"Weights: {animals:,} invented animals a scenario and {animals * 2:,} healthy ones "
        f"(benchmarks/weighed says how they live and are weighed; seed {SEED}; not the engine's "
        f"equations). All bounds give {ALLOWED} false alarms in a healthy animal-year; alarms of "
        "one animal within 28 days are one. Days and per cent are at the first alarm after it "
        "began, of those caught. In all: the mean over all animals, one not caught with the most "
        "it lost. The all-knowing has its own bound for each scenario, among the animals that may "
        "have it; the engine has one for all, and on the same terms one as the all-knowing has."
    )


def _rules_note() -> str:
    return (
        "Rules: each is told of a birth and begins anew after it. The first seven with the bounds "
        "they are used with, the others with the bound that gives the false alarms allowed; only "
        "those with as few false alarms are compared with the engine. The charts (EWMA, CUSUM) "
        "are told the usual scatter and are spared slips."
    )
