"""The sweep against networkx on a graph unrolled in time, tick by tick, on random herds."""

from datetime import timedelta

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st

from cavyround.engines.contagion.presences import FOREVER, Lasts, Presence, Way, presences_of
from cavyround.engines.contagion.reach import Catching, reach
from cavyround.facts.stays import SharedUse, Stay
from tests.engines.contagion.made import ANIMALS, DAY0, DAYS, day, stays_of_a_herd, uses_of_a_herd

# Half days, so that what is left behind on a whole day can lie between two.
TICKS = [number / 2 for number in range(2 * (DAYS + 6))]
LASTS = Lasts(pen=timedelta(days=2), things=timedelta(days=1), hands=timedelta(hours=12))


def brute(
    stays: list[Stay], uses: list[SharedUse], case: str, since: float, ways: frozenset[Way]
) -> dict[str, float]:
    """Earliest arrival by breadth over (animal, tick) and (place left behind, tick)."""
    graph = nx.DiGraph()
    presences = presences_of(stays, uses, LASTS)
    for animal in ANIMALS:
        nx.add_path(graph, [(animal, tick) for tick in TICKS])
    for index, one in enumerate(presences):
        for other in presences:
            if one.place == other.place and one.animal != other.animal:
                _join(graph, index, one, other, ways)
    reached = nx.descendants(graph, (case, since)) | {(case, since)}
    found: dict[str, float] = {}
    for node in reached:
        if node[0] in ANIMALS:
            found[node[0]] = min(node[1], found.get(node[0], node[1]))
    return found


def _there(one: Presence, tick: float) -> bool:
    if one.is_moment:
        return one.since == day(tick)
    return one.since <= day(tick) < one.until


def _join(
    graph: "nx.DiGraph", index: int, one: Presence, other: Presence, ways: frozenset[Way]
) -> None:
    if one.together in ways and not one.is_moment:
        for tick in TICKS:
            if _there(one, tick) and _there(other, tick):
                graph.add_edge((one.animal, tick), (other.animal, tick))
    if one.after in ways and one.until < FOREVER:
        starts = [tick for tick in TICKS if day(tick) == other.since]
        last = [tick for tick in TICKS if _there(one, tick)][-1]
        for tick in starts:
            if one.until <= other.since < one.until + one.lasts:
                # Whoever carries it at its last tick there leaves it behind.
                graph.add_edge((one.animal, last), (f"left {index}", tick))
                graph.add_edge((f"left {index}", tick), (other.animal, tick))


def by_day(found: dict[str, float]) -> dict[str, timedelta]:
    return {animal: timedelta(days=tick) for animal, tick in found.items()}


ALL = frozenset(Way)
SOME = st.one_of(
    st.just(ALL),
    st.just(frozenset({Way.PEN, Way.RUN})),
    st.frozensets(st.sampled_from(list(Way)), min_size=1),
)


@settings(max_examples=300)
@given(stays_of_a_herd(), uses_of_a_herd(), st.sampled_from(ANIMALS), st.integers(0, 5), SOME)
def test_who_is_reached_and_when_is_what_a_graph_unrolled_in_time_says(
    stays: list[Stay], uses: list[SharedUse], case: str, since: int, ways: frozenset[Way]
) -> None:
    found = reach(
        presences_of(stays, uses, LASTS), [Catching(animal=case, since=day(since))], ways=ways
    )
    ours = {animal: one.at - DAY0 for animal, one in found.items()}
    assert ours == by_day(brute(stays, uses, case, since, ways))
