"""How one due dose stands, and what the order says is to be done about it."""

from collections.abc import Sequence
from datetime import datetime

from cavyround.engines.courses.planning import Place
from cavyround.engines.courses.slots import GIVES, WAITING, Act, Slot, State
from cavyround.engines.courses.windows import Window
from cavyround.facts.courses import GivenDose, Outcome
from cavyround.facts.deviations import (
    WORDS_IF_LATE,
    WORDS_IF_MISSED,
    WORDS_IF_PARTLY,
    IfLate,
    IfMissed,
    IfPartly,
)
from cavyround.facts.schedules import Schedule

ACT_IF_PARTLY = {
    IfPartly.COUNTS: Act.NOTHING,
    IfPartly.GIVE_REST: Act.GIVE_REST,
    IfPartly.GIVE_AGAIN: Act.GIVE_AGAIN,
    IfPartly.ASK_VET: Act.ASK_VET,
}
TOO_SOON = "it would come too soon after the dose before it: leave it out, and tell the vet"
GIVEN_TWICE = "given more than once: tell the vet"
GIVEN_EARLY = "given before it was due: tell the vet"


def judge(
    place: Place,
    window: Window,
    tries: Sequence[GivenDose],
    *,
    schedule: Schedule,
    now: datetime,
    stopped_at: datetime | None,
) -> Slot:
    """The slot of one dose, from its window and the entries that answer it."""
    at = now if stopped_at is None else min(now, stopped_at)
    state, act, says = _stands(window, tries, schedule, at)
    if stopped_at is not None and (state in WAITING or act in GIVES):
        state = state if state is State.PARTLY else State.STOPPED
        act, says = Act.NOTHING, "the course was stopped"
    given_at = max((one.at for one in tries if one.went_in), default=None)
    gave_late = given_at is not None and given_at >= window.late_at
    return Slot(
        place=place,
        opens_at=window.opens_at,
        late_at=window.late_at,
        missed_at=window.missed_at,
        state=state,
        act=act,
        says=says,
        tries=tuple(tries),
        doubts=tuple(_doubts(window, tries)),
        moves_plan=gave_late and _moves_plan(window, given_at, schedule),
    )


def _stands(
    window: Window, tries: Sequence[GivenDose], schedule: Schedule, at: datetime
) -> tuple[State, Act, str]:
    if any(one.outcome is Outcome.GIVEN for one in tries):
        return State.GIVEN, Act.NOTHING, ""
    if any(one.went_in for one in tries):
        return _partly(window, schedule, at)
    waits_for_ever = schedule.if_missed is IfMissed.GIVE_MOVE_PLAN
    if at < window.opens_at:
        if waits_for_ever or not _is_gone(window, window.opens_at):
            return State.TO_COME, Act.NOTHING, ""
        if not _is_gone(window, at):
            return State.MISSED, _act_if_missed(schedule), TOO_SOON
    if at < window.late_at and not _is_gone(window, at):
        return State.DUE, Act.GIVE, ""
    if not _is_gone(window, at):
        act = Act.ASK_VET if schedule.if_late is IfLate.ASK_VET else Act.GIVE
        return State.LATE, act, WORDS_IF_LATE[schedule.if_late]
    return _missed(schedule)


def _partly(window: Window, schedule: Schedule, at: datetime) -> tuple[State, Act, str]:
    act = ACT_IF_PARTLY[schedule.if_partly]
    if act in (Act.GIVE_REST, Act.GIVE_AGAIN) and _is_gone(window, at):
        return State.PARTLY, Act.NOTHING, "the time to give more is over; give the next as planned"
    return State.PARTLY, act, WORDS_IF_PARTLY[schedule.if_partly]


def _missed(schedule: Schedule) -> tuple[State, Act, str]:
    if schedule.if_late is IfLate.LEAVE_OUT:
        return State.MISSED, Act.NOTHING, WORDS_IF_LATE[IfLate.LEAVE_OUT]
    return State.MISSED, _act_if_missed(schedule), WORDS_IF_MISSED[schedule.if_missed]


def _act_if_missed(schedule: Schedule) -> Act:
    acts = {IfMissed.GIVE_MOVE_PLAN: Act.GIVE, IfMissed.ASK_VET: Act.ASK_VET}
    return acts.get(schedule.if_missed, Act.NOTHING)


def _is_gone(window: Window, at: datetime) -> bool:
    return window.missed_at is not None and at >= window.missed_at


def _moves_plan(window: Window, given_at: datetime | None, schedule: Schedule) -> bool:
    """Whether the order counts the next doses from this late one."""
    if given_at is None:
        return False
    if _is_gone(window, given_at):
        return schedule.if_missed is IfMissed.GIVE_MOVE_PLAN
    return schedule.if_late is IfLate.GIVE_MOVE_PLAN


def _doubts(window: Window, tries: Sequence[GivenDose]) -> list[str]:
    doubts = []
    if sum(one.outcome is Outcome.GIVEN for one in tries) > 1:
        doubts.append(GIVEN_TWICE)
    first = next((one for one in tries if one.went_in), None)
    if first is not None and first.at < window.opens_at:
        doubts.append(GIVEN_EARLY)
    return doubts
