"""Go through a course from its first dose to now, laying each entry to the dose it answers.

Every moment belongs to one dose: from when the one before it was missed until it is
missed itself. So a dose given too early answers the dose to come and is not asked for
again, and nothing falls due twice. An entry that says which dose it is answers that one,
also while an earlier one is still open.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime
from itertools import count

from cavyround.engines.courses.judging import judge
from cavyround.engines.courses.planning import Place, Planner, Shift
from cavyround.engines.courses.slots import Act, Slot, State
from cavyround.engines.courses.windows import Window, Windows
from cavyround.facts.courses import Course, GivenDose
from cavyround.facts.schedules import IfLate, IfMissed

OVERTAKEN = "a later dose was given since: this one is added at the end"


@dataclass(slots=True)
class _Entries:
    """The entries of a course not yet laid to a dose, oldest first."""

    free: list[GivenDose]
    numbered: dict[int, list[GivenDose]]

    @classmethod
    def of(cls, tries: Iterable[GivenDose]) -> "_Entries":
        free: list[GivenDose] = []
        numbered: dict[int, list[GivenDose]] = {}
        for one in tries:
            (free if one.number is None else numbered.setdefault(one.number, [])).append(one)
        return cls(free, numbered)

    def take(self, number: int, before: datetime | None, *, until_given: bool) -> list[GivenDose]:
        """The entries that answer dose ``number``, which is missed at ``before``.

        ``until_given``: the order wants a missed dose given all the same, so the first
        that went in afterwards answers it.
        """
        taken = self.numbered.pop(number, [])
        while self.free and (before is None or self.free[0].at < before):
            taken.append(self.free.pop(0))
        if until_given:
            while self.free and not any(one.went_in for one in taken):
                taken.append(self.free.pop(0))
        return sorted(taken, key=lambda one: (one.at, one.id))

    def went_in_after(self, number: int, since: datetime) -> bool:
        """Whether a dose after dose ``number`` went in, at ``since`` or later."""
        return any(
            one.went_in and one.at >= since
            for later, several in self.numbered.items()
            for one in several
            if later > number
        )

    def left(self) -> tuple[GivenDose, ...]:
        """What belongs to no dose."""
        rest = [*self.free, *(one for several in self.numbered.values() for one in several)]
        return tuple(sorted(rest, key=lambda one: (one.at, one.id)))


@dataclass(slots=True)
class Walk:
    """A course walked to now: its doses, how far the plan has moved, what was added at the end."""

    course: Course
    windows: Windows
    now: datetime
    slots: list[Slot] = field(default_factory=list)
    outside: tuple[GivenDose, ...] = ()
    shift: Shift = field(default_factory=Shift)
    extra: int = 0
    past_end: int = 0
    row_began: int = 1

    @property
    def planner(self) -> Planner:
        """The plan of its schedule."""
        return self.windows.planner

    def go(self, since: datetime | None = None) -> "Walk":
        """Walk to the first dose that is still waiting, or to the end.

        With ``since`` it begins at the last dose due before that moment, where the order
        lets nothing carry over from the doses before it; else at the first.
        """
        first, not_before, missed_at = self._beginning(since)
        tries = [one for one in self.course.tries if _is_from(one, first, missed_at)]
        entries = _Entries.of(tries)
        went_in = self._went_in
        for number in count(first):
            place = self.planner.place(number, self.shift)
            if self._is_over(place):
                break
            window = self._window(place, not_before, self.shift)
            slot = self._slot(place, window, entries, went_in)
            self.slots.append(slot)
            if slot.state is State.STOPPED or slot.is_waiting:
                break
            not_before = window.late_at
            self._after(slot)
        self.outside = entries.left()
        self.slots = _settled(self.slots, stopped=self._stopped is not None)
        return self

    def _beginning(self, since: datetime | None) -> tuple[int, datetime | None, datetime | None]:
        """The first dose to look at, and when the one before it was late and was missed."""
        first = 1 if since is None or self._carries_over() else self.planner.last_before(since)
        if first == 1:
            return 1, None, None
        before = self._window(self.planner.place(first - 1, self.shift), None, self.shift)
        return first, before.late_at, before.missed_at

    def _carries_over(self) -> bool:
        """Whether a late or missed dose moves or adds others."""
        schedule = self.course.schedule
        missed = schedule.if_missed in (IfMissed.LEAVE_OUT, IfMissed.ASK_VET)
        return not missed or schedule.if_late is IfLate.GIVE_MOVE_PLAN

    def to_come(self) -> Iterator[Place]:
        """The places after the last one walked to; none once it was stopped.

        They lie as they would if what is waiting were given now.
        """
        if not self.slots or self.slots[-1].state is State.STOPPED:
            return
        past_end = self.past_end + self.planner.is_past_end(self.slots[-1].place)
        shift = self._shift_if_given_now(self.slots[-1])
        for number in count(self.slots[-1].number + 1):
            place = self.planner.place(number, shift)
            stopped = self.course.stopped_at
            if stopped is not None and place.due_at >= stopped:
                return
            if self.planner.is_over(place, extra=self.extra, past_end=past_end):
                return
            past_end += self.planner.is_past_end(place)
            if number not in self._answered:
                yield place

    def slots_to_come(self, until: datetime) -> Iterator[Slot]:
        """The doses after the last one walked to that are due before ``until``, as planned now."""
        if not self.slots:
            return
        waiting = self.slots[-1]
        not_before: datetime | None = waiting.late_at
        shift = self._shift_if_given_now(waiting)
        went_in = [*self._went_in, *([self.now] if waiting.wants_giving else [])]
        for place in self.to_come():
            if place.due_at >= until:
                return
            window = self._kept_apart(self._window(place, not_before, shift), went_in)
            not_before = window.late_at
            yield Slot(
                place=place,
                opens_at=window.opens_at,
                late_at=window.late_at,
                missed_at=window.missed_at,
                state=State.TO_COME,
                act=Act.NOTHING,
            )

    @property
    def _went_in(self) -> list[datetime]:
        return [one.at for one in self.course.tries if one.went_in]

    @property
    def _answered(self) -> set[int]:
        """The doses an entry says it answers, whether or not they were come to yet."""
        return {one.number for one in self.course.tries if one.went_in and one.number is not None}

    @property
    def _stopped(self) -> datetime | None:
        """When it was stopped, once that moment has come."""
        stopped = self.course.stopped_at
        return stopped if stopped is not None and stopped <= self.now else None

    def _is_over(self, place: Place) -> bool:
        return self.planner.is_over(place, extra=self.extra, past_end=self.past_end)

    def _shift_if_given_now(self, waiting: Slot) -> Shift:
        """How far the plan would be moved if the waiting dose were given at this moment."""
        schedule = self.course.schedule
        late = waiting.state is State.LATE and schedule.if_late is IfLate.GIVE_MOVE_PLAN
        missed = waiting.state is State.MISSED and waiting.wants_giving
        if not (late or missed):
            return self.shift
        return self.planner.shifted(waiting.place, self.now, self.shift)

    def _window(self, place: Place, not_before: datetime | None, shift: Shift) -> Window:
        following = self.planner.place(place.number + 1, shift)
        return self.windows.around(place, following, not_before)

    def _slot(
        self, place: Place, window: Window, entries: _Entries, went_in: list[datetime]
    ) -> Slot:
        schedule = self.course.schedule
        given_all_the_same = schedule.if_missed is IfMissed.GIVE_MOVE_PLAN
        tries = entries.take(place.number, window.missed_at, until_given=given_all_the_same)
        gone = window.missed_at
        overtaken = False
        if not any(one.went_in for one in tries):
            overtaken = gone is not None and entries.went_in_after(place.number, gone)
            window = window if overtaken else self._kept_apart(window, went_in)
        slot = judge(
            place, window, tries, schedule=schedule, now=self.now, stopped_at=self._stopped
        )
        if overtaken and slot.state is State.MISSED and slot.wants_giving:
            # The plan moves by one dose all the same, but nothing more goes in beside the later.
            self.extra += 1
            return replace(slot, act=Act.NOTHING, says=OVERTAKEN)
        return slot

    def _kept_apart(self, window: Window, went_in: list[datetime]) -> Window:
        """The window of a dose not yet given opens no sooner than the last one allows."""
        waits_for_ever = self.course.schedule.if_missed is IfMissed.GIVE_MOVE_PLAN
        gone = None if waits_for_ever else window.missed_at
        before = [at for at in went_in if gone is None or at < gone]
        apart = self.windows.apart(max(before)) if before else None
        if apart is None or apart <= window.opens_at:
            return window
        return replace(window, opens_at=apart, late_at=max(apart, window.late_at))

    def _after(self, slot: Slot) -> None:
        """What a closed dose does to those after it."""
        schedule = self.course.schedule
        self.past_end += self.planner.is_past_end(slot.place)
        if slot.moves_plan and slot.given_at is not None:
            self.shift = self.planner.shifted(slot.place, slot.given_at, self.shift)
        if slot.state is not State.MISSED:
            return
        if schedule.if_missed is IfMissed.ADD_AT_END:
            self.extra += 1
        elif schedule.if_missed is IfMissed.BEGIN_AGAIN:
            self.extra += slot.number - self.row_began + 1
            self.row_began = slot.number + 1


def _is_from(one: GivenDose, first: int, missed_at: datetime | None) -> bool:
    """Whether an entry may answer dose ``first`` or a later one."""
    if missed_at is None:
        return True
    return one.at >= missed_at if one.number is None else one.number >= first


def _settled(slots: list[Slot], *, stopped: bool) -> list[Slot]:
    """A question to the vet about an earlier dose is over once a later one was given."""
    later_given = stopped
    settled = []
    for slot in reversed(slots):
        asks = slot.act is Act.ASK_VET and not slot.is_waiting
        settled.append(replace(slot, act=Act.NOTHING) if asks and later_given else slot)
        later_given = later_given or slot.given_at is not None
    return settled[::-1]
