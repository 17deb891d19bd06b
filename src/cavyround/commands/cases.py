"""Coded cases from a file: facts written down by hand, to try the triage on."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator

from cavyround.facts.animal import (
    DAYS_PER_MONTH,
    AnimalFacts,
    Born,
    Event,
    Known,
    OpenFollowUp,
    Place,
    Sex,
    StandingMark,
    Weighing,
)
from cavyround.facts.observation import Grade, Observation, Side, Status
from cavyround.knowledge.urgency import Urgency

NOON = time(12)
OLDEST_MONTHS = 240
SEXES = {
    "female": Sex.SOW,
    "sow": Sex.SOW,
    "male": Sex.BOAR,
    "boar": Sex.BOAR,
    "unknown": Sex.UNKNOWN,
}
KNOWN = {
    "yes": Known.YES,
    "true": Known.YES,
    "no": Known.NO,
    "false": Known.NO,
    "possible": Known.POSSIBLE,
    "unknown": Known.UNKNOWN,
}


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class CodedFinding(_Part):
    """One finding in the codes of the vocabulary."""

    region: str
    finding: str
    side: Side = Side.NOT_SAID
    status: Status = Status.PRESENT
    grade: Grade | None = None
    kind: tuple[str, ...] = ()
    value: Decimal | None = None
    unit: str | None = None
    hours: Decimal | None = Field(default=None, ge=0)
    mark: str | None = None

    @model_validator(mode="after")
    def _value_has_unit(self) -> "CodedFinding":
        if (self.value is None) != (self.unit is None):
            msg = "a value needs its unit, and a unit its value"
            raise ValueError(msg)
        return self


class CodedEvent(_Part):
    """Something that happened, so many days ago where that is known."""

    what: str
    days_ago: int | None = Field(default=None, ge=0)


class Weight(_Part):
    """One weighing."""

    date: date
    g: Decimal = Field(gt=0)


class Signalment(_Part):
    """Sex, age and so on; leave out or write ``unknown`` what nobody knows."""

    sex: str = "unknown"
    neutered: str = "unknown"
    age_months: str = "unknown"
    pregnant: str = "unknown"
    coat: tuple[str, ...] = ()
    due_in_days: int | None = None
    dark_skin: bool | None = None

    @field_validator("sex")
    @classmethod
    def _is_a_sex(cls, given: str) -> str:
        return _one_of(given, SEXES)

    @field_validator("neutered", "pregnant")
    @classmethod
    def _is_an_answer(cls, given: str) -> str:
        return _one_of(given.lower(), KNOWN)

    @field_validator("age_months")
    @classmethod
    def _is_an_age(cls, given: str) -> str:
        if given == "unknown":
            return given
        try:
            fits = 0 <= Decimal(given) <= OLDEST_MONTHS
        except ArithmeticError:
            fits = False
        if not fits:
            msg = f"{given!r} is no age in months; leave it out where nobody knows"
            raise ValueError(msg)
        return given


def _one_of(given: str, known: Mapping[str, Any]) -> str:
    if given not in known:
        msg = f"{given!r} is none of {', '.join(known)}"
        raise ValueError(msg)
    return given


class FailedRecheck(_Part):
    """A finding that should have been gone by now."""

    region: str
    finding: str
    side: Side = Side.NOT_SAID
    urgency: str = "carer_recheck"

    @field_validator("urgency")
    @classmethod
    def _is_an_urgency(cls, given: str) -> str:
        return _one_of(given, {level.code: level for level in Urgency})


class KnownMark(_Part):
    """A standing mark."""

    id: str
    region: str
    finding: str
    side: str = "N"
    size_mm: Decimal | None = None
    words: str = "known"
    said_by: str = "vet"


class Case(_Part):
    """One case. ``now`` is left out where the last weighing's day will do."""

    id: str
    story: str = ""
    setting: Place | None = None
    signalment: Signalment = Signalment()
    weights: tuple[Weight, ...] = ()
    findings: tuple[CodedFinding, ...] = ()
    before: tuple[CodedFinding, ...] | None = None
    events: tuple[CodedEvent, ...] = ()
    failed_rechecks: tuple[FailedRecheck, ...] = ()
    marks: tuple[KnownMark, ...] = ()
    now: datetime | None = None
    expected: Mapping[str, Any] = Field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Readied:
    """A case as facts, and the moment it is asked about."""

    facts: AnimalFacts
    now: datetime


def ready(case: Case) -> Readied:
    """The facts of a case."""
    now = _now(case)
    said = case.signalment
    return Readied(
        AnimalFacts(
            id=case.id,
            sex=SEXES[said.sex],
            neutered=KNOWN[said.neutered],
            born=born_at(said.age_months, now),
            pregnant=KNOWN[said.pregnant],
            due_from=None
            if said.due_in_days is None
            else now.date() + timedelta(days=said.due_in_days),
            coat=frozenset(said.coat),
            dark_skin=said.dark_skin,
            place=case.setting,
            observations=tuple(_observation(found, now) for found in case.findings),
            before=tuple(_observation(found, now) for found in case.before or ()),
            checked_before=case.before is not None,
            weighings=tuple(
                Weighing(at=datetime.combine(w.date, NOON, UTC), grams=w.g) for w in case.weights
            ),
            events=tuple(_event(event, now) for event in case.events),
            marks=tuple(StandingMark(**mark.model_dump()) for mark in case.marks),
            follow_ups=tuple(_failed(one, now) for one in case.failed_rechecks),
        ),
        now,
    )


def _now(case: Case) -> datetime:
    if case.now is not None:
        return case.now if case.now.tzinfo else case.now.replace(tzinfo=UTC)
    if case.weights:
        return datetime.combine(max(w.date for w in case.weights), NOON, UTC)
    return datetime.combine(date(2026, 3, 3), NOON, UTC)


def born_at(age_months: str, now: datetime) -> Born:
    """The day of birth by an age in months, or nothing where it is unknown."""
    if age_months == "unknown":
        return Born()
    day = now.date() - timedelta(days=round(Decimal(age_months) * DAYS_PER_MONTH))
    return Born(earliest=day, latest=day)


def _observation(found: CodedFinding, now: datetime) -> Observation:
    began = None if found.hours is None else now - timedelta(hours=float(found.hours))
    return Observation(
        region=found.region,
        finding=found.finding,
        side=found.side,
        status=found.status,
        grade=found.grade,
        kinds=frozenset(found.kind),
        value=found.value,
        unit=found.unit,
        began_at=began,
        seen_at=now,
        mark_id=found.mark,
    )


def _event(event: CodedEvent, now: datetime) -> Event:
    on = None if event.days_ago is None else now.date() - timedelta(days=event.days_ago)
    return Event(what=event.what, on=on)


def _failed(one: FailedRecheck, now: datetime) -> OpenFollowUp:
    return OpenFollowUp(
        id=f"{one.region}.{one.finding}",
        region=one.region,
        finding=one.finding,
        side=one.side,
        due_at=now - timedelta(hours=1),
        urgency=Urgency.from_code(one.urgency),
    )
