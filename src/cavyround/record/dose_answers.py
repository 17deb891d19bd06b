"""Answers after a dose, kept with what they add: findings that triage then knows of."""

from datetime import datetime
from uuid import UUID

from cavyround.facts.dose_entries import AnswerGiven
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.courses import AfterDose
from cavyround.knowledge.rules import AddsObservation
from cavyround.record.doses import AnswerSaid, keep_answer
from cavyround.record.models import Check, Course, DoseAnswer, DoseAnswerTakenBack, Person
from cavyround.record.models.checks import CheckKind
from cavyround.record.models.entries import new_id
from cavyround.record.receiving import RefusedError, receive


def keep_asked(
    person: Person,
    course: Course,
    entry: AnswerGiven,
    *,
    id: UUID,  # noqa: A002 -- made at the source
    at: datetime,
    book: Knowledge,
    sender: Person,
) -> DoseAnswer:
    """Keep an answer; what it adds becomes a finding in a note of its own, of the answer's id.

    Raises RefusedError for a question or an answer nobody knows.
    """
    known: DoseAnswer | None = DoseAnswer.objects.filter(pk=id).first()
    if known is not None:
        return known
    question = next((one for one in book.after_dose if one.id == entry.question), None)
    if question is None or entry.answer >= len(question.answers):
        msg = "Nobody here knows this question or this answer. Load today's doses again."
        raise RefusedError(msg)
    said = AnswerSaid(
        id=id,
        course=course.pk,
        question=question.id,
        answer=question.answers[entry.answer].words,
        at=at,
        dose=entry.dose,
    )
    kept = keep_answer(person, said, at, sender=sender)
    _keep_finding(sender, course, question, kept, entry.answer, book)
    return kept


def _keep_finding(
    sender: Person,
    course: Course,
    question: AfterDose,
    kept: DoseAnswer,
    answer: int,
    book: Knowledge,
) -> None:
    """The finding an answer tells of, as a note about the animal."""
    adds = question.answers[answer].adds.observation
    if adds is None:
        return
    step = step_for(adds, book)
    note: dict[str, object] = {
        "id": str(kept.pk),
        "animal": str(course.animal_id),
        "kind": CheckKind.NOTE.value,
        "started_at": kept.at.isoformat(),
        "planned": [step],
    }
    touches: list[dict[str, object]] = [
        {
            "kind": "observation",
            "step": step,
            "region": adds.region,
            "finding": adds.finding,
            "side": adds.side,
            "status": adds.status,
            "kinds": list(adds.kind),
        },
        {"kind": "note", "text": f"Asked after a dose of {course.order}: {kept.answer}."},
        {"kind": "finish"},
    ]
    _receive(sender, kept, note, touches)


def _receive(
    sender: Person, kept: DoseAnswer, note: dict[str, object], touches: list[dict[str, object]]
) -> None:
    envelopes = [
        {
            "id": str(new_id()),
            "check": note,
            "made_at": kept.at.isoformat(),
            "by": kept.made_by_id,
            "touch": touch,
        }
        for touch in touches
    ]
    for receipt in receive(sender, envelopes, kept.at):
        if not receipt.is_kept:
            raise RefusedError(receipt.why)


def step_for(adds: AddsObservation, book: Knowledge) -> str:
    """The step of the check that looks for this finding there, else one that looks there at all."""
    there = [one for one in book.steps if adds.region in one.offers]
    exact = [one for one in there if adds.finding in one.offers[adds.region]]
    return (exact or there or list(book.steps))[0].code


def take_answer_back(
    person: Person,
    answer: DoseAnswer,
    why: str,
    *,
    id: UUID,  # noqa: A002 -- made at the source
    at: datetime,
    sender: Person,
) -> None:
    """The answer no longer stands, nor the finding it told of. Both stay readable."""
    if DoseAnswerTakenBack.objects.filter(pk=id).exists():
        return
    if answer.made_by_id not in (person.pk, sender.pk) and not sender.may_lead:
        msg = f"{answer.made_by} gave this answer: only they or a lead may take it back."
        raise RefusedError(msg)
    DoseAnswerTakenBack(
        id=id, answer=answer, why=why, made_at=at, made_by=person, sent_by=sender
    ).save()
    check = Check.objects.filter(pk=answer.pk, kind=CheckKind.NOTE).first()
    if check is None:
        return
    gone = set(check.entries.filter(kind="take_back").values_list("data__entry", flat=True))
    standing = check.entries.filter(kind="observation")
    note: dict[str, object] = {
        "id": str(check.pk),
        "animal": str(check.animal_id),
        "kind": check.kind,
        "started_at": check.started_at.isoformat(),
        "planned": list(check.planned),
    }
    touches: list[dict[str, object]] = [
        {"kind": "take_back", "entry": str(one.pk)} for one in standing if str(one.pk) not in gone
    ]
    _receive(sender, answer, note, touches)
