"""Nobody ends a quarantine before those whose pen or air it shares."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """Another animal in quarantine that is still met, and the day its own clock ends."""

    other: str
    ends_on: date


def held_by(ends: Mapping[str, date], beside: Mapping[str, Collection[str]]) -> dict[str, Beside]:
    """By animal: the last to end of those it is held by, directly or through others.

    ``ends`` is when each would end by itself, ``beside`` whom it meets now. Only who is held
    longer than it would stay anyhow is named.
    """
    found: dict[str, Beside] = {}
    for animal, own in ends.items():
        reached, waiting = {animal}, [animal]
        while waiting:
            for other in beside.get(waiting.pop(), ()):
                if other in ends and other not in reached:
                    reached.add(other)
                    waiting.append(other)
        last = min(reached, key=lambda other: (-ends[other].toordinal(), other))
        if ends[last] > own:
            found[animal] = Beside(other=last, ends_on=ends[last])
    return found
