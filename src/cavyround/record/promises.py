"""Promises to look again, standing marks, and questions to the vet."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from cavyround.record.models import (
    AdviceGiven,
    Animal,
    Check,
    FollowUp,
    FollowUpOutcome,
    Person,
    StandingMark,
    StandingMarkEnd,
    VetAnswer,
    VetQuestion,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LookAgainAt:
    """What to look at again, and by when. Region and finding are empty for the whole animal."""

    due_at: datetime
    words: str
    region: str = ""
    finding: str = ""
    side: str = "N"
    urgency: str = "carer_recheck"
    until_gone: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A thing judged harmless: where, what, by whom, when."""

    region: str
    finding: str
    words: str
    said_by: str
    said_on: date
    side: str = "N"
    size_mm: Decimal | None = None
    view: str = ""
    x: int | None = None
    y: int | None = None


def promise(
    person: Person,
    animal: Animal,
    again: LookAgainAt,
    now: datetime,
    *,
    advice: AdviceGiven | None = None,
) -> FollowUp:
    """Promise to look again."""
    made = FollowUp(
        animal=animal,
        due_at=again.due_at,
        words=again.words,
        region=again.region,
        finding=again.finding,
        side=again.side,
        urgency=again.urgency,
        until_gone=again.until_gone,
        advice=advice,
        made_at=now,
        made_by=person,
    )
    made.save()
    return made


def settle(
    person: Person,
    follow_up: FollowUp,
    outcome: str,
    now: datetime,
    *,
    check: Check | None = None,
    reason: str = "",
) -> FollowUpOutcome:
    """Say how a promise was kept, or drop it with a reason."""
    said = FollowUpOutcome(
        follow_up=follow_up,
        outcome=outcome,
        check_in=check,
        reason=reason,
        made_at=now,
        made_by=person,
    )
    said.save()
    return said


def mark_standing(person: Person, animal: Animal, judged: Judged, now: datetime) -> StandingMark:
    """Write down something known and judged harmless."""
    mark = StandingMark(
        animal=animal,
        region=judged.region,
        finding=judged.finding,
        side=judged.side,
        size_mm=judged.size_mm,
        words=judged.words,
        said_by=judged.said_by,
        said_on=judged.said_on,
        view=judged.view,
        x=judged.x,
        y=judged.y,
        made_at=now,
        made_by=person,
    )
    mark.save()
    return mark


def end_mark(person: Person, mark: StandingMark, reason: str, now: datetime) -> StandingMarkEnd:
    """A standing mark no longer holds."""
    end = StandingMarkEnd(mark=mark, reason=reason, made_at=now, made_by=person)
    end.save()
    return end


def ask_vet(
    person: Person, animal: Animal, text: str, now: datetime, *, check: Check | None = None
) -> VetQuestion:
    """Put a question to the vet."""
    question = VetQuestion(animal=animal, text=text, check_in=check, made_at=now, made_by=person)
    question.save()
    return question


def answer_as_vet(person: Person, question: VetQuestion, text: str, now: datetime) -> VetAnswer:
    """The vet answers."""
    answer = VetAnswer(question=question, text=text, made_at=now, made_by=person)
    answer.save()
    return answer
