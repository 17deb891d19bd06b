"""Each entry of an animal's story in words."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

from cavyround.advice.alone import alone_by
from cavyround.advice.book import book
from cavyround.record import models
from cavyround.record.courses import what_words
from cavyround.record.models import Check, Person, Photo
from cavyround.web.animals.labouring import labour_lines
from cavyround.web.animals.sittings import CheckWords, words_of_checks
from cavyround.web.animals.stating import in_words
from cavyround.web.templatetags.words import day, moment


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """One entry: what it is, when, by whom, and its lines."""

    at: datetime
    kind: str
    head: str
    by: Person
    lines: tuple[str, ...] = ()
    quote: str = ""
    urgency: str = ""
    photos: tuple[Photo, ...] = ()
    check: Check | None = None
    said: CheckWords | None = None
    pairs: tuple[tuple[str, str], ...] = field(default=())


def chapters_of(entries: Iterable[tuple[datetime, UUID, Any]]) -> Iterable[Chapter]:
    """The chapters of one page; all its checks are read at once."""
    listed = list(entries)
    checks = words_of_checks([row for _, _, row in listed if isinstance(row, Check)])
    for at, _, row in listed:
        if isinstance(row, Check):
            yield _check(row, checks[row.pk])
        else:
            yield TELLERS[type(row)](at, row)


def _check(check: Check, said: CheckWords) -> Chapter:
    return Chapter(
        at=check.started_at,
        kind="check",
        head=check.get_kind_display(),
        by=check.started_by,
        urgency=said.urgency,
        photos=said.photos,
        check=check,
        said=said,
    )


def _arrival(at: datetime, row: models.Arrival) -> Chapter:
    lines = [f"On {day(row.on)}"]
    if row.came_from:
        lines.append(f"From {row.came_from}")
    if row.sexed_as != "unknown":
        lines.append(f"Signed in as {row.get_sexed_as_display().lower()}")
    head = f"Arrival: {row.get_how_display().lower()}"
    return Chapter(
        at=at, kind="arrival", head=head, by=row.made_by, lines=tuple(lines), quote=row.told
    )


def _departure(at: datetime, row: models.Departure) -> Chapter:
    lines = [f"On {day(row.on)}"]
    if row.went_to:
        lines.append(f"To {row.went_to}")
    head = f"Departure: {row.get_how_display().lower()}"
    return Chapter(
        at=at, kind="departure", head=head, by=row.made_by, lines=tuple(lines), quote=row.note
    )


def _move(at: datetime, row: models.Move) -> Chapter:
    head = f"Moved to {row.pen}" if row.pen else "Out of all pens"
    lines = (row.why.capitalize(),) if row.why else ()
    return Chapter(at=at, kind="move", head=head, by=row.made_by, lines=lines)


def _statement(at: datetime, row: models.AnimalStatement) -> Chapter:
    lines = (f"Why: {row.reason}",) if row.reason else ()
    head = "First entry" if row.reason == "first entry" else "Stated anew"
    return Chapter(
        at=at,
        kind="statement",
        head=head,
        by=row.made_by,
        lines=() if head == "First entry" else lines,
        pairs=tuple(in_words(row)),
    )


def _advice(at: datetime, row: models.AdviceGiven) -> Chapter:
    return Chapter(at=at, kind="advice", head="Advice", by=row.made_by, urgency=row.urgency)


def _photo(at: datetime, row: Photo) -> Chapter:
    return Chapter(at=at, kind="photo", head="Photo", by=row.made_by, photos=(row,))


def _follow_up(at: datetime, row: models.FollowUp) -> Chapter:
    lines = (row.words, f"By {moment(row.due_at)}")
    return Chapter(at=at, kind="follow-up", head="To look at again", by=row.made_by, lines=lines)


def _outcome(at: datetime, row: models.FollowUpOutcome) -> Chapter:
    head = f"Looked again: {row.get_outcome_display().lower()}"
    if row.outcome == "dropped":
        head = "Follow-up dropped"
    lines = tuple(text for text in (row.follow_up.words, row.reason) if text)
    return Chapter(at=at, kind="follow-up", head=head, by=row.made_by, lines=lines)


def _mark(at: datetime, row: models.StandingMark) -> Chapter:
    lines = (row.words, f"Judged by {row.said_by} on {day(row.said_on)}")
    return Chapter(at=at, kind="mark", head="Standing mark", by=row.made_by, lines=lines)


def _mark_end(at: datetime, row: models.StandingMarkEnd) -> Chapter:
    lines = (row.mark.words, f"Why: {row.reason}")
    head = "Standing mark ended"
    return Chapter(at=at, kind="mark", head=head, by=row.made_by, lines=lines)


def _question(at: datetime, row: models.VetQuestion) -> Chapter:
    head = "Question to the vet"
    return Chapter(at=at, kind="question", head=head, by=row.made_by, quote=row.text)


def _answer(at: datetime, row: models.VetAnswer) -> Chapter:
    lines = (f"To: {row.question.text}",)
    head = "The vet answers"
    return Chapter(at=at, kind="answer", head=head, by=row.made_by, lines=lines, quote=row.text)


def _course(at: datetime, row: models.Course) -> Chapter:
    order = row.order
    said_by = f" on the word of {order.vet}" if order.vet else ""
    lines = (f"{_what(order)}{said_by}: {order.why}",)
    return Chapter(at=at, kind="course", head="A course begins", by=row.made_by, lines=lines)


def _course_stopped(at: datetime, row: models.CourseStopped) -> Chapter:
    lines = (_what(row.course.order), f"Why: {row.why}")
    return Chapter(at=at, kind="course", head="A course is stopped", by=row.made_by, lines=lines)


def _dose(at: datetime, row: models.DoseEntry) -> Chapter:
    number = f", number {row.number}" if row.number else ""
    lines = [f"{_what(row.course.order)}{number}: {row.get_outcome_display().lower()}"]
    lines += [row.why] if row.why else []
    head = "Care" if row.course.order.care else "Dose"
    return Chapter(at=at, kind="dose", head=head, by=row.made_by, lines=tuple(lines))


def _allergy(at: datetime, row: models.Allergy) -> Chapter:
    lines = (row.name, *([row.note] if row.note else []))
    head = "Does not bear a medicine"
    return Chapter(at=at, kind="allergy", head=head, by=row.made_by, lines=lines)


def _lives_alone(at: datetime, row: models.LivesAlone) -> Chapter:
    lines = (alone_by(row).told,)
    return Chapter(at=at, kind="alone", head="Lives alone", by=row.made_by, lines=lines)


def _alone_over(at: datetime, row: models.LivesAloneEnd) -> Chapter:
    lines = (f"Since {day(row.on)}: {row.why}", f"Was: {alone_by(row.alone).told}")
    return Chapter(
        at=at, kind="alone", head="No longer alone for that", by=row.made_by, lines=lines
    )


def _labour(at: datetime, row: models.Labour) -> Chapter:
    since = f"since {moment(row.since)}" if row.since else "nobody knows since when"
    lines = (f"She strains, {since}", *labour_lines(row))
    return Chapter(at=at, kind="labour", head="In labour", by=row.made_by, lines=lines)


def _labour_over(at: datetime, row: models.LabourOver) -> Chapter:
    head = row.get_how_display()
    return Chapter(at=at, kind="labour", head=head, by=row.made_by, quote=row.words)


def _what(order: models.Order) -> str:
    what = what_words(order, book())
    return f"{what[:1].upper()}{what[1:]}{f' {order.dose}' if order.dose else ''}"


TELLERS: dict[type[Any], Callable[[datetime, Any], Chapter]] = {
    models.Arrival: _arrival,
    models.Departure: _departure,
    models.Move: _move,
    models.AnimalStatement: _statement,
    models.AdviceGiven: _advice,
    Photo: _photo,
    models.FollowUp: _follow_up,
    models.FollowUpOutcome: _outcome,
    models.StandingMark: _mark,
    models.StandingMarkEnd: _mark_end,
    models.VetQuestion: _question,
    models.VetAnswer: _answer,
    models.Course: _course,
    models.CourseStopped: _course_stopped,
    models.DoseEntry: _dose,
    models.Allergy: _allergy,
    models.Labour: _labour,
    models.LabourOver: _labour_over,
    models.LivesAlone: _lives_alone,
    models.LivesAloneEnd: _alone_over,
}
