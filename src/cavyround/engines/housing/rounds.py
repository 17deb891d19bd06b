"""The order of the round, split over the people present, with the time each animal takes.

From the young and healthy through residents and quarantine to the sick. Each person goes only
onward in that order, so nobody comes back from the sick to the healthy.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.living import RoundGroup

# How many timed rounds of an animal weigh as much as what the whole herd says of it. Judgement.
HERD_COUNTS_AS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One pen of the round with the animals to be taken up in it; an empty ``pen`` for none."""

    group: str
    pen: str
    animals: tuple[str, ...]
    room: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """What one person does, in this order, and how long it takes in minutes.

    ``changes`` says before which stop what is changed or washed, in the knowledge's words.
    """

    person: str
    stops: tuple[Stop, ...]
    minutes: float
    changes: tuple[tuple[int, RoundGroup], ...]


def minutes_per_animal(
    timed: Mapping[str, Sequence[float]], animals: Sequence[str], book: Knowledge
) -> dict[str, float]:
    """How long each takes, learned from past rounds; interrupted ones say nothing.

    An animal that was timed seldom is taken to be as the herd, or, before any round was
    timed, as the knowledge says.
    """
    most = float(book.number("round_minutes_most"))
    sound = {one: [t for t in times if 0 < t <= most] for one, times in timed.items()}
    everything = [time for times in sound.values() for time in times]
    herd = median(everything) if everything else float(book.number("round_minutes_first"))
    return {one: _shrunk(sound.get(one, ()), herd) for one in animals}


def _shrunk(times: Sequence[float], herd: float) -> float:
    """On the log scale, so that one long sitting does not count for many short ones."""
    logs = sum(math.log(time) for time in times)
    return math.exp((HERD_COUNTS_AS * math.log(herd) + logs) / (HERD_COUNTS_AS + len(times)))


def in_order(stops: Sequence[Stop], book: Knowledge) -> tuple[Stop, ...]:
    """Stops by group in the order of the round; within a group as they came."""
    order = {group.group: place for place, group in enumerate(book.living.round)}
    return tuple(sorted(stops, key=lambda stop: order.get(stop.group, len(order))))


def split_round(
    stops: Sequence[Stop],
    people: Sequence[str],
    minutes: Mapping[str, float],
    *,
    book: Knowledge,
) -> tuple[Stretch, ...]:
    """Give each person one stretch of the round so that the longest is as short as can be.

    Pens are not split. The stretches keep the order of the round, so only the last people
    come to the sick, and they began the nearest to them.
    """
    ordered = in_order(stops, book)
    times = [sum(minutes[animal] for animal in stop.animals) for stop in ordered]
    ends = _cuts(times, max(1, len(people)))
    stretches, began = [], 0
    for person, end in zip(people, ends, strict=True):
        own = ordered[began:end]
        stretches.append(
            Stretch(
                person=person,
                stops=own,
                minutes=sum(times[began:end]),
                changes=_changes(own, book),
            )
        )
        began = end
    return tuple(stretches)


def _cuts(times: Sequence[float], parts: int) -> list[int]:
    """Where each part ends, the longest part being as short as can be (exact)."""
    total = [0.0]
    for time in times:
        total.append(total[-1] + time)
    count = len(times)
    longest = [total[end] for end in range(count + 1)]
    cut = [[0] * (count + 1)]
    for _ in range(parts - 1):
        best, where = [], []
        for end in range(count + 1):
            at = min(range(end + 1), key=lambda k: max(longest[k], total[end] - total[k]))
            best.append(max(longest[at], total[end] - total[at]))
            where.append(at)
        longest, cut = best, [*cut, where]
    ends = [count]
    for part in range(parts - 1, 0, -1):
        ends.append(cut[part][ends[-1]])
    return ends[::-1]


def _changes(stops: Sequence[Stop], book: Knowledge) -> tuple[tuple[int, RoundGroup], ...]:
    groups = {group.group: group for group in book.living.round}
    return tuple(
        (place, groups[stop.group])
        for place, stop in enumerate(stops)
        if stop.group in groups and (place == 0 or stops[place - 1].group != stop.group)
    )
