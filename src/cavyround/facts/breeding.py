"""What bears on breeding: sexings, castrations, births, litters, what was felt, as values."""

from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum

from cavyround.facts.animal import Born, Known, Sex, Weighing


class Sure(StrEnum):
    """How sure a sexing is."""

    SURE = "sure"
    TWO_PEOPLE = "two_people"
    LIKELY = "likely"
    TOLD = "told"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sexing:
    """One look at the sex of an animal: what was said, how sure, when and by whom."""

    sex: Sex
    sure: Sure
    at: datetime
    by: str
    how: str = ""
    id: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Felt:
    """Pups felt, seen to move, or seen by the vet on a day; ``pups`` where they were counted."""

    on: date
    moving: bool = False
    sure: bool = True
    pups: int | None = None
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidPregnant:
    """Somebody stated on a day whether she is pregnant, perhaps with a day of birth."""

    on: date
    pregnant: Known
    due_from: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MetBefore:
    """Company of the other sex that was told of, ended ``until``; ``since`` None: nobody knows."""

    until: date
    since: date | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Away:
    """A time elsewhere between two comings, of which nobody here knows whom it met."""

    since: date | None
    until: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Breeder:
    """One animal as far as breeding goes. Unknown counts as possible, never as no.

    ``castrated_on`` is the day a boar was castrated; None where it is not known.
    ``first_seen_on`` is when it came or was born here: before that only ``met`` is known.
    ``away`` are times elsewhere since, adopted and returned for one.
    ``litters_before`` None: nobody knows whether she had any.
    """

    id: str
    name: str = ""
    sex: Sex = Sex.UNKNOWN
    sure: Sure = Sure.UNKNOWN
    neutered: Known = Known.UNKNOWN
    castrated_on: date | None = None
    born: Born = field(default_factory=Born)
    born_here: bool = False
    first_seen_on: date | None = None
    sexings: tuple[Sexing, ...] = ()
    met: tuple[MetBefore, ...] = ()
    away: tuple[Away, ...] = ()
    births: tuple[date, ...] = ()
    litters_before: int | None = None
    said: tuple[SaidPregnant, ...] = ()
    felt: tuple[Felt, ...] = ()
    weighings: tuple[Weighing, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LitterFacts:
    """A litter: its mother, the day, how many were born and lived, and those with a name."""

    dam: str
    born_on: date
    born_alive: int | None = None
    born_dead: int | None = None
    pups: tuple[str, ...] = ()
    id: str = ""
