"""One course on one line: how far it is, what is next, and whether anything is amiss."""

from dataclasses import dataclass

from cavyround.advice.medicines.running import RunningCourse
from cavyround.engines.courses import PHASE_WORDS, Phase, Slot, State

AMISS = frozenset({State.LATE, State.MISSED})


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseLine:
    """What a list says of a course."""

    running: RunningCourse
    phase: str
    next: str
    amiss: str = ""


def line_of(running: RunningCourse) -> CourseLine:
    """A course on one line."""
    due = running.due
    return CourseLine(
        running=running,
        phase=PHASE_WORDS[due.phase],
        next=next_words(running),
        amiss=_amiss(running),
    )


def next_words(running: RunningCourse) -> str:
    """``dose 2 of 4 is due``, ``dose 3 to come on 12 March``, ``look again on 4 April``."""
    due = running.due
    if due.phase in (Phase.FINISHED, Phase.STOPPED):
        return ""
    if due.look_again is not None:
        on = due.look_again.on
        return f"look again on {on.day} {on:%B %Y}: {due.look_again.words}"
    slot = due.next
    if slot is None:
        return ""
    return f"{dose_words(running, slot)}: {slot_words(slot)}"


def dose_words(running: RunningCourse, slot: Slot) -> str:
    """``dose 2 of 4``; without the whole number where only the vet can end it."""
    doses = running.course.schedule.ends.doses
    what = "dose" if running.course.is_medicine else "time"
    return f"{what} {slot.number}" + (f" of {doses}" if doses else "")


def slot_words(slot: Slot) -> str:
    """When it is due, and how it stands."""
    day = f"{slot.day.day} {slot.day:%B}"
    at = "" if slot.place.any_time or slot.place.at is None else f", {slot.place.at:%H:%M}"
    match slot.state:
        case State.TO_COME:
            return f"to come on {day}{at}"
        case State.DUE:
            return f"due {day}{at}"
        case State.LATE:
            return f"late, was due {day}{at}"
        case State.MISSED:
            return f"missed, was due {day}{at}"
        case _:
            return f"{slot.state.replace('_', ' ')}, {day}{at}"


def _amiss(running: RunningCourse) -> str:
    slot = running.due.next
    if slot is not None and slot.state in AMISS:
        return slot.state.value
    if running.due.phase is Phase.NOT_CLEAR:
        return "not clear"
    return ""
