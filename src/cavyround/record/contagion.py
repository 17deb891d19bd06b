"""Write what was shared and cleaned, quarantines, and outbreaks."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from cavyround.record import models
from cavyround.record.animals import ImpossibleError

LONGEST_DAYS = 365


def _refuse(field: str, words: str) -> None:
    raise ImpossibleError(field, words)


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """How long an animal is kept apart."""

    began_on: date
    days: int
    second_look_days: int
    last_check_days: int
    air_counts: bool = True
    suspected: str = ""
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseSaid:
    """What is said of one animal as a case."""

    signs_at: datetime
    sure: str
    why: str
    over_at: datetime | None = None


def share(
    person: models.Person,
    animal: models.Animal,
    kind: str,
    name: str,
    now: datetime,
    *,
    began_at: datetime,
    ended_at: datetime | None = None,
) -> models.SharedUse:
    """An animal used a shared run or thing, or was in somebody's hands besides a check."""
    if ended_at is not None and ended_at < began_at:
        _refuse("ended_at", "It ends before it begins. Look at both times again.")
    if began_at > now:
        _refuse("began_at", "That lies in the future. Say when it was.")
    used = models.SharedUse(
        animal=animal,
        kind=kind,
        name=name.strip(),
        began_at=began_at,
        ended_at=ended_at if kind == "run" else ended_at or began_at,
        made_at=now,
        made_by=person,
    )
    used.save()
    return used


def clean_pen(
    person: models.Person, pen: models.Pen, how: str, now: datetime, *, at: datetime | None = None
) -> models.PenCleaned:
    """A pen was cleaned so that it no longer counts as catching."""
    if not how.strip():
        _refuse("how", "Say how: with what, for how long it stayed wet, what was thrown away.")
    cleaned = models.PenCleaned(pen=pen, at=at or now, how=how.strip(), made_at=now, made_by=person)
    cleaned.save()
    return cleaned


def set_quarantine(
    person: models.Person, animal: models.Animal, apart: Apart, now: datetime
) -> models.QuarantineSet:
    """Keep an animal apart, or set its time anew; what was set before stays readable."""
    if not 1 <= apart.days <= LONGEST_DAYS:
        _refuse("days", f"Between 1 and {LONGEST_DAYS} days.")
    if apart.began_on > timezone.localdate(now):
        _refuse("began_on", "A quarantine cannot begin in the future.")
    if not apart.why.strip():
        _refuse("why", "Say why: new, itchy, was with a case.")
    said = models.QuarantineSet(
        animal=animal,
        began_on=apart.began_on,
        days=apart.days,
        second_look_days=apart.second_look_days,
        last_check_days=apart.last_check_days,
        air_counts=apart.air_counts,
        suspected=apart.suspected,
        why=apart.why.strip(),
        made_at=now,
        made_by=person,
    )
    said.save()
    return said


def end_quarantine(
    person: models.Person,
    animal: models.Animal,
    now: datetime,
    *,
    missing: Sequence[str] = (),
    why: str = "",
) -> models.QuarantineEnd:
    """End a quarantine; with something missing only for a reason."""
    if missing and not why.strip():
        _refuse("why", "Not everything is met. Say why it ends all the same, and on whose word.")
    end = models.QuarantineEnd(
        animal=animal,
        on=timezone.localdate(now),
        missing=list(missing),
        why=why.strip(),
        made_at=now,
        made_by=person,
    )
    end.save()
    return end


@transaction.atomic
def open_outbreak(
    person: models.Person,
    kind: str,
    name: str,
    definition: str,
    first: models.Animal,
    case: CaseSaid,
    now: datetime,
    *,
    advice: models.AdviceGiven | None = None,
) -> models.Outbreak:
    """Something catching was found in a first animal."""
    outbreak = models.Outbreak(
        kind=kind,
        name=name.strip(),
        definition=definition.strip(),
        opened_on=timezone.localdate(now),
        advice=advice,
        made_at=now,
        made_by=person,
    )
    outbreak.save()
    say_case(person, outbreak, first, case, now)
    return outbreak


def say_case(
    person: models.Person,
    outbreak: models.Outbreak,
    animal: models.Animal,
    case: CaseSaid,
    now: datetime,
) -> models.OutbreakCase:
    """An animal is a case, is one no longer, or never was; what was said before stays readable."""
    if not _is_open_case(outbreak, animal):
        _refuse_closed(outbreak, "animal")
    if case.signs_at > now:
        _refuse("signs_at", "That lies in the future. Say when the first sign was seen.")
    if case.over_at is not None and case.over_at < case.signs_at:
        _refuse("over_at", "It cannot be over before it began.")
    if not case.why.strip():
        _refuse("why", "Say what it rests on: the sign, the culture, the vet's word.")
    said = models.OutbreakCase(
        outbreak=outbreak,
        animal=animal,
        signs_at=case.signs_at,
        sure=case.sure,
        over_at=case.over_at,
        why=case.why.strip(),
        made_at=now,
        made_by=person,
    )
    said.save()
    return said


def _is_open_case(outbreak: models.Outbreak, animal: models.Animal) -> bool:
    """A case that was open when its outbreak was closed is still to be said over, or ruled out."""
    said = models.OutbreakCase.objects.filter(outbreak=outbreak, animal=animal)
    last = said.order_by("made_at", "id").last()
    return last is not None and last.sure != "ruled_out" and last.over_at is None


def _refuse_closed(outbreak: models.Outbreak, field: str) -> None:
    """What is said of a closed one would be read by nobody."""
    closed = models.OutbreakClosed.objects.filter(outbreak=outbreak).first()
    if closed is not None:
        words = f"{outbreak} was closed on {closed.on:%d %B %Y}: open a new outbreak for this."
        _refuse(field, words)


def say_done(
    person: models.Person, outbreak: models.Outbreak, code: str, words: str, now: datetime
) -> models.OutbreakSaid:
    """Somebody says that a condition of closing is met."""
    _refuse_closed(outbreak, "words")
    if not words.strip():
        _refuse("words", "Say what was done, and by whom.")
    said = models.OutbreakSaid(
        outbreak=outbreak, code=code, words=words.strip(), made_at=now, made_by=person
    )
    said.save()
    return said


@transaction.atomic
def close_outbreak(
    person: models.Person,
    outbreak: models.Outbreak,
    now: datetime,
    *,
    unmet: Sequence[str] = (),
    why: str = "",
) -> models.OutbreakClosed:
    """Close an outbreak; with a condition not met only for a reason. Once."""
    known: models.OutbreakClosed | None = models.OutbreakClosed.objects.filter(
        outbreak=outbreak
    ).first()
    if known is not None:
        return known
    if unmet and not why.strip():
        _refuse("why", "Not every condition is met. Say why it is closed all the same.")
    closed = models.OutbreakClosed(
        outbreak=outbreak,
        on=timezone.localdate(now),
        unmet=list(unmet),
        why=why.strip(),
        made_at=now,
        made_by=person,
    )
    closed.save()
    return closed
