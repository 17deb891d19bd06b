"""Write doses as they were given or tried, their corrections, and the answers about them."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from cavyround.facts.courses import GivenDose, Outcome
from cavyround.record import models
from cavyround.record.models.entries import kept_already, new_id
from cavyround.record.shelf import opened_by_use

UUID_VERSION_BY_TIME = 7
# A phone's clock may run a little ahead; a dose is not given further in the future than this.
AHEAD = timedelta(minutes=15)
AMOUNT_PLACES = 6


class DoseRefusedError(ValueError):
    """Why an entry cannot be kept, in words for the person who made it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseSaid:
    """One try at one dose as it was entered; see ``models.DoseEntry`` for what the fields mean."""

    course: UUID
    at: datetime
    outcome: str
    id: UUID = field(default_factory=new_id)
    why: str = ""
    number: int | None = None
    weight_g: Decimal | None = None
    weighed_at: datetime | None = None
    amount: Decimal | None = None
    unit: str = ""
    lot: UUID | None = None
    syringe: str = ""
    second: int | None = None
    second_said: str = ""
    worked: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerSaid:
    """An answer to a question after a dose, as it was entered."""

    course: UUID
    question: str
    answer: str
    at: datetime
    id: UUID = field(default_factory=new_id)
    dose: UUID | None = None
    note: str = ""


# What must be the same for an entry sent twice to be one and the same.
_SAME = (
    *("course_id", "at", "outcome", "why", "number", "weight_g", "weighed_at"),
    *("amount", "unit", "lot_id", "second_id", "second_said"),
)


def keep_dose(
    person: models.Person,
    said: DoseSaid,
    now: datetime,
    *,
    sender: models.Person | None = None,
) -> models.DoseEntry:
    """Keep one dose that was given or tried by ``person``; sent again it changes nothing.

    What was done is kept also where it should not have been: the pages say so. Raises
    DoseRefusedError, with words, for what cannot have been.
    """
    _refuse_impossible(person, said, now)
    row = models.DoseEntry(
        id=said.id,
        course_id=said.course,
        number=said.number,
        at=said.at,
        outcome=said.outcome,
        why=said.why.strip(),
        weight_g=said.weight_g,
        weighed_at=said.weighed_at,
        # As the table keeps it: an entry sent twice is compared with what was kept.
        amount=None if said.amount is None else round(said.amount, AMOUNT_PLACES),
        unit=said.unit,
        lot_id=said.lot,
        syringe=said.syringe,
        second_id=said.second,
        second_said=said.second_said.strip(),
        worked=said.worked,
        made_at=said.at,
        made_by=person,
        sent_by=sender or person,
    )
    with transaction.atomic():
        known = kept_already(models.DoseEntry, said.id)
        if known is None:
            row.save()
            if said.lot is not None and said.amount is not None:
                opened_by_use(person, said.lot, timezone.localdate(said.at), now)
            return row
    if any(getattr(known, name) != getattr(row, name) for name in _SAME):
        msg = "Another entry has this id. Nothing was written over; tell whoever runs the tool."
        raise DoseRefusedError(msg)
    return known


def _refuse_impossible(person: models.Person, said: DoseSaid, now: datetime) -> None:
    for why in (
        _why_not_kept(person, said.id, said.at, said.course, now),
        _why_no_amount(said),
        _why_no_second(person, said),
    ):
        if why:
            raise DoseRefusedError(why)
    try:
        GivenDose(
            id=str(said.id),
            at=said.at,
            outcome=Outcome(said.outcome),
            by=str(person),
            why=said.why,
            number=said.number,
            weight_g=said.weight_g,
            weighed_at=said.weighed_at,
        )
    except ValueError as odd:
        raise DoseRefusedError(str(odd)) from None


def _why_not_kept(
    person: models.Person, entry: UUID, at: datetime, course: UUID, now: datetime
) -> str:
    """What speaks against an entry of any kind about a course."""
    if not person.may_record:
        return f"{person} may read but not record. Sign in as a carer to send this."
    if entry.version != UUID_VERSION_BY_TIME:
        return "id: an entry's id must sort by time (UUIDv7)."
    if at.utcoffset() is None:
        return "at: the moment needs its time zone."
    if at > now + AHEAD:
        return "at: this would lie in the future. Is a clock wrong?"
    if not models.Course.objects.filter(pk=course).exists():
        return "course: there is no such course here."
    return ""


def _why_no_amount(said: DoseSaid) -> str:
    if (said.amount is None) != (not said.unit):
        return "amount: an amount needs its unit, and a unit its amount."
    if said.amount is not None and not (said.amount.is_finite() and said.amount > 0):
        return "amount: more than nothing is drawn."
    if said.amount is not None and said.outcome == Outcome.NOT_GIVEN:
        return "amount: of a dose that was not given nothing was drawn."
    if said.lot is not None and not models.Lot.objects.filter(pk=said.lot).exists():
        return "lot: there is no such lot on the shelf."
    return ""


def _why_no_second(person: models.Person, said: DoseSaid) -> str:
    if said.second is None:
        return ""
    if said.second == person.pk:
        return "second: the second person is somebody else than the one who gives it."
    if not models.Person.objects.filter(pk=said.second, is_active=True).exists():
        return "second: there is no such person."
    return ""


@transaction.atomic
def correct_dose(
    person: models.Person,
    entry: models.DoseEntry,
    why: str,
    now: datetime,
    *,
    replacement: DoseSaid | None = None,
    id: UUID | None = None,  # noqa: A002 -- made at the source
) -> models.DoseCorrection:
    """An entry no longer stands, and why; another may stand instead. Both stay readable."""
    known = kept_already(models.DoseCorrection, id)
    if known is not None:
        return known
    if not why.strip():
        msg = "why: say why the entry is corrected."
        raise DoseRefusedError(msg)
    if entry.corrections.exists():
        msg = "This entry was corrected already. Correct what stands instead of it."
        raise DoseRefusedError(msg)
    if entry.made_by_id != person.pk and not person.may_lead:
        msg = "Only a lead corrects what another entered. Tell the one who entered it, or a lead."
        raise DoseRefusedError(msg)
    if replacement is not None and replacement.course != entry.course_id:
        msg = "A correction is of the same course."
        raise DoseRefusedError(msg)
    instead = keep_dose(person, replacement, now) if replacement is not None else None
    correction = models.DoseCorrection(
        id=id or new_id(),
        corrects=entry,
        replacement=instead,
        why=why.strip(),
        made_at=now,
        made_by=person,
    )
    correction.save()
    return correction


def keep_answer(
    person: models.Person,
    said: AnswerSaid,
    now: datetime,
    *,
    sender: models.Person | None = None,
) -> models.DoseAnswer:
    """Keep an answer about the doses of a course; sent again it changes nothing."""
    why = _why_not_kept(person, said.id, said.at, said.course, now)
    if why:
        raise DoseRefusedError(why)
    known = kept_already(models.DoseAnswer, said.id)
    if known is not None:
        return known
    row = models.DoseAnswer(
        id=said.id,
        course_id=said.course,
        dose_id=said.dose,
        question=said.question,
        answer=said.answer,
        note=said.note.strip(),
        at=said.at,
        made_at=said.at,
        made_by=person,
        sent_by=sender or person,
    )
    row.save()
    return row
