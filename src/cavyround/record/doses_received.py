"""Take what the dose round sends into the record: all that fits, once, and nothing twice."""

import json
import logging
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import OperationalError, transaction
from pydantic import AwareDatetime, BaseModel, ConfigDict, ValidationError

from cavyround.facts.dose_entries import AnswerGiven, DoseTried, EntryTakenBack, read_dose_entry
from cavyround.facts.entries import BadTouchError
from cavyround.knowledge.book import Knowledge
from cavyround.record.clocks import PhoneClock
from cavyround.record.dose_answers import keep_asked, take_answer_back
from cavyround.record.doses import DoseRefusedError, DoseSaid, correct_dose, keep_dose
from cavyround.record.models import Course, DoseAnswer, DoseCorrection, DoseEntry, Person
from cavyround.record.receiving import BROKEN, Receipt, RefusedError

TAKEN_BACK = "taken back on the round"
log = logging.getLogger(__name__)


class SentAbout(BaseModel):
    """What an entry is about: ``id`` names the due dose, or the question, on the phone's list."""

    model_config = ConfigDict(extra="forbid")

    id: str
    animal: UUID
    course: UUID
    number: int | None = None


class SentEntry(BaseModel):
    """One entry in its envelope."""

    model_config = ConfigDict(extra="forbid")

    id: UUID
    check: SentAbout
    made_at: AwareDatetime
    by: int | None = None
    touch: dict[str, object]


@dataclass(frozen=True, slots=True)
class _Sending:
    """Who sends, by which clock, and what the trade knows of questions after a dose."""

    person: Person
    clock: PhoneClock
    book: Knowledge


def receive_doses(
    person: Person,
    items: Iterable[object],
    now: datetime,
    *,
    book: Knowledge,
    sent_at: datetime | None = None,
) -> list[Receipt]:
    """Keep every entry that fits, each in its own right; one that does not fit stops no other.

    What was done is kept, also where another phone did it too: both stand. Sending again
    changes nothing. A moment is set right by the clock it was sent with.
    """
    sending = _Sending(person, PhoneClock(now, sent_at), book)
    return [_received(sending, item, place) for place, item in enumerate(items)]


def _received(sending: _Sending, item: object, place: int) -> Receipt:
    shown = str(item.get("id", "?")) if isinstance(item, dict) else "?"
    try:
        with transaction.atomic():
            _keep(sending, _read(item), place)
    except (RefusedError, BadTouchError, DoseRefusedError) as refused:
        return Receipt(shown, str(refused))
    except (OperationalError, OSError):
        # A full disk or a busy database is no fault of the entries: the phone sends them again.
        raise
    except Exception:
        log.exception("An entry of the dose round could not be kept: %r", item)
        return Receipt(shown, BROKEN)
    return Receipt(shown)


def _read(item: object) -> SentEntry:
    try:
        sent = SentEntry.model_validate(item)
    except ValidationError as refused:
        fault = refused.errors(include_url=False)[0]
        where = ".".join(str(part) for part in fault["loc"])
        msg = f"{where}: {fault['msg']}" if where else "This is no entry of a dose round."
        raise RefusedError(msg) from None
    if "\\u0000" in json.dumps(sent.touch):
        msg = "This holds a sign that cannot be written down (a zero character). Type it again."
        raise RefusedError(msg)
    return sent


def _keep(sending: _Sending, sent: SentEntry, place: int) -> None:
    if not sending.person.may_record:
        msg = f"{sending.person} may read but not record. Sign in as a carer to send this."
        raise RefusedError(msg)
    entry = read_dose_entry(sent.touch)
    maker = _maker(sent.by, sending.person)
    at = sending.clock.set_right(sent.made_at, place)
    if isinstance(entry, EntryTakenBack):
        _take_back(sending, maker, sent, entry.entry, at)
        return
    if entry.course != sent.check.course:
        msg = "This entry names another course than the dose it was made for. Load the list again."
        raise RefusedError(msg)
    course = Course.objects.filter(pk=entry.course).select_related("animal", "order").first()
    if course is None or course.animal_id != sent.check.animal:
        msg = "Nobody here knows this course of this animal. Load today's doses again."
        raise RefusedError(msg)
    if isinstance(entry, AnswerGiven):
        keep_asked(
            maker, course, entry, id=sent.id, at=at, book=sending.book, sender=sending.person
        )
    else:
        _try(sending, maker, sent.id, entry, at)


def _try(
    sending: _Sending, maker: Person, entry: UUID, tried: DoseTried, at: datetime
) -> DoseEntry:
    # What an earlier sending set right stays as it was then: it is one and the same entry.
    known = DoseEntry.objects.filter(pk=entry).values_list("at", flat=True).first()
    said = DoseSaid(
        id=entry,
        course=tried.course,
        at=known or at,
        outcome=tried.outcome,
        why=tried.why,
        number=tried.number,
        weight_g=tried.weight_g,
        weighed_at=tried.weighed_at,
        amount=tried.amount,
        unit=tried.unit,
        lot=tried.lot,
        syringe=tried.syringe,
        second=tried.second,
        worked=tried.worked,
    )
    return keep_dose(maker, said, sending.clock.now, sender=sending.person)


def _maker(by: int | None, person: Person) -> Person:
    """Who made the entry: the phone may still hold those of whoever used it before."""
    if by is None or by == person.pk:
        return person
    maker = Person.objects.filter(pk=by).first()
    return maker if maker is not None and maker.may_record else person


def _take_back(
    sending: _Sending, maker: Person, sent: SentEntry, entry: UUID, at: datetime
) -> None:
    dose = DoseEntry.objects.filter(pk=entry, course=sent.check.course).first()
    if dose is not None:
        if not DoseCorrection.objects.filter(pk=sent.id).exists():
            _undo_dose(sending, maker, dose, sent.id)
        return
    answer = DoseAnswer.objects.filter(pk=entry, course=sent.check.course).first()
    if answer is None:
        msg = "What this takes back is not in the record. Send the earlier entries first."
        raise RefusedError(msg)
    take_answer_back(maker, answer, TAKEN_BACK, id=sent.id, at=at, sender=sending.person)


def _undo_dose(sending: _Sending, maker: Person, dose: DoseEntry, correction: UUID) -> None:
    """One's own entry, or one that this phone sent for another, or any by a lead."""
    person = sending.person
    sent_for = dose.made_by_id == maker.pk and dose.sent_by_id == person.pk
    who = maker if sent_for else person
    correct_dose(who, dose, TAKEN_BACK, sending.clock.now, id=correction)
