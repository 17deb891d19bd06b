"""Who is to be housed, and what is known between two animals, as values."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from cavyround.facts.breeding import Breeder
from cavyround.facts.observation import Codes


class Health(StrEnum):
    """As far as it decides where an animal may live."""

    WELL = "well"
    QUARANTINE = "quarantine"
    WATCHED = "watched"
    SICK = "sick"
    ISOLATED = "isolated"


HEALTH_WORDS = {
    Health.WELL: "well",
    Health.QUARANTINE: "in quarantine",
    Health.WATCHED: "exposed to something catching and watched",
    Health.SICK: "ill, not known to be catching",
    Health.ISOLATED: "ill with something catching, or suspected",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Lodger:
    """One animal to be housed.

    ``pen`` is where it lives now, empty if nowhere. ``cohort`` names those in quarantine
    that came together, or are watched in one pen. ``apart_because`` says why it is kept apart
    and until when. ``infections`` are what it has or may have; empty with
    ``Health.ISOLATED``: nobody knows which. ``sucks_from`` is its mother while it is not
    weaned. ``alone_because`` says why it may live alone; empty: it needs company.
    ``keeps_alone`` says that it is to live alone for that: nobody is put with it.
    ``alone_told`` is what is written down of why it lives alone though it needs company.
    """

    breeder: Breeder
    pen: str = ""
    grams: Decimal | None = None
    health: Health = Health.WELL
    cohort: str = ""
    apart_because: str = ""
    infections: Codes = frozenset()
    expecting_until: date | None = None
    dam: str = ""
    sucks_from: str = ""
    alone_because: str = ""
    keeps_alone: bool = False
    alone_told: str = ""

    @property
    def id(self) -> str:
        """Its id."""
        return self.breeder.id

    @property
    def name(self) -> str:
        """Its name, or its id where it has none."""
        return self.breeder.name or self.breeder.id

    @property
    def is_kept_apart(self) -> bool:
        """Whether it lives only with those of its own quarantine, or exposed with it."""
        return self.health in (Health.QUARANTINE, Health.WATCHED)

    @property
    def health_words(self) -> str:
        """Its health in words, with why and until when it is kept apart."""
        because = f": {self.apart_because}" if self.apart_because else ""
        return f"{HEALTH_WORDS[self.health]}{because}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bonded:
    """Two that belong together, since a day."""

    one: str
    other: str
    since: date | None = None

    @property
    def pair(self) -> frozenset[str]:
        """Both."""
        return frozenset({self.one, self.other})


@dataclass(frozen=True, slots=True, kw_only=True)
class Quarrel:
    """Two that fought on a day; ``never`` says that they are not to meet again (blood counts)."""

    one: str
    other: str
    on: date
    blood: bool = False
    never: bool = False
    words: str = ""

    @property
    def pair(self) -> frozenset[str]:
        """Both."""
        return frozenset({self.one, self.other})


@dataclass(frozen=True, slots=True, kw_only=True)
class Ties:
    """What is known between animals."""

    bonds: tuple[Bonded, ...] = ()
    quarrels: tuple[Quarrel, ...] = ()
