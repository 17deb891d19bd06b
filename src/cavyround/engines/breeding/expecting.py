"""Sows that may give birth: from whom, on which days, and what is done meanwhile."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta, tzinfo
from enum import StrEnum

from cavyround.engines.breeding.contacts import Contact, contacts_of_all
from cavyround.engines.breeding.fertile import as_dam
from cavyround.engines.breeding.first_litter import FirstLitter, first_litter
from cavyround.engines.breeding.reasons import Reason, from_number, to_do
from cavyround.engines.breeding.window import (
    Conceived,
    Window,
    conceived_in,
    likely_window,
    possible_window,
)
from cavyround.facts.animal import Known
from cavyround.facts.breeding import Breeder, SaidPregnant
from cavyround.facts.stays import Stay
from cavyround.knowledge.book import Knowledge

UNKNOWN_HISTORY = "nobody knows whom she met before she came"
UNKNOWN_AWAY = "nobody knows whom she met while she was away"


class State(StrEnum):
    """How it stands with her."""

    WITH_BOAR = "with_boar"
    PAST_TERM = "past_term"
    NEAR = "near"
    PREGNANT = "pregnant"
    AT_RISK = "at_risk"


STATE_WORDS = {
    State.WITH_BOAR: "with a boar now",
    State.PAST_TERM: "past the last day",
    State.NEAR: "birth may be near",
    State.PREGNANT: "pregnant",
    State.AT_RISK: "may be pregnant",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Expecting:
    """One sow that may give birth.

    ``possible`` are all days by the published lengths; ``likely`` the likeliest of them.
    ``emergency`` are the days in which any illness of hers is an emergency. A possible
    sire without a name is one that was only told of.
    """

    animal: str
    state: State
    contacts: tuple[Contact, ...]
    conceived: tuple[Conceived, ...]
    possible: Window
    likely: Window
    emergency: Window
    first_litter: FirstLitter
    history_unknown: bool
    why: tuple[Reason, ...]
    do: tuple[Reason, ...]

    @property
    def sires(self) -> tuple[str, ...]:
        """The possible sires that are known."""
        return tuple(dict.fromkeys(one.sire for one in self.contacts if one.sire))

    @property
    def with_now(self) -> tuple[str, ...]:
        """Those she is with at this moment."""
        return tuple(one.sire for one in self.contacts if one.sire and one.until is None)


def expecting(
    animals: Sequence[Breeder],
    stays: Iterable[Stay],
    *,
    now: datetime,
    zone: tzinfo,
    book: Knowledge,
    meetings: Iterable[Stay] = (),
) -> tuple[Expecting, ...]:
    """All sows, and animals that may be sows, that may give birth; most pressing first."""
    met = contacts_of_all(animals, stays, now=now, zone=zone, book=book, meetings=meetings)
    today = now.astimezone(zone).date()
    found = [one for a in animals if (one := _of_one(a, met, today, book)) is not None]
    order = list(State)
    return tuple(sorted(found, key=lambda one: (order.index(one.state), one.possible.first)))


def _of_one(
    animal: Breeder, met: Mapping[str, tuple[Contact, ...]], today: date, book: Knowledge
) -> Expecting | None:
    dam = as_dam(animal, book)
    if dam is None or not (dam.since is None or dam.since <= today):
        return None
    animal = _of_this_time(animal, today)
    contacts = [
        *met.get(animal.id, ()),
        *_before_it_came(animal, today, dam.since),
        *_away(animal, today, dam.since),
    ]
    said = _last_said(animal, today)
    if not contacts and (said is None or said.pregnant is not Known.YES):
        return None
    earliest, latest = _since(animal, said, today, book), _felt_by(animal, today, book)
    kept = [
        (contact, days)
        for contact in contacts
        if (days := conceived_in(contact, earliest=earliest, latest=latest, book=book)) is not None
    ]
    if (
        not kept
        and said is not None
        and said.pregnant is Known.YES
        and not _born_since(animal, said.on)
    ):
        kept = [_from_nowhere(animal, said, book)]
    if not kept:
        return None
    kept = [one for one in kept if _may_last(one[1], today, book)] or kept
    return _expecting(animal, kept, said, today, book)


def _may_last(days: Conceived, today: date, book: Knowledge) -> bool:
    """Whether a pregnancy from these days may still last."""
    longest = timedelta(days=int(book.span("gestation_days").high))
    return days.until is None or days.until + longest >= today


def _expecting(
    animal: Breeder,
    kept: Sequence[tuple[Contact, Conceived]],
    said: SaidPregnant | None,
    today: date,
    book: Knowledge,
) -> Expecting | None:
    contacts = tuple(contact for contact, _ in kept)
    conceived = tuple(days for _, days in kept)
    possible = possible_window(conceived, book)
    is_sure = _is_sure(animal, said, possible, book)
    if possible.last is not None and possible.last < today and not is_sure:
        return None
    narrowed = likely_window(animal, conceived, possible, today=today, book=book)
    emergency = _emergency(possible, book)
    litter = first_litter(animal, conceived, book)
    state = _state(contacts, possible, narrowed.window, today, book, is_sure=is_sure)
    return Expecting(
        animal=animal.id,
        state=state,
        contacts=contacts,
        conceived=conceived,
        possible=possible,
        likely=narrowed.window,
        emergency=emergency,
        first_litter=litter,
        history_unknown=all(one.why in (UNKNOWN_HISTORY, UNKNOWN_AWAY) for one in contacts),
        why=(_by_gestation(possible, book), *narrowed.why),
        do=tuple(_do(state, litter, emergency, today, book)),
    )


def _of_this_time(animal: Breeder, today: date) -> Breeder:
    """The animal with only what was felt since its last birth."""
    born = max((birth for birth in animal.births if birth <= today), default=date.min)
    felt = tuple(one for one in animal.felt if born < one.on <= today)
    return replace(animal, felt=felt)


def _before_it_came(animal: Breeder, today: date, of_age: date | None) -> list[Contact]:
    """Company nobody knows of, before an animal that was not born here came."""
    came = animal.first_seen_on
    if came is None or came > today or animal.born_here or animal.met:
        return []
    if of_age is not None and of_age > came:
        return []
    return [Contact(dam=animal.id, sire="", since=None, until=came, why=UNKNOWN_HISTORY)]


def _away(animal: Breeder, today: date, of_age: date | None) -> Iterable[Contact]:
    """Company nobody knows of, in the time between leaving and coming back."""
    for one in animal.away:
        if one.until > today or (of_age is not None and of_age > one.until):
            continue
        since = one.since if of_age is None or one.since is None else max(one.since, of_age)
        yield Contact(dam=animal.id, sire="", since=since, until=one.until, why=UNKNOWN_AWAY)


def _last_said(animal: Breeder, today: date) -> SaidPregnant | None:
    said = [one for one in animal.said if one.on <= today and one.pregnant is not Known.UNKNOWN]
    return said[-1] if said else None


def _since(animal: Breeder, said: SaidPregnant | None, today: date, book: Knowledge) -> date | None:
    """The first day a pregnancy that still lasts can have begun."""
    days = [birth for birth in animal.births if birth <= today]
    if said is not None and said.pregnant is Known.NO:
        days.append(said.on - timedelta(days=int(book.number("not_pregnant_said_days"))))
    return max(days, default=None)


def _felt_by(animal: Breeder, today: date, book: Knowledge) -> date | None:
    """The last day it can have begun, from pups that were surely felt since the last birth."""
    born = max((birth for birth in animal.births if birth <= today), default=date.min)
    ends = []
    for felt in animal.felt:
        if not felt.sure or not born < felt.on <= today:
            continue
        days = int(book.number("felt_pregnant_from_day"))
        if felt.moving:
            shortest = int(book.span("gestation_days").low)
            days = max(days, shortest - int(book.number("moving_pups_last_days")))
        ends.append(felt.on - timedelta(days=days))
    return min(ends, default=None)


def _born_since(animal: Breeder, day: date) -> bool:
    return any(birth >= day for birth in animal.births)


def _from_nowhere(
    animal: Breeder, said: SaidPregnant, book: Knowledge
) -> tuple[Contact, Conceived]:
    """Known to be pregnant, though no company is known from which she can be."""
    longest = timedelta(days=int(book.span("gestation_days").high))
    contact = Contact(
        dam=animal.id,
        sire="",
        since=said.on - longest,
        until=said.on,
        why="pregnant, and nobody knows from whom",
    )
    return contact, Conceived(since=said.on - longest, until=said.on, open_start=True)


def _is_sure(animal: Breeder, said: SaidPregnant | None, possible: Window, book: Knowledge) -> bool:
    """Whether she is known to be pregnant from these contacts."""
    began = possible.first - timedelta(days=int(book.span("gestation_days").low))
    if said is not None and said.pregnant is Known.YES and said.on >= began:
        return True
    last_birth = max(animal.births, default=date.min)
    return any(felt.sure and felt.on > max(began, last_birth) for felt in animal.felt)


def _state(
    contacts: Iterable[Contact],
    possible: Window,
    likely: Window,
    today: date,
    book: Knowledge,
    *,
    is_sure: bool,
) -> State:
    if any(one.sire and one.until is None for one in contacts):
        return State.WITH_BOAR
    if possible.last is not None and today > possible.last:
        return State.PAST_TERM
    lead = int(book.number("gestation_mean_days")) - int(book.number("birth_watch_from_day"))
    if is_sure and today >= likely.first - timedelta(days=lead):
        return State.NEAR
    return State.PREGNANT if is_sure else State.AT_RISK


def _emergency(possible: Window, book: Knowledge) -> Window:
    before = timedelta(days=int(book.number("late_pregnancy_last_days")))
    after = timedelta(days=int(book.number("after_birth_watch_days")))
    last = None if possible.last is None else possible.last + after
    return Window(first=possible.first - before, last=last)


def _by_gestation(possible: Window, book: Knowledge) -> Reason:
    span = book.span("gestation_days")
    words = f"gestation {span.low} to {span.high} days, from the first day to the last they met"
    if possible.last is None:
        words += "; they are together still, so there is no last day yet"
    return from_number(book, "gestation_days", words)


def _do(
    state: State, litter: FirstLitter, emergency: Window, today: date, book: Knowledge
) -> Iterable[Reason]:
    if state is State.WITH_BOAR:
        yield to_do(book, "part_now")
    if state is State.PAST_TERM:
        yield to_do(book, "past_term")
    if litter.late:
        yield to_do(book, "late_first")
    if litter.young:
        yield to_do(book, "young_first")
    if emergency.holds(today):
        yield to_do(book, "sick_emergency")
    if state is State.NEAR:
        yield to_do(book, "birth_near")
    yield to_do(book, "weigh")
    yield to_do(book, "no_pressing")
    if state in (State.NEAR, State.PREGNANT):
        yield to_do(book, "quiet_place")
