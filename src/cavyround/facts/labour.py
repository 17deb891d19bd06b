"""What was seen of a birth, as values: when it began, when each pup came, what is wrong."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class Seen(StrEnum):
    """One thing that is seen of a sow in labour. A sign of the knowledge goes by its own id."""

    PUP_ALIVE = "pup_alive"
    PUP_DEAD = "pup_dead"
    PUP = "pup"
    RESTS = "rests"
    STRAINS = "strains"
    SINCE = "since"
    SIGN = "sign"
    VET_RUNG = "vet_rung"


PUPS = frozenset({Seen.PUP_ALIVE, Seen.PUP_DEAD, Seen.PUP})


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourSeen:
    """One thing seen at a moment. ``at`` None only of a start that is not known.

    ``sign`` names a sign of the knowledge where ``what`` is one.
    """

    what: Seen
    at: datetime | None
    sign: str = ""
    id: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourFacts:
    """One labour: since when she strains (None: nobody knows), when that was noticed, and the rest.

    What was taken back is left out by whoever makes this.
    """

    since: datetime | None
    noticed_at: datetime
    seen: tuple[LabourSeen, ...] = ()

    @property
    def began(self) -> datetime | None:
        """Since when she strains by the last word on it; None where nobody knows."""
        said = [one.at for one in self.seen if one.what is Seen.SINCE]
        return said[-1] if said else self.since

    @property
    def pups_at(self) -> tuple[datetime, ...]:
        """When each pup came, in order."""
        came = (one.at for one in self.seen if one.what in PUPS and one.at is not None)
        return tuple(sorted(came))

    def count(self, *what: Seen) -> int:
        """How many of these were seen."""
        return sum(one.what in what for one in self.seen)
