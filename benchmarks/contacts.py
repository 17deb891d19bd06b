"""Contact tracing over many stays beside networkx on the same work, in one run."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from random import Random

import networkx as nx

from benchmarks.report import Found, Line
from benchmarks.timing import once
from cavyround.engines.contagion.presences import Lasts, Way, presences_of
from cavyround.engines.contagion.reach import Catching, reach
from cavyround.facts.stays import Stay

SEED = 1932
DAY0 = datetime(2020, 1, 1, tzinfo=UTC)
STAYS_EACH = 5
PENS, ROOMS = 2_000, 100
NO_TIME = timedelta()
LASTS = Lasts(pen=NO_TIME, things=NO_TIME, hands=NO_TIME)
WAYS = frozenset({Way.PEN, Way.AIR})


def contacts(stays: int) -> Found:
    """Who was reached from one case through all these stays, by pens and shared air."""
    herd = _herd(stays)
    case = Catching(animal="a0", since=DAY0)
    ours: dict[str, datetime] = {}
    theirs: dict[str, datetime] = {}

    def sweep() -> None:
        found = reach(presences_of(herd, (), LASTS), [case], ways=WAYS)
        ours.update({name: one.at for name, one in found.items()})

    def unrolled() -> None:
        theirs.update(_by_networkx(herd, "a0"))

    seconds, beside = min(once(sweep) for _ in range(3)), once(unrolled)
    if ours != theirs:
        msg = "the sweep and networkx do not agree"
        raise AssertionError(msg)
    lines = [
        Line(f"who was reached, {stays:,} stays", f"{seconds:.2f} s"),
        Line("the same by networkx, unrolled in time", f"{beside:.2f} s"),
        Line("networkx to ours", f"{beside / seconds:.1f} times"),
    ]
    note = (
        f"Contacts: {stays:,} stays of {stays // STAYS_EACH:,} animals in {PENS:,} pens of {ROOMS} "
        f"rooms over three years, from one case, by pens and shared air; {len(ours):,} reached, "
        "with the same earliest moments both ways. networkx: a node for every room at every moment "
        "somebody comes or goes, then a search; making the graph is counted in, as our presences "
        "are. Ours carries ways, places and who passed it on as well; theirs only when."
    )
    return Found(lines, [note])


def _herd(stays: int) -> list[Stay]:
    random = Random(SEED)  # noqa: S311 -- invention, no secret
    made = []
    for number in range(stays // STAYS_EACH):
        at = DAY0 + timedelta(hours=random.randrange(24 * 900)) if number else DAY0
        for _ in range(STAYS_EACH):
            pen = random.randrange(PENS)
            until = at + timedelta(hours=random.randrange(24, 24 * 60))
            made.append(
                Stay(
                    animal=f"a{number}",
                    pen=str(pen),
                    room=str(pen % ROOMS),
                    began_at=at,
                    ended_at=until,
                )
            )
            at = until
    return made


def _by_networkx(herd: Sequence[Stay], case: str) -> dict[str, datetime]:
    """A node for every room at every moment somebody comes or goes, then a search.

    Everybody in a room shares its air, so one that has it gives it to all there at once: a room
    stays caught from one change to the next as long as one of those there stays on.
    """
    rooms: dict[str, list[Stay]] = defaultdict(list)
    own: dict[str, list[Stay]] = defaultdict(list)
    for stay in herd:
        rooms[stay.room].append(stay)
        own[stay.animal].append(stay)
    graph: nx.DiGraph = nx.DiGraph()
    changes = {room: sorted(_moments(stays)) for room, stays in rooms.items()}
    for room, stays in rooms.items():
        at = changes[room]
        index = {moment: number for number, moment in enumerate(at)}
        goes_on = [0] * (len(at) + 1)
        for stay in stays:
            # There at both of two changes: it carries it over.
            goes_on[index[stay.began_at]] += 1
            goes_on[index[_end(stay)] - 1] -= 1
        carried = 0
        for number, (earlier, later) in enumerate(pairwise(at)):
            carried += goes_on[number]
            if carried:
                graph.add_edge((room, earlier), (room, later))
    for stays in own.values():
        for stay, following in pairwise(stays):
            at = changes[stay.room]
            last = at[bisect_left(at, _end(stay)) - 1]
            graph.add_edge((stay.room, last), (following.room, following.began_at))
    start = (own[case][0].room, DAY0)
    caught = defaultdict(list)
    for room, moment in nx.descendants(graph, start) | {start}:
        caught[room].append(moment)
    for moments in caught.values():
        moments.sort()
    return _earliest(own, caught)


def _moments(stays: Sequence[Stay]) -> set[datetime]:
    return {stay.began_at for stay in stays} | {_end(stay) for stay in stays}


def _end(stay: Stay) -> datetime:
    return stay.ended_at or stay.began_at


def _earliest(own: dict[str, list[Stay]], caught: dict[str, list[datetime]]) -> dict[str, datetime]:
    """An animal caught it at the first caught moment of a room in which it stood."""
    reached = {}
    for animal, stays in own.items():
        for stay in stays:
            moments = caught[stay.room]
            number = bisect_left(moments, stay.began_at)
            if number < len(moments) and moments[number] < _end(stay):
                reached[animal] = moments[number]
                break
    return reached
