"""The history as a plan: checks, moves, words and promises, each on its day, then told in order."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from cavyround.advice.giving import advise, answer_of
from cavyround.demo.animals import Cast
from cavyround.demo.checking import Sitting, Table
from cavyround.demo.clock import Clock
from cavyround.demo.weighing import grams_on
from cavyround.record.models import AdviceGiven, Animal, Check, FollowUp, Pen, Person
from cavyround.record.promises import LookAgainAt, promise, settle

Action = Callable[[datetime], None]
ROUND_BEGINS = 505
MINUTES_PER_CHECK = 7
DUE_AT = 1020
WILDA_LEFT = 205


@dataclass(frozen=True, slots=True, kw_only=True)
class Again:
    """A promise made after a check, so many days later. ``where`` is region, finding and side."""

    days: int
    words: str
    where: tuple[str, str, str] = ("", "", "N")
    until_gone: bool = True


@dataclass(frozen=True, slots=True)
class Closeup:
    """A drawing of a finding, with its caption."""

    kind: str
    caption: str


@dataclass(slots=True)
class Visit:
    """One check to be held, with what follows from it."""

    sitting: Sitting
    minute: int | None = None
    again: list[Again] = field(default_factory=list)
    settles: str = ""
    settled_because: str = ""
    photos: list[Closeup] = field(default_factory=list)


@dataclass(slots=True)
class Story:
    """Everything that will have happened; ``animals`` fills as they come."""

    clock: Clock
    table: Table
    cast: dict[str, Cast]
    keep_closeup: Callable[["Story", str, Closeup, Check, datetime], None]
    people: dict[str, Person] = field(default_factory=dict)
    pens: dict[str, Pen] = field(default_factory=dict)
    animals: dict[str, Animal] = field(default_factory=dict)
    visits: dict[tuple[str, int], Visit] = field(default_factory=dict)
    checks: dict[tuple[str, int], Check] = field(default_factory=dict)
    actions: list[tuple[datetime, int, Action]] = field(default_factory=list)

    def on(self, ago: int, minute: int, action: Action) -> None:
        """Something that happens at a minute of a day."""
        self.actions.append((self.clock.at(ago, minute), len(self.actions), action))

    def visit(self, key: str, ago: int, kind: str = "full", **done: Any) -> Visit:
        """A check of one animal; told of the same day twice, both are one."""
        known = self.visits.get((key, ago))
        if known is None:
            known = self.visits[(key, ago)] = Visit(Sitting(kind=kind))
        for name, value in done.items():
            if isinstance(value, list):
                getattr(known.sitting, name).extend(value)
            else:
                setattr(known.sitting, name, value)
        return known

    def tell(self, say: Callable[[str], None]) -> None:
        """Let everything happen in its order."""
        self._put_visits_in_order()
        held = 0
        for moment, _, action in sorted(self.actions, key=lambda one: one[:2]):
            before = len(self.checks)
            action(moment)
            held += len(self.checks) - before
            if len(self.checks) > before and held % 200 == 0:
                say(f"Checks: {held} of {len(self.visits)}")
        say(f"Checks: {held} of {len(self.visits)}")

    def _put_visits_in_order(self) -> None:
        """One after the other on each day's round, by that day's carers."""
        rounds: dict[int, list[str]] = {}
        for key, ago in self.visits:
            rounds.setdefault(ago, []).append(key)
        for ago, keys in rounds.items():
            carers = self._carers(ago)
            for number, key in enumerate(sorted(keys, key=self._round_order)):
                visit = self.visits[(key, ago)]
                minute = ROUND_BEGINS + number * MINUTES_PER_CHECK + ago % 5
                visit.sitting.by = visit.sitting.by or carers[number % len(carers)]
                at = visit.minute if visit.minute is not None else min(minute, 1200)
                self.on(ago, at, self._holding(key, ago))

    def _round_order(self, key: str) -> tuple[bool, str]:
        return (self.cast[key].home.startswith("q"), key)

    def _carers(self, ago: int) -> tuple[str, ...]:
        if ago <= 2:
            return ("carer", "jory")
        if ago <= WILDA_LEFT:
            return (("carer", "jory"), ("jory",), ("carer",), ("lead", "carer"))[ago % 4]
        return (("wilda",), ("carer", "wilda"), ("carer",))[ago % 3]

    def _holding(self, key: str, ago: int) -> Action:
        def hold(moment: datetime) -> None:
            visit, animal = self.visits[(key, ago)], self.animals[key]
            sitting = visit.sitting
            if sitting.grams is None:
                sitting.grams = grams_on(self.cast[key], ago)
            person = self.people[sitting.by]
            check = self.table.hold(person, animal, sitting, moment)
            self.checks[(key, ago)] = check
            ended = self.clock.not_later(moment + timedelta(minutes=3))
            for closeup in visit.photos:
                self.keep_closeup(self, key, closeup, check, ended)
            if sitting.put_down:
                return
            given = advise(person, check, ended)
            if visit.settles:
                self._settle(person, animal, visit, check, ended)
            for again in visit.again:
                self._promise(person, animal, again, given, ago)

        return hold

    def _promise(
        self, person: Person, animal: Animal, again: Again, given: AdviceGiven, ago: int
    ) -> None:
        region, finding, side = again.where
        advised = any(
            (one.region, one.finding) == (region, finding) for one in answer_of(given).look_again
        )
        look = LookAgainAt(
            due_at=self.clock.by(ago - again.days, DUE_AT),
            words=again.words,
            region=region,
            finding=finding,
            side=side,
            urgency=given.urgency if advised else "carer_recheck",
            until_gone=again.until_gone,
        )
        promise(person, animal, look, given.made_at, advice=given if advised else None)

    def _settle(
        self, person: Person, animal: Animal, visit: Visit, check: Check, moment: datetime
    ) -> None:
        for follow_up in FollowUp.objects.filter(animal=animal, outcomes=None):
            settle(
                person,
                follow_up,
                visit.settles,
                moment,
                check=check,
                reason=visit.settled_because,
            )
