"""What a vet ordered and what stands on the shelf: the values a dose is worked out from.

Nothing is computed without an order. What could not be read stays in the order as
:class:`NotRead`, so that the refusal can say it in words.
"""

from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal

from cavyround.facts.quantities import DropSize
from cavyround.facts.reading_amounts import NotRead
from cavyround.facts.schedules import Length, Schedule
from cavyround.facts.strengths import DosePer, Mix, Strength


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """For which animals the vet said no. None and False: the order does not say."""

    not_under_g: Decimal | None = None
    not_over_g: Decimal | None = None
    not_under_days: int | None = None
    not_over_days: int | None = None
    not_pregnant: bool = False
    not_nursing: bool = False

    def __post_init__(self) -> None:
        """Refuse limits that are no numbers, and those between which no animal fits."""
        under, over = self.not_under_g, self.not_over_g
        if any(limit is not None and not limit.is_finite() for limit in (under, over)):
            msg = "a limit of weight is a number"
            raise ValueError(msg)
        if under is not None and over is not None and over < under:
            msg = f"no animal is both at least {under} g and at most {over} g"
            raise ValueError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """A medicine ordered by a vet.

    ``drug`` is the name as ordered; ``vet`` who ordered it, ``entered_by`` who wrote it
    down on the vet's word. ``animals`` holds the ids it is for; a ``standing`` order is for
    whoever fits it, and then ``animals`` may be empty. ``strength`` and ``counted_as``
    (which part of a combined product the dose counts) are the order's own; the product
    must agree. ``diluent`` is what the vet allows it to be thinned with, empty where
    nothing was said.
    """

    id: str
    drug: str
    vet: str
    ordered_at: datetime | None
    why: str
    dose: DosePer | Mix | NotRead
    route: str
    schedule: Schedule | None
    animals: frozenset[str] = frozenset()
    standing: bool = False
    entered_by: str = ""
    strength: Strength | NotRead | None = None
    counted_as: str = ""
    diluent: str = ""
    limits: Limits = field(default_factory=Limits)
    withdrawal: Length | None = None
    stopped_at: datetime | None = None

    def is_for(self, animal: str) -> bool:
        """Whether the order names the animal, or stands for all that fit."""
        return self.standing or animal in self.animals


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """What is on the label: drug, strength, what else is in it.

    ``contains`` names every active part where there is more than one. ``drop`` is the
    size of its drops and ``g_per_ml`` the density of a paste, where the label states them.
    ``use_within`` is how long it may be used once opened.
    """

    id: str
    name: str
    drug: str
    strength: Strength | NotRead | None = None
    contains: tuple[str, ...] = ()
    counted_as: str = ""
    drop: DropSize | NotRead | None = None
    g_per_ml: Decimal | None = None
    use_within: Length | None = None

    def __post_init__(self) -> None:
        """Refuse a paste without weight."""
        if self.g_per_ml is not None and not (self.g_per_ml.is_finite() and self.g_per_ml > 0):
            msg = "a density is more than nought"
            raise ValueError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """One bottle or box. None: nobody knows. ``strength`` is what this very label says."""

    id: str
    product: str
    expires_on: date | None = None
    opened_on: date | None = None
    strength: Strength | NotRead | None = None
