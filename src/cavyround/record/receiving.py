"""Take touches from the check screen into the record: all that fits, once, and nothing twice."""

import json
import logging
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from uuid import UUID

from django.db import OperationalError, transaction
from django.utils import timezone
from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, ValidationError

from cavyround.facts.days import why_no_day
from cavyround.facts.entries import (
    AnyTouch,
    BadTouchError,
    ClockSetRight,
    Corrected,
    TakenBack,
    Told,
    read_touch,
)
from cavyround.record.changes import weights_changed
from cavyround.record.clocks import PhoneClock
from cavyround.record.models import Animal, Check, CheckEntry, Person
from cavyround.record.models.checks import CheckKind
from cavyround.record.reading_off import read_off

BROKEN = (
    "This entry broke something on our side. It stays on this phone; tell whoever runs the tool."
)
log = logging.getLogger(__name__)
UUID_VERSION_BY_TIME = 7


# What may change what an animal's weights say; a taking back or a correction may be of a weight.
BEARS_ON_WEIGHT = frozenset({"weight", "event", "take_back", "correction"})


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


@dataclass(frozen=True, slots=True)
class _Kept:
    """One touch that fits: its check, its entry if it is new, and whether the check is."""

    sent: SentTouch
    check: Check
    entry: CheckEntry | None
    began: bool


@dataclass(slots=True)
class _Sending:
    """One sending: who sends, by which clock, and what of it came into which check."""

    person: Person
    clock: PhoneClock
    place: int = 0
    touched: dict[UUID, Check] = field(default_factory=dict)
    weighed: set[UUID] = field(default_factory=set)
    # By check: what the phone's clock said where it was set right.
    made_at: dict[UUID, dict[UUID, datetime]] = field(default_factory=dict)
    started_at: dict[UUID, datetime] = field(default_factory=dict)

    def right(self, said: datetime) -> datetime:
        """A moment of this sending by our clock."""
        return self.clock.set_right(said, self.place)

    def note(self, kept: _Kept) -> None:
        """The check was touched; what the phone's clock said otherwise is not to be lost."""
        sent, check = kept.sent, kept.check
        self.touched[check.id] = check
        if kept.entry is not None and kept.entry.kind in BEARS_ON_WEIGHT:
            self.weighed.add(check.animal_id)
        if kept.entry is not None and kept.entry.made_at != sent.made_at:
            self.made_at.setdefault(check.id, {})[kept.entry.id] = sent.made_at
        if kept.began and check.started_at != sent.check.started_at:
            self.started_at[check.id] = sent.check.started_at


def receive(
    person: Person, items: Iterable[object], now: datetime, *, sent_at: datetime | None = None
) -> list[Receipt]:
    """Keep every touch that fits, each in its own right; one that does not fit stops no other.

    Sending a touch again changes nothing and is answered as kept. ``sent_at`` is the moment of
    sending by the phone's own clock; what that clock says wrongly is set right.
    """
    everything = list(items)
    try:
        return _receive(person, everything, PhoneClock(now, sent_at))
    except (OperationalError, OSError):
        # A full disk or a busy database is no fault of the entries: the phone sends them again.
        raise
    except Exception:
        if len(everything) == 1:
            log.exception("An entry could not be kept: %r", everything[0])
            return [Receipt(_shown_id(everything[0]), BROKEN)]
        # One entry among many broke something: each is tried alone, so that it stops no other
        # and the phones do not send the same batch for ever.
        return [
            receipt
            for item in everything
            for receipt in receive(person, [item], now, sent_at=sent_at)
        ]


def _receive(person: Person, items: list[object], clock: PhoneClock) -> list[Receipt]:
    receipts: list[Receipt] = []
    sending = _Sending(person, clock)
    with transaction.atomic():
        for place, item in enumerate(items):
            sending.place = place
            try:
                # A savepoint: what is refused leaves nothing behind, not even an empty check.
                with transaction.atomic():
                    kept = _keep(sending, _read(item))
            except (RefusedError, BadTouchError) as refused:
                receipts.append(Receipt(_shown_id(item), str(refused)))
                continue
            sending.note(kept)
            receipts.append(Receipt(_shown_id(item)))
        for check in sending.touched.values():
            _keep_what_the_clock_said(sending, check)
            read_off(check)
        if sending.weighed:
            weights_changed.send_robust(None, animals=sending.weighed, now=clock.now)
    return receipts


def _shown_id(item: object) -> str:
    return str(item.get("id", "?")) if isinstance(item, dict) else "?"


