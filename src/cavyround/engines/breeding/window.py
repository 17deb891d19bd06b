"""Days on which a sow may give birth: those that are possible, and those that are likeliest."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from statistics import median

from cavyround.engines.breeding.contacts import Contact
from cavyround.engines.breeding.reasons import Reason, from_number
from cavyround.facts.animal import DAYS_PER_MONTH, Weighing
from cavyround.facts.breeding import Breeder
from cavyround.knowledge.book import Knowledge

BASELINE_BACK = timedelta(days=60)


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """From a first day to a last; without a last while she is still with a boar."""

    first: date
    last: date | None

    def holds(self, day: date) -> bool:
        """Whether a day lies in it."""
        return self.first <= day and (self.last is None or day <= self.last)


@dataclass(frozen=True, slots=True, kw_only=True)
class Conceived:
    """Days on which she may have conceived, by one contact; ``until`` None: today is one too."""

    since: date
    until: date | None
    open_start: bool = False


def possible_window(conceived: Sequence[Conceived], book: Knowledge) -> Window:
    """The earliest and latest day of birth: published shortest and longest gestation, no less."""
    gestation = book.span("gestation_days")
    first = min(one.since for one in conceived) + _days(gestation.low)
    if any(one.until is None for one in conceived):
        return Window(first=first, last=None)
    last = max(one.until for one in conceived if one.until is not None)
    return Window(first=first, last=last + _days(gestation.high))


def mean_gestation(pups: int, book: Knowledge) -> Decimal:
    """The mean length in days for a litter of so many pups, between one and six."""
    counted = min(max(pups, 1), int(book.number("gestation_largest_litter")))
    less = book.number("gestation_less_per_pup_days") * (counted - 1)
    return book.number("gestation_one_pup_days") - less


@dataclass(frozen=True, slots=True)
class Narrowed:
    """The likeliest days with what made them fewer."""

    window: Window
    why: tuple[Reason, ...]


def likely_window(
    animal: Breeder,
    conceived: Sequence[Conceived],
    possible: Window,
    *,
    today: date,
    book: Knowledge,
) -> Narrowed:
    """The likeliest days of birth, never outside those that are possible.

    A step that would leave no day, or only days gone by, is left out.
    """
    shortest, longest, why = _gestation(animal, book)
    since = min(one.since for one in conceived)
    held = _within(
        Window(first=since + timedelta(days=shortest), last=_last(conceived, longest)), possible
    )
    narrowed = Narrowed(held, (why,))
    for step in (
        _by_season(conceived, longest, book),
        _by_weight(animal, conceived, longest, today, book),
        _by_moving(animal, today, book),
        _by_said(animal, conceived),
    ):
        if step is not None:
            narrowed = _narrow(narrowed, step, today)
    return narrowed


@dataclass(frozen=True, slots=True)
class _Step:
    reason: Reason
    not_before: date | None = None
    not_after: date | None = None


def _narrow(held: Narrowed, step: _Step, today: date) -> Narrowed:
    first, last = held.window.first, held.window.last
    if step.not_before is not None and step.not_before > first:
        first = step.not_before
    if step.not_after is not None and (last is None or step.not_after < last):
        last = step.not_after
    window = Window(first=first, last=last)
    if window == held.window or (last is not None and (last < first or last < today)):
        return held
    return Narrowed(window, (*held.why, step.reason))


def _gestation(animal: Breeder, book: Knowledge) -> tuple[int, int, Reason]:
    """The least and most usual length in days, for her own litter if it was counted."""
    counted = [felt.pups for felt in animal.felt if felt.pups and felt.sure]
    spread = book.number("gestation_likely_spread_days")
    few, many = (counted[-1], counted[-1]) if counted else (1, _largest(book))
    shortest = math.floor(mean_gestation(many, book) - spread)
    longest = math.ceil(mean_gestation(few, book) + spread)
    litter = f"with {few} pups" if counted else "the size of the litter is not known"
    words = f"usual length {shortest} to {longest} days ({litter}; shorter with more pups)"
    return shortest, longest, from_number(book, "gestation_one_pup_days", words)


def _largest(book: Knowledge) -> int:
    return int(book.number("gestation_largest_litter"))


def _last(conceived: Iterable[Conceived], longest: int) -> date | None:
    ends = [one.until for one in conceived]
    known = [end for end in ends if end is not None]
    return max(known) + timedelta(days=longest) if len(known) == len(ends) else None


def _within(window: Window, outer: Window) -> Window:
    first = max(window.first, outer.first)
    if outer.last is None:
        return replace(window, first=first)
    last = outer.last if window.last is None else min(window.last, outer.last)
    return Window(first=min(first, last), last=last)


def _by_season(conceived: Sequence[Conceived], longest: int, book: Knowledge) -> _Step | None:
    """The first season after they met is the likeliest; one contact of known start only."""
    if len(conceived) != 1 or conceived[0].open_start:
        return None
    cycle = int(book.span("season_cycle_days").high)
    words = f"she comes into season at least every {cycle} days, so soon after they met"
    return _Step(
        from_number(book, "season_cycle_days", words),
        not_after=conceived[0].since + timedelta(days=cycle + longest),
    )


def _by_weight(
    animal: Breeder, conceived: Sequence[Conceived], longest: int, today: date, book: Knowledge
) -> _Step | None:
    """What she has gained since tells how far on she is at least; only of a grown sow."""
    first = min(one.since for one in conceived)
    sound = [w for w in animal.weighings if not w.doubted and w.at.date() <= today]
    settle = first + _days(book.number("pregnancy_weight_from_day"))
    before = [w for w in sound if first - BASELINE_BACK <= w.at.date() <= settle]
    if not before or not sound or not _was_grown(animal, first, book):
        return None
    last = sound[-1]
    gained = last.grams - median(w.grams for w in before)
    least = least_days_on(gained, book)
    if least is None or last.at.date() <= settle:
        return None
    words = (
        f"she weighs {gained:.0f} g more than before they met, so on {_of(last)} she was "
        f"at least about {least} days on"
    )
    return _Step(
        from_number(book, "pregnancy_weight_from_day", words),
        not_after=last.at.date() + timedelta(days=longest - least),
    )


def least_days_on(gained_g: Decimal, book: Knowledge) -> int | None:
    """How many days on a sow is at least who gained so much; None where it says nothing.

    The weight of the pups grows as the cube of the days beyond the sixteenth; the
    largest litter carries the gain soonest.
    """
    pups_g = gained_g - book.number("pregnancy_gain_ignored_g")
    if pups_g <= 0:
        return None
    share = min(Decimal(1), pups_g / book.number("pregnancy_most_carried_g"))
    start = book.number("pregnancy_weight_from_day")
    whole = book.number("gestation_mean_days") - start
    return math.floor(float(start) + float(whole) * math.cbrt(float(share)))


def _was_grown(animal: Breeder, day: date, book: Knowledge) -> bool:
    youngest = animal.born.youngest_days(day)
    grown = book.number("adult_from_months") * DAYS_PER_MONTH
    return youngest is not None and youngest >= grown


def _of(weighing: Weighing) -> str:
    return f"{weighing.at:%d %B}"


def _by_moving(animal: Breeder, today: date, book: Knowledge) -> _Step | None:
    """Pups that were felt to move come within about three weeks."""
    moving = [felt.on for felt in animal.felt if felt.moving and felt.sure and felt.on <= today]
    if not moving:
        return None
    days = int(book.number("moving_pups_last_days"))
    words = f"pups were felt or seen to move on {min(moving):%d %B}: birth within about {days} days"
    return _Step(
        from_number(book, "moving_pups_last_days", words),
        not_after=min(moving) + timedelta(days=days),
    )


def _by_said(animal: Breeder, conceived: Sequence[Conceived]) -> _Step | None:
    """A day of birth that was stated since they met."""
    first = min(one.since for one in conceived)
    stated = [one for one in animal.said if one.due_from is not None and one.on >= first]
    if not stated or stated[-1].due_from is None:
        return None
    due = stated[-1].due_from
    words = f"stated on {stated[-1].on:%d %B}: not before {due:%d %B}"
    return _Step(Reason(words=words, code="stated"), not_before=due)


def conceived_in(
    contact: Contact, *, earliest: date | None, latest: date | None, book: Knowledge
) -> Conceived | None:
    """The days of a contact on which she may have conceived and still be pregnant from it.

    ``earliest`` is the last birth, or what a "no" leaves; ``latest`` what was felt leaves.
    """
    longest = _days(book.span("gestation_days").high)
    since, open_start = contact.since, contact.since is None
    if since is None:
        since = (contact.until or date.max) - longest
    if earliest is not None and earliest > since:
        since = earliest
    until = contact.until
    if latest is not None and (until is None or latest < until):
        until = latest
    if until is not None and until < since:
        return None
    return Conceived(since=since, until=until, open_start=open_start)


def _days(number: Decimal) -> timedelta:
    return timedelta(days=int(number))
