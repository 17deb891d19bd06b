"""What the dosing engine says: a dose with all it rests on, or a refusal with all its reasons."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from enum import StrEnum
from typing import Literal, Self

from cavyround.engines.dosing.given import SetAside
from cavyround.facts.quantities import Active, Drops, Mass, Pieces, Volume
from cavyround.facts.saying_amounts import number_words, strength_words
from cavyround.facts.strengths import Strength
from cavyround.knowledge.sureness import May, Sure

Measured = Volume | Mass | Drops | Pieces
AT = " at "
PLAIN = re.compile(r"[0-9]+(\.[0-9]+)?", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One reason against a dose: what, what to do, and who may decide otherwise.

    ``about`` tells apart two reasons of one code (two dangers, order's and formulary's limit).
    ``of`` names the weighing it was found in, or the side a dose lies on. ``at`` is the
    value it was found at and ``worse`` the way in which that gets worse: who sets it aside
    has decided about this weighing, at this value, and about none that is worse.
    """

    code: str
    words: str
    do: str
    may: May
    about: str = ""
    sources: tuple[str, ...] = ()
    of: str = ""
    at: Decimal | None = None
    worse: Literal["more", "less"] = "more"

    @property
    def key(self) -> str:
        """The code with what it is about and at which value: what a setting aside must name."""
        return self._base if self.at is None else f"{self._base}{AT}{_plain(self.at)}"

    @property
    def what(self) -> str:
        """The code with what it is about, at whatever value."""
        return f"{self.code}:{self.about}" if self.about else self.code

    @property
    def _base(self) -> str:
        return f"{self.what} of {self.of}" if self.of else self.what

    def is_covered_by(self, key: str) -> bool:
        """Whether what was set aside under ``key`` is this reason, and this is no worse."""
        if self.at is None:
            return key == self.key
        base, _, value = key.rpartition(AT)
        if base != self._base or not PLAIN.fullmatch(value):
            return False
        # The key holds the value as it is shown: both are compared so.
        now, then = Decimal(_plain(self.at)), Decimal(value)
        return now <= then if self.worse == "more" else now >= then


def _plain(number: Decimal) -> str:
    return number_words(number).replace(",", "")


_WHO = {"nobody": 0, "vet": 1, "carer": 2, "said": 3}


def in_order(reasons: Iterable[Reason]) -> tuple[Reason, ...]:
    """Each reason once, what nobody may set aside first; the order they were found in is lost."""
    return tuple(
        sorted(set(reasons), key=lambda one: (_WHO[one.may], one.key, one.words, one.sources))
    )


class Direction(StrEnum):
    """Which way a dose was rounded to a mark."""

    EXACT = "exact"
    UP = "up"
    DOWN = "down"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """What to draw up, weigh out, count or put on.

    ``to`` is the amount at the mark, ``device`` the syringe in words (empty for drops and
    pieces), ``words`` the whole of it. ``error_pct`` is how far the mark lies from the
    dose, more than nought for too much.
    """

    to: Measured
    words: str
    device: str = ""
    device_words: str = ""
    error_pct: Decimal = Decimal(0)
    direction: Direction = Direction.EXACT


@dataclass(frozen=True, slots=True, kw_only=True)
class Dilution:
    """How to thin a strong liquid so that the dose can be measured. One part in ``factor``.

    ``stock`` is what is taken of the strong liquid itself; what is not used is thrown away.
    """

    factor: Decimal
    strength: Strength
    steps: tuple[str, ...]
    volume: Volume
    measure: Measure
    diluent: str
    stock: Volume

    @property
    def then_words(self) -> str:
        """The last step with its strength: never to be taken for a mark of the strong liquid."""
        return f"of the thinned liquid ({strength_words(self.strength)}) {self.measure.words}"


class Verdict(StrEnum):
    """How a dose compares with what is published. Only what was seen can make it INSIDE."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    UNVERIFIED = "unverified"
    NONE_KNOWN = "no_range_known"


class Standing(StrEnum):
    """Where a dose lies against one published range."""

    BELOW = "below"
    INSIDE = "inside"
    ABOVE = "above"


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedRange:
    """One published range and where the dose lies. ``often`` compares the time between doses."""

    words: str
    standing: Standing
    often: str
    sure: Sure
    note: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """The dose against all published ranges, each kept apart."""

    verdict: Verdict
    words: str
    ranges: tuple[ComparedRange, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """Something to know with a dose; no reason against it."""

    words: str
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightUsed:
    """The weighing a dose rests on, with its age and trend in words."""

    grams: Decimal
    at: datetime
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Dose:
    """A dose worked out. ``active`` is the drug ordered; None where only a volume is.

    ``volume`` is the product before rounding (and before thinning), ``gives`` the drug
    that really goes in at the mark. ``second_person`` lists why two people work it out;
    empty: one is enough. ``instead`` is a dilution that would measure it better, ``traps``
    what is known to go wrong with this medicine's units and labels.
    """

    order: str
    animal: str
    drug: str
    route_words: str
    weight: WeightUsed | None
    active: Active | None
    amount_words: str
    product: Measured
    measure: Measure
    gives_words: str
    by_hand: str
    published: Comparison
    dilution: Dilution | None = None
    instead: Dilution | None = None
    cautions: tuple[Caution, ...] = ()
    traps: tuple[Caution, ...] = ()
    second_person: tuple[str, ...] = ()
    controlled: bool = False
    withdrawal_words: str = ""
    set_aside: tuple[tuple[Reason, SetAside], ...] = ()
    knowledge_version: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """Why nothing is to be given: every reason, not only the first.

    ``offered`` is a dilution that would make a too small dose measurable, once the vet
    says with what. ``set_aside`` are reasons somebody rightly set aside already.
    """

    order: str
    animal: str
    drug: str
    reasons: tuple[Reason, ...]
    offered: Dilution | None = None
    set_aside: tuple[tuple[Reason, SetAside], ...] = ()
    knowledge_version: str = ""

    @property
    def codes(self) -> tuple[str, ...]:
        """The codes of all reasons."""
        return tuple(reason.code for reason in self.reasons)


@dataclass(slots=True)
class Findings:
    """What is collected on the way to a dose: reasons against it, cautions, second checks."""

    reasons: list[Reason] = field(default_factory=list)
    cautions: list[Caution] = field(default_factory=list)
    second: list[str] = field(default_factory=list)

    def add(self, other: Self) -> None:
        """Take over all that another part found."""
        self.reasons += other.reasons
        self.cautions += other.cautions
        self.second += other.second

    def has(self, code: str) -> bool:
        """Whether a reason of this code was found."""
        return any(reason.code == code for reason in self.reasons)

    def say(self, words: str, sources: tuple[str, ...] = ()) -> None:
        """Keep a caution."""
        self.cautions.append(Caution(words=words, sources=sources))
