"""What is known of an outbreak, and what is said of it, as values."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from cavyround.engines.contagion.cases import Case, CaseWindow
from cavyround.engines.contagion.presences import Cleaned
from cavyround.engines.contagion.settings import (
    Watch,
)
from cavyround.engines.contagion.tracing import Traced
from cavyround.facts.stays import SharedUse, Stay
from cavyround.knowledge.contagion import OutbreakKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """An animal that left: when, how (the code of the departure), and to whom."""

    on: date
    how: str
    to: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OutbreakFacts:
    """What is known of one outbreak.

    ``left`` are the animals that are no longer here or in a foster home, ``looked`` the
    moments at which each animal was looked at and clear, ``signs`` when one was seen of which
    nobody has said yet whether the animal is a case, ``apart`` those that stand in isolation,
    ``said`` what people said was done, by its code.
    """

    kind: OutbreakKind
    cases: tuple[Case, ...]
    stays: Sequence[Stay]
    uses: Sequence[SharedUse] = ()
    left: Mapping[str, Left]
    looked: Mapping[str, Sequence[datetime]]
    signs: Mapping[str, datetime] = field(default_factory=dict)
    apart: frozenset[str] = frozenset()
    cleaned: Cleaned = field(default_factory=dict)
    said: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckDay:
    """A day on which an exposed animal is looked at; ``done`` on or after it and before the next.

    A day whose look was left out stays open until a later look: late is better than never.
    """

    animal: str
    on: date
    done: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One thing to do, and for which animals, each with a word of its own."""

    code: str
    words: str
    animals: tuple[tuple[str, str], ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """One condition of closing; ``what`` says what is missing where it is not met."""

    code: str
    words: str
    by_person: bool
    met: bool
    what: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OutbreakStands:
    """Where an outbreak stands at a moment; ``asked`` are the exposed with a sign, and since when.

    Of those nobody has said yet whether they are cases: no look frees them.
    """

    traced: Traced
    windows: tuple[CaseWindow, ...]
    watch: Watch
    check_days: tuple[CheckDay, ...]
    asked: Mapping[str, date]
    tasks: tuple[Task, ...]
    conditions: tuple[Condition, ...]

    @property
    def may_close(self) -> bool:
        """Whether every condition is met."""
        return all(one.met for one in self.conditions)