def _keep(sending: _Sending, sent: SentTouch) -> _Kept:
    person = sending.person
    if not person.may_record:
        msg = f"{person} may read but not record. Sign in as a carer to send this."
        raise RefusedError(msg)
    if "\\u0000" in json.dumps(sent.touch):
        msg = "This holds a sign that cannot be written down (a zero character). Type it again."
        raise RefusedError(msg)
    touch = read_touch(sent.touch)
    if isinstance(touch, ClockSetRight):
        msg = "Only the record itself writes down how a clock was set right."
        raise RefusedError(msg)
    check, began = _check_of(sent, sending)
    known = CheckEntry.objects.filter(pk=sent.id).first()
    if known is not None:
        if known.check_in_id != check.id or known.data != sent.touch:
            msg = "Another entry has this id. Nothing was written over; tell whoever runs the tool."
            raise RefusedError(msg)
        return _Kept(sent, check, None, began)
    made_at = sending.right(sent.made_at)
    _refuse_impossible_day(touch, timezone.localdate(made_at))
    maker = _maker(sent.by, person)
    _may_undo(touch, maker, check, sender=person)
    entry = CheckEntry(
        id=sent.id,
        check_in=check,
        kind=touch.kind,
        data=sent.touch,
        made_at=made_at,
        made_by=maker,
        sent_by=person,
    )
    entry.save()
    return _Kept(sent, check, entry, began)


def _refuse_impossible_day(touch: AnyTouch, today: date) -> None:
    """What happened on a day did so by the day it was told, and within a guinea pig's life."""
    told = touch.data if isinstance(touch, Corrected) else touch
    if not isinstance(told, Told) or told.on is None:
        return
    why = why_no_day(told.on, today)
    if not why and told.on > today:
        why = f"{told.on.isoformat()} is still to come: only what has happened is told here."
    if why:
        msg = f"on: {why}"
        raise RefusedError(msg)


def _keep_what_the_clock_said(sending: _Sending, check: Check) -> None:
    """Nothing a phone said is thrown away: its own moments stand in an entry beside the others."""
    said = sending.made_at.get(check.id, {})
    began = sending.started_at.get(check.id)
    if not said and began is None:
        return
    clock = sending.clock
    touch = ClockSetRight(
        kind="clock", phone=clock.sent_at, here=clock.now, started_at=began, made_at=said
    )
    CheckEntry(
        check_in=check,
        kind=touch.kind,
        data=touch.model_dump(mode="json"),
        made_at=clock.now,
        made_by=sending.person,
        sent_by=sending.person,
    ).save()


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


def _check_of(sent: SentTouch, sending: _Sending) -> tuple[Check, bool]:
    """The check of a touch, and whether it begins with this one."""
    # Locked where the database locks rows: two batches of one check are read off one by one.
    check = Check.objects.select_for_update().filter(pk=sent.check.id).first()
    if check is not None:
        if check.animal_id != sent.check.animal:
            msg = "This check belongs to another animal. Start a new check for this one."
            raise RefusedError(msg)
        return check, False
    animal = Animal.objects.filter(pk=sent.check.animal).first()
    if animal is None:
        msg = "Nobody here knows this animal. Load today's list again."
        raise RefusedError(msg)
    begun = Check.objects.create(
        id=sent.check.id,
        animal=animal,
        kind=sent.check.kind,
        started_at=sending.right(sent.check.started_at),
        started_by=_maker(sent.by, sending.person),
        planned=list(sent.check.planned),
    )
    return begun, True


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
    if why := _why_meaningless(touch, target):
        raise RefusedError(why)


def _why_meaningless(touch: TakenBack | Corrected, target: CheckEntry) -> str:
    """Why this undo would be kept and change nothing, or not what was meant; empty if neither."""
    if target.kind == "take_back":
        return "Taking back is not itself taken back or corrected. Enter anew what was taken back."
    if target.kind == "clock":
        return "What a phone's clock said is not taken back or corrected."
    if isinstance(touch, TakenBack):
        return ""
    if target.kind == "correction":
        return (
            "A correction is not itself corrected: correct the entry it belongs to once more, "
            "and the last correction stands."
        )
    undone = CheckEntry.objects.filter(check_in=target.check_in_id, kind="take_back")
    if undone.filter(data__entry=str(target.pk)).exists():
        return "This was taken back, so there is nothing left to correct. Enter it anew."
    if touch.data is not None and touch.data.kind != target.kind:
        return (
            "A correction says the same kind of thing as the entry it corrects. Strike the entry "
            "out, and enter the other thing anew."
        )
    return ""
