"""What the engine says of one due dose, and of a whole course."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from cavyround.engines.courses.planning import Place
from cavyround.facts.courses import Course, GivenDose, Outcome


class State(StrEnum):
    """How one due dose stands."""

    TO_COME = "to_come"
    DUE = "due"
    LATE = "late"
    MISSED = "missed"
    GIVEN = "given"
    PARTLY = "partly"
    STOPPED = "stopped"


STATE_WORDS = {
    State.TO_COME: "to come",
    State.DUE: "due",
    State.LATE: "late",
    State.MISSED: "missed",
    State.GIVEN: "given",
    State.PARTLY: "partly given",
    State.STOPPED: "stopped",
}


WAITING = frozenset({State.TO_COME, State.DUE, State.LATE})


class Act(StrEnum):
    """What is to be done about a dose now, by the order's own words."""

    NOTHING = "nothing"
    GIVE = "give"
    GIVE_REST = "give_rest"
    GIVE_AGAIN = "give_again"
    ASK_VET = "ask_vet"


GIVES = frozenset({Act.GIVE, Act.GIVE_REST, Act.GIVE_AGAIN})


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """One due dose: its window, what was done, how it stands, and what the order says now.

    ``missed_at`` is None where it is never missed. ``tries`` are all entries that answer
    it. ``doubts`` are what does not fit, in words, and are always for the vet.
    ``moves_plan``: it was given late, and the order counts the next from it.
    """

    place: Place
    opens_at: datetime
    late_at: datetime
    missed_at: datetime | None
    state: State
    act: Act
    says: str = ""
    tries: tuple[GivenDose, ...] = ()
    doubts: tuple[str, ...] = ()
    moves_plan: bool = False

    @property
    def number(self) -> int:
        """Which dose of the course; the first is 1."""
        return self.place.number

    @property
    def day(self) -> date:
        """The civil day it is due."""
        return self.place.day

    @property
    def due_at(self) -> datetime:
        """The due moment; the beginning of the day where any time will do."""
        return self.place.due_at

    @property
    def is_open(self) -> bool:
        """Whether it is still to be dealt with now."""
        return self.act is not Act.NOTHING

    @property
    def is_waiting(self) -> bool:
        """Whether it may still be given: to come, due, late, or what is left of it."""
        return self.wants_giving or self.state in WAITING

    @property
    def wants_giving(self) -> bool:
        """Whether something is to be given now."""
        return self.act in GIVES

    @property
    def given_at(self) -> datetime | None:
        """When something last went in for it."""
        return max((dose.at for dose in self.tries if dose.went_in), default=None)

    @property
    def was_given(self) -> bool:
        """Whether a whole dose went in."""
        return any(dose.outcome is Outcome.GIVEN for dose in self.tries)


class Phase(StrEnum):
    """How a course stands. Only ``FINISHED`` is finished: checked again and clear."""

    RUNNING = "running"
    TO_LOOK_AGAIN = "to_look_again"
    NOT_CLEAR = "not_clear"
    FINISHED = "finished"
    STOPPED = "stopped"


PHASE_WORDS = {
    Phase.RUNNING: "running",
    Phase.TO_LOOK_AGAIN: "all doses done, to be looked at again",
    Phase.NOT_CLEAR: "not clear: ask the vet",
    Phase.FINISHED: "finished",
    Phase.STOPPED: "stopped",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class LookAgain:
    """The look that ends a course: on which day, which of how many, what to look for, and why."""

    on: date
    which: int
    of: int
    words: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseDue:
    """A course as it stands at one moment.

    ``slots`` are all doses that have fallen due and the next one. ``left`` counts the doses
    not yet given, missed or left out; None where only the vet can end it. ``outside`` are
    doses that belong to no due dose. ``doubts`` are for the vet.
    """

    course: Course
    phase: Phase
    slots: tuple[Slot, ...]
    left: int | None
    look_again: LookAgain | None = None
    outside: tuple[GivenDose, ...] = ()
    doubts: tuple[str, ...] = ()

    @property
    def next(self) -> Slot | None:
        """The dose to be given or asked about now, or else the next to come."""
        last = self.slots[-1] if self.slots else None
        return last if last is not None and last.is_waiting else None

    @property
    def given(self) -> int:
        """How many whole doses went in for due doses."""
        return sum(slot.was_given for slot in self.slots)

    @property
    def missed(self) -> int:
        """How many were missed."""
        return sum(slot.state is State.MISSED for slot in self.slots)
