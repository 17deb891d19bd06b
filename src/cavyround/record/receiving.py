"""Take touches from the check screen into the record: all that fits, once, and nothing twice."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction
from pydantic import AwareDatetime, BaseModel, ConfigDict, ValidationError

from cavyround.facts.entries import BadTouchError, Corrected, TakenBack, read_touch
from cavyround.record.models import Animal, Check, CheckEntry, Person
from cavyround.record.models.checks import CheckKind
from cavyround.record.reading_off import read_off

# A phone's clock may run a little ahead; a day ahead is a wrong clock and would hide newer entries.
CLOCK_MAY_RUN_AHEAD = timedelta(hours=24)
UUID_VERSION_BY_TIME = 7


class SentCheck(BaseModel):
    """The check a touch belongs to, as the phone knows it."""

    model_config = ConfigDict(extra="forbid")

    id: UUID
    animal: UUID
    kind: CheckKind
    started_at: AwareDatetime


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
    receipts: list[Receipt] = []
    touched: dict[UUID, Check] = {}
    with transaction.atomic():
        for item in items:
            shown_id = str(item.get("id", "?")) if isinstance(item, dict) else "?"
            try:
                # A savepoint: what is refused leaves nothing behind, not even an empty check.
                with transaction.atomic():
                    check = _keep(person, item, now)
            except (RefusedError, BadTouchError) as refused:
                receipts.append(Receipt(shown_id, str(refused)))
                continue
            touched[check.id] = check
            receipts.append(Receipt(shown_id))
        for check in touched.values():
            read_off(check)
    return receipts


def _keep(person: Person, item: object, now: datetime) -> Check:
    sent = _read(item)
    if not person.may_record:
        msg = f"{person} may read but not record. Sign in as a carer to send this."
        raise RefusedError(msg)
    if max(sent.made_at, sent.check.started_at) > now + CLOCK_MAY_RUN_AHEAD:
        msg = "This was made more than a day in the future: set the phone's clock, then send again."
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
    check = Check.objects.filter(pk=sent.check.id).first()
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
    )


def _maker(by: int | None, person: Person) -> Person:
    """Who made the touch: the phone may still hold the entries of whoever used it before."""
    if by is None or by == person.pk:
        return person
    maker = Person.objects.filter(pk=by).first()
    return maker if maker is not None and maker.may_record else person


def _may_undo(touch: object, maker: Person, check: Check, *, sender: Person) -> None:
    """One's own entries may be undone by oneself; a lead's right is that of who is signed in."""
    if not isinstance(touch, TakenBack | Corrected):
        return
    target = CheckEntry.objects.filter(pk=touch.entry, check_in=check).first()
    if target is None:
        msg = "What this takes back is not in this check. Send the earlier entries first."
        raise RefusedError(msg)
    if target.made_by_id != maker.pk and not sender.may_lead:
        msg = f"{target.made_by} made this entry: only they or a lead may change it."
        raise RefusedError(msg)
