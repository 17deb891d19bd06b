"""The five levels of urgency, from nothing found to a vet now."""

from enum import IntEnum


class Urgency(IntEnum):
    """How soon a vet must see the animal; a higher value is more urgent.

    The order is part of the meaning: the urgency of an animal is the highest
    of all that fired, and a finding that fails its recheck goes up one.
    """

    NORMAL = 0
    CARER_RECHECK = 1
    VET_DAYS = 2
    VET_24H = 3
    EMERGENCY = 4

    @property
    def code(self) -> str:
        """The lower-case code used in files, tables and answers."""
        return self.name.lower()

    @classmethod
    def from_code(cls, code: str) -> "Urgency":
        """Read a code such as ``vet_24h``; raises KeyError for an unknown one."""
        return cls[code.upper()]

    def one_up(self) -> "Urgency":
        """The next level; an emergency stays one."""
        return Urgency(min(self + 1, Urgency.EMERGENCY))
