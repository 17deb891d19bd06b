"""How long labour may last before the vet is rung."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from cavyround.engines.breeding.reasons import Reason, from_number
from cavyround.knowledge.book import Knowledge


@dataclass(frozen=True, slots=True, kw_only=True)
class Labour:
    """What was seen of a birth: since when she strains, and when each pup came."""

    straining_since: datetime | None = None
    on_and_off_since: datetime | None = None
    pups_at: tuple[datetime, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourCall:
    """Whether to ring the vet now; ``ring_at`` is when at the latest, if nothing comes."""

    ring_now: bool
    ring_at: datetime | None
    why: tuple[Reason, ...]


def labour(seen: Labour, *, now: datetime, book: Knowledge) -> LabourCall:
    """When labour lasts too long: straining without a pup, on and off, or over half an hour."""
    limits = [one for one in (_straining(seen, book), _on_and_off(seen, book)) if one is not None]
    if seen.pups_at and seen.straining_since is not None:
        whole = timedelta(minutes=int(book.number("labour_whole_minutes")))
        words = "all pups come within about half an hour, and she strains still"
        reason = from_number(book, "labour_whole_minutes", words)
        limits.append((min(seen.pups_at) + whole, reason))
    if not limits:
        return LabourCall(ring_now=False, ring_at=None, why=())
    over = tuple(reason for at, reason in limits if at <= now)
    first = min(at for at, _ in limits)
    why = over or tuple(reason for at, reason in limits if at == first)
    return LabourCall(ring_now=bool(over), ring_at=first, why=why)


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
