"""Take touches from the check screen into the record: all that fits, once, and nothing twice."""

import json
import logging
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from uuid import UUID

from django.db import OperationalError, transaction
from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, ValidationError

from cavyround.facts.entries import BadTouchError, Corrected, TakenBack, read_touch
from cavyround.record.models import Animal, Check, CheckEntry, Person
from cavyround.record.models.checks import CheckKind
from cavyround.record.reading_off import read_off

# A phone's clock may run a little ahead; a day ahead is a wrong clock and would hide newer entries.
CLOCK_MAY_RUN_AHEAD = timedelta(hours=24)
# A phone that lost its battery may believe it is 1970; nothing here is older than this.
EARLIEST = datetime(2015, 1, 1, tzinfo=UTC)
BROKEN = (
    "This entry broke something on our side. It stays on this phone; tell whoever runs the tool."
)
log = logging.getLogger(__name__)
UUID_VERSION_BY_TIME = 7


class SentCheck(BaseModel):
    """The check a touch belongs to, as the phone knows it."""

    model_config = ConfigDict(extra="forbid")

    id: UUID
    animal: UUID
    kind: CheckKind
    started_at: AwareDatetime
    planned: tuple[str, ...] = Field(default=(), max_length=60)


class SentTouch(BaseModel):
    """One touch in its envelope."""

    model_config = ConfigDict(extra="forbid")

    id: UUID
    check: SentCheck
    made_at: AwareDatetime
    by: int | None = None
    touch: dict[str, object]


@dataclass(frozen=True, slots=True)
class Receipt:
    """What became of one touch. ``why`` is empty where it is kept."""

    id: str
    why: str = ""

    @property
    def is_kept(self) -> bool:
        """Whether the record now holds it."""
        return not self.why


class RefusedError(ValueError):
    """Why a touch cannot be kept, in words for the person who made it."""


def receive(person: Person, items: Iterable[object], now: datetime) -> list[Receipt]:
    """Keep every touch that fits, each in its own right; one that does not fit stops no other.

    Sending a touch again changes nothing and is answered as kept.
    """
    everything = list(items)
    try:
        return _receive(person, everything, now)
    except (OperationalError, OSError):
        # A full disk or a busy database is no fault of the entries: the phone sends them again.
        raise
    except Exception:
        if len(everything) == 1:
            log.exception("An entry could not be kept: %r", everything[0])
            return [Receipt(_shown_id(everything[0]), BROKEN)]
        # One entry among many broke something: each is tried alone, so that it stops no other
        # and the phones do not send the same batch for ever.
        return [receipt for item in everything for receipt in receive(person, [item], now)]


def _receive(person: Person, items: list[object], now: datetime) -> list[Receipt]:
    receipts: list[Receipt] = []
    touched: dict[UUID, Check] = {}
    with transaction.atomic():
        for item in items:
            try:
                # A savepoint: what is refused leaves nothing behind, not even an empty check.
                with transaction.atomic():
                    check = _keep(person, item, now)
            except (RefusedError, BadTouchError) as refused:
                receipts.append(Receipt(_shown_id(item), str(refused)))
                continue
            touched[check.id] = check
            receipts.append(Receipt(_shown_id(item)))
        for check in touched.values():
            read_off(check)
    return receipts


def _shown_id(item: object) -> str:
    return str(item.get("id", "?")) if isinstance(item, dict) else "?"


def _keep(person: Person, item: object, now: datetime) -> Check:
    sent = _read(item)
    if not person.may_record:
        msg = f"{person} may read but not record. Sign in as a carer to send this."
        raise RefusedError(msg)
    if max(sent.made_at, sent.check.started_at) > now + CLOCK_MAY_RUN_AHEAD:
        msg = "This was made more than a day in the future: set the phone's clock, then send again."
        raise RefusedError(msg)
    if min(sent.made_at, sent.check.started_at) < EARLIEST:
        msg = "This was made before there were such phones: set the phone's clock, then send again."
        raise RefusedError(msg)
    if "\\u0000" in json.dumps(sent.touch):
        msg = "This holds a sign that cannot be written down (a zero character). Type it again."
        raise RefusedError(msg)
    touch = read_touch(sent.touch)
    check = _check_of(sent, person)
    known = CheckEntry.objects.filter(pk=sent.id).first()
    if known is not None:
        if known.check_in_id != check.id or known.data != sent.touch:
            msg = "Another entry has this id. Nothing was written over; tell whoever runs the tool."
            raise RefusedError(msg)
        return check
    maker = _maker(sent.by, person)
    _may_undo(touch, maker, check, sender=person)
    CheckEntry(
        id=sent.id,
        check_in=check,
        kind=touch.kind,
        data=sent.touch,
        made_at=sent.made_at,
        made_by=maker,
        sent_by=person,
    ).save()
    return check


def _read(item: object) -> SentTouch:
    try:
        sent = SentTouch.model_validate(item)
    except ValidationError as refused:
        fault = refused.errors(include_url=False)[0]
        where = ".".join(str(part) for part in fault["loc"])
        msg = f"{where}: {fault['msg']}" if where else "This is no entry of a check."
        raise RefusedError(msg) from None
    if sent.id.version != UUID_VERSION_BY_TIME:
        msg = "id: an entry's id must sort by time (UUIDv7)."
        raise RefusedError(msg)
    return sent


def _check_of(sent: SentTouch, person: Person) -> Check:
    # Locked where the database locks rows: two batches of one check are read off one by one.
    check = Check.objects.select_for_update().filter(pk=sent.check.id).first()
    if check is not None:
        if check.animal_id != sent.check.animal:
            msg = "This check belongs to another animal. Start a new check for this one."
            raise RefusedError(msg)
        return check
    animal = Animal.objects.filter(pk=sent.check.animal).first()
    if animal is None:
        msg = "Nobody here knows this animal. Load today's list again."
        raise RefusedError(msg)
    return Check.objects.create(
        id=sent.check.id,
        animal=animal,
        kind=sent.check.kind,
        started_at=sent.check.started_at,
        started_by=_maker(sent.by, person),
        planned=list(sent.check.planned),
    )


def _maker(by: int | None, person: Person) -> Person:
    """Who made the touch: the phone may still hold the entries of whoever used it before."""
    if by is None or by == person.pk:
        return person
    maker = Person.objects.filter(pk=by).first()
    if maker is None:
        return person
    # A carer who has become something else since still made what they made.
    known = maker.may_record or CheckEntry.objects.filter(made_by=maker).exists()
    return maker if known else person


def _may_undo(touch: object, maker: Person, check: Check, *, sender: Person) -> None:
    """One's own entries may be undone by oneself; a lead's right is that of who is signed in."""
    if not isinstance(touch, TakenBack | Corrected):
        return
    target = CheckEntry.objects.filter(pk=touch.entry, check_in=check).first()
    if target is None:
        msg = "What this takes back is not in this check. Send the earlier entries first."
        raise RefusedError(msg)
    own = target.made_by_id == sender.pk
    # Whoever sends for the one who used the phone before sends that one's undo as well.
    sent_for = target.made_by_id == maker.pk and target.sent_by_id == sender.pk
    if not (own or sent_for or sender.may_lead):
        msg = f"{target.made_by} made this entry: only they or a lead may change it."
        raise RefusedError(msg)
