"""The clock of one animal in quarantine: until when, what set it back, what is still missing."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from cavyround.engines.contagion.together import Beside
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.contagion import QuarantineNeeds
from cavyround.knowledge.facts_of_trade import KeptApart


class Restart(StrEnum):
    """What sets a clock back to its beginning."""

    CAME = "came"
    MET = "met"
    CONTACT = "contact"
    NEWCOMER_PEN = "newcomer_pen"
    NEWCOMER_AIR = "newcomer_air"
    NEW_SIGN = "new_sign"


@dataclass(frozen=True, slots=True, kw_only=True)
class Began:
    """A day on which the clock began, or began again: why, and through whom."""

    on: date
    why: Restart
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LookedOver:
    """A check of the animal: whether it was whole, took in coat and skin, and they were clear.

    ``skin_clear`` is None where coat and skin were not looked at.
    """

    on: date
    whole: bool
    skin_clear: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Treatment:
    """A treatment that was begun; ``ended_on`` is None while it runs.

    ``days_after`` is how long it is kept apart after the last dose.
    """

    what: str
    ended_on: date | None = None
    days_after: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class InQuarantine:
    """What is known of one animal in quarantine.

    ``began`` are all days that may have set the clock; the latest counts. ``days`` is how
    long, ``second_look_days`` and ``last_check_days`` as set for it. ``keep_apart`` is what
    the latest advice says, None where it was never checked. ``held`` is the one in quarantine
    whose pen or air it shares and that ends later.
    """

    animal: str
    began: tuple[Began, ...]
    days: int
    second_look_days: int
    last_check_days: int
    checks: tuple[LookedOver, ...] = ()
    keep_apart: bool | None = None
    overdue: int = 0
    treatments: tuple[Treatment, ...] = ()
    held: Beside | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Needed:
    """One thing that must be true before it ends; ``what`` says what to do where it is not met."""

    code: str
    words: str
    met: bool
    what: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """Where a quarantine stands: ``ends_on`` at the earliest, and what is met or missing.

    ``second_look_on`` and ``last_check_from`` are the days from which the second look at coat
    and skin and the last whole check count, None once done.
    """

    animal: str
    began: Began
    earlier: tuple[Began, ...]
    ends_on: date
    days: int
    days_left: int
    needs: tuple[Needed, ...]
    second_look_on: date | None = None
    last_check_from: date | None = None
    held: Beside | None = None

    @property
    def missing(self) -> tuple[Needed, ...]:
        """What is not met yet."""
        return tuple(one for one in self.needs if not one.met)

    @property
    def may_end(self) -> bool:
        """Whether all is met; a person ends it all the same."""
        return not self.missing


@dataclass(frozen=True, slots=True, kw_only=True)
class HowLong:
    """So many days apart, why, and from which sources."""

    days: int
    words: str
    sources: tuple[str, ...]


def how_long(situation: str, book: Knowledge) -> HowLong:
    """The days proposed for a situation of the knowledge (``new_arrival``, ``unknown_source``, …).

    KeyError for a situation that is not there.
    """
    kept = next((one for one in book.kept_apart if one.id == situation), None)
    if kept is None:
        raise KeyError(situation)
    days = int(kept.proposed.high) if kept.proposed else int(book.number("quarantine_new_days"))
    return HowLong(days=days, words=_why(kept, days), sources=kept.sources)


def _why(kept: KeptApart, days: int) -> str:
    return f"{kept.words}: {days} days. Published: {kept.published}. {kept.note}".strip()


def clock_of(facts: InQuarantine, *, today: date, book: Knowledge) -> Clock:
    """The clock of one animal. ValueError where nothing says when it began."""
    if not facts.began:
        msg = "a quarantine begins on a day"
        raise ValueError(msg)
    in_order = sorted(facts.began, key=lambda one: (one.on, one.why))
    latest = in_order[-1]
    ends_on = latest.on + timedelta(days=facts.days)
    for one in facts.treatments:
        if one.ended_on is not None:
            ends_on = max(ends_on, one.ended_on + timedelta(days=one.days_after))
    if facts.held is not None:
        ends_on = max(ends_on, facts.held.ends_on)
    asked = _Asked(facts=facts, began=latest, ends_on=ends_on, today=today)
    needs = tuple(_needed(need, asked) for need in book.contagion.quarantine_ends)
    return Clock(
        animal=facts.animal,
        began=latest,
        earlier=tuple(one for one in in_order[:-1] if one.on < latest.on),
        ends_on=ends_on,
        days=facts.days,
        days_left=max(0, (ends_on - today).days),
        needs=needs,
        second_look_on=None if _late_looks(asked) else _second_look_on(asked),
        last_check_from=None if _is_checked_last(asked) else _last_check_from(asked),
        held=facts.held,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    facts: InQuarantine
    began: Began
    ends_on: date
    today: date


def _needed(need: QuarantineNeeds, asked: _Asked) -> Needed:
    what = " ".join(MISSING[need.code](asked))
    return Needed(code=need.code, words=need.words, met=not what, what=what, sources=need.sources)


def _time(asked: _Asked) -> Iterator[str]:
    if asked.today < asked.ends_on:
        held = asked.facts.held
        with_whom = f", with {held.other}" if held and held.ends_on == asked.ends_on else ""
        yield f"Until {_day(asked.ends_on)}{with_whom}."


def _arrival_check(asked: _Asked) -> Iterator[str]:
    if not any(one.whole for one in asked.facts.checks):
        yield "No whole check yet: do one."


def _second_look(asked: _Asked) -> Iterator[str]:
    """A first look near the beginning cannot show mites caught just before."""
    first, late = _second_look_on(asked), _late_looks(asked)
    if not late:
        when = "now" if first <= asked.today else f"on {_day(first)} or later"
        yield f"Look at coat and skin {when}."
    elif not max(late, key=lambda one: one.on).skin_clear:
        yield "Coat or skin were not as they should be at the last look."


def _last_check(asked: _Asked) -> Iterator[str]:
    if not _is_checked_last(asked):
        yield f"Do a whole check on {_day(_last_check_from(asked))} or later."


def _second_look_on(asked: _Asked) -> date:
    return asked.began.on + timedelta(days=asked.facts.second_look_days)


def _late_looks(asked: _Asked) -> list[LookedOver]:
    first = _second_look_on(asked)
    return [one for one in asked.facts.checks if one.on >= first and one.skin_clear is not None]


def _last_check_from(asked: _Asked) -> date:
    return max(asked.ends_on, asked.today) - timedelta(days=asked.facts.last_check_days)


def _is_checked_last(asked: _Asked) -> bool:
    since = _last_check_from(asked)
    return any(one.whole and one.on >= since for one in asked.facts.checks)


def _nothing_catching(asked: _Asked) -> Iterator[str]:
    if asked.facts.keep_apart is None:
        yield "Nobody has checked it yet, so nobody knows."
    elif asked.facts.keep_apart:
        yield "The latest advice says to keep it apart."


def _promises(asked: _Asked) -> Iterator[str]:
    if asked.facts.overdue:
        yield f"{asked.facts.overdue} to look at again, overdue."


def _treatments(asked: _Asked) -> Iterator[str]:
    running = [one.what for one in asked.facts.treatments if one.ended_on is None]
    if running:
        yield f"Still running: {', '.join(running)}."


def _day(day: date) -> str:
    return f"{day.day} {day:%B}"


# What to do about each need that is not met; nothing where it is.
MISSING: dict[str, Callable[[_Asked], Iterator[str]]] = {
    "time": _time,
    "arrival_check": _arrival_check,
    "second_skin_look": _second_look,
    "last_check": _last_check,
    "nothing_catching": _nothing_catching,
    "promises": _promises,
    "treatments": _treatments,
}
