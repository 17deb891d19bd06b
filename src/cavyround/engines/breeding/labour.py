"""How long labour may last before the vet is rung."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from cavyround.engines.breeding.reasons import Reason, from_number
from cavyround.facts.labour import LabourFacts, Seen
from cavyround.knowledge.book import Knowledge


@dataclass(frozen=True, slots=True, kw_only=True)
class Labour:
    """What was seen of a birth: since when she strains, and when each pup came.

    ``straining_since`` None: she does not strain now. ``start_unknown``: she was found
    straining and nobody knows since when. ``signs`` are signs of the knowledge that were seen.
    """

    straining_since: datetime | None = None
    on_and_off_since: datetime | None = None
    pups_at: tuple[datetime, ...] = ()
    start_unknown: bool = False
    signs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourCall:
    """Whether to ring the vet now; ``ring_at`` is when at the latest, if nothing comes."""

    ring_now: bool
    ring_at: datetime | None
    why: tuple[Reason, ...]


def labour(seen: Labour, *, now: datetime, book: Knowledge) -> LabourCall:
    """When labour lasts too long: straining without a pup, on and off, or over half an hour.

    A sign that is an emergency, or a start that nobody knows, is one whatever the clock says.
    """
    at_once = tuple(_at_once(seen, book))
    limits = [one for one in (_straining(seen, book), _on_and_off(seen, book)) if one is not None]
    if seen.pups_at and seen.straining_since is not None:
        whole = timedelta(minutes=int(book.number("labour_whole_minutes")))
        words = "all pups come within about half an hour, and she strains still"
        reason = from_number(book, "labour_whole_minutes", words)
        limits.append((min(seen.pups_at) + whole, reason))
    over = (*at_once, *(reason for at, reason in limits if at <= now))
    first = min((at for at, _ in limits), default=None)
    if over:
        return LabourCall(ring_now=True, ring_at=now if at_once else first, why=over)
    why = tuple(reason for at, reason in limits if at == first)
    return LabourCall(ring_now=False, ring_at=first, why=why)


def labour_seen(told: LabourFacts, *, book: Knowledge) -> Labour:
    """What the limits look at, from everything that was seen in its order.

    A rest shorter than that of the knowledge is none: the straining before it goes on. While
    the start is not known it is counted from when she was noticed, and said to be unknown.
    """
    started = told.began
    begin = told.noticed_at if started is None else started
    since: datetime | None = begin
    rested_at: datetime | None = None
    short = timedelta(minutes=int(book.number("labour_rest_minutes")))
    turns = [one for one in told.seen if one.what in (Seen.RESTS, Seen.STRAINS)]
    before = begin
    for turn in sorted(turns, key=lambda one: (one.at or begin, one.id)):
        at = turn.at or begin
        if turn.what is Seen.RESTS and since is not None:
            before, since, rested_at = since, None, at
        elif turn.what is Seen.STRAINS and since is None and rested_at is not None:
            since = before if at - rested_at < short else at
    return Labour(
        straining_since=since,
        on_and_off_since=begin,
        pups_at=told.pups_at,
        start_unknown=started is None,
        signs=tuple(dict.fromkeys(one.sign for one in told.seen if one.what is Seen.SIGN)),
    )


def _at_once(seen: Labour, book: Knowledge) -> Iterator[Reason]:
    for sign in seen.signs:
        known = book.living.birth_sign(sign)
        if known.urgency == "emergency":
            yield Reason(words=known.words, sources=known.sources, code=sign)
    if seen.start_unknown:
        words = "nobody knows since when she strains, so it counts as too long"
        yield from_number(book, "labour_active_minutes", words)


def _straining(seen: Labour, book: Knowledge) -> tuple[datetime, Reason] | None:
    if seen.straining_since is None:
        return None
    since = max([seen.straining_since, *seen.pups_at])
    minutes = int(book.span("labour_active_minutes").low)
    words = f"straining for {minutes} minutes without a pup"
    return since + timedelta(minutes=minutes), from_number(book, "labour_active_minutes", words)


def _on_and_off(seen: Labour, book: Knowledge) -> tuple[datetime, Reason] | None:
    if seen.on_and_off_since is None:
        return None
    since = max([seen.on_and_off_since, *seen.pups_at])
    hours = int(book.number("labour_on_off_hours"))
    words = f"straining on and off for {hours} hours without a pup"
    return since + timedelta(hours=hours), from_number(book, "labour_on_off_hours", words)
