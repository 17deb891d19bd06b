"""What is asked after a dose, and when: reactions are asked for, not waited for.

An answer is findings for triage. A question nobody asked in its time stays "not asked"
and never counts as "nothing to see".
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum
from itertools import pairwise

from cavyround.facts.courses import Course, GivenDose
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.courses import AfterDose


class Asking(StrEnum):
    """How one question stands."""

    TO_COME = "to_come"
    TO_ASK = "to_ask"
    ASKED = "asked"
    NOT_ASKED = "not_asked"


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """A question that was answered for one animal, and when."""

    question: str
    animal: str
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionAfter:
    """One question after one dose, from when until when it is asked, and how it stands."""

    question: AfterDose
    animal: str
    course: str
    dose: str
    from_at: datetime
    until_at: datetime
    asking: Asking


def questions_after(
    course: Course, answered: Iterable[Answered], *, now: datetime, book: Knowledge
) -> tuple[QuestionAfter, ...]:
    """The questions after the doses that went in, in the order of time.

    Care that is no medicine asks nothing. A stopped course goes on asking: a reaction
    does not stop with it.
    """
    if not course.is_medicine:
        return ()
    went_in = [dose for dose in course.tries if dose.went_in]
    answers = [one for one in answered if one.animal == course.animal]
    asked = [
        _question(one, course, span, answers, now)
        for one in _questions(course, book)
        for span in _spans(one, went_in)
    ]
    return tuple(sorted(asked, key=lambda one: (one.from_at, one.question.id)))


@dataclass(frozen=True, slots=True)
class _Span:
    """From when until when a question is asked, and the last dose before it."""

    dose: GivenDose
    from_at: datetime
    until_at: datetime


def _questions(course: Course, book: Knowledge) -> list[AfterDose]:
    """The questions of its kinds; a more particular one takes the place of a plainer one."""
    fit = [one for one in book.after_dose if not one.kinds or course.kinds & set(one.kinds)]
    replaced = {name for one in fit for name in one.instead_of}
    return [one for one in fit if one.id not in replaced]


def _spans(question: AfterDose, doses: list[GivenDose]) -> list[_Span]:
    """Once after each dose, or again and again from the first to the last."""
    after = timedelta(hours=float(question.after_hours))
    until = timedelta(hours=float(question.until_hours))
    once = [_Span(dose, dose.at + after, dose.at + until) for dose in doses]
    if question.again_hours is not None:
        again = timedelta(hours=float(question.again_hours))
        return [span for whole in _joined(once) for span in _split(whole, again, doses)]
    until_next = [
        replace(span, until_at=min(span.until_at, following.from_at))
        for span, following in pairwise(once)
    ]
    return [span for span in (*until_next, *once[-1:]) if span.from_at < span.until_at]


def _joined(spans: list[_Span]) -> list[_Span]:
    """Spans that touch become one."""
    joined: list[_Span] = []
    for span in spans:
        if joined and span.from_at <= joined[-1].until_at:
            joined[-1] = replace(joined[-1], until_at=max(joined[-1].until_at, span.until_at))
        else:
            joined.append(span)
    return joined


def _split(whole: _Span, again: timedelta, doses: list[GivenDose]) -> list[_Span]:
    """One long span in parts of ``again``; a short rest stays with the last part."""
    parts = []
    begins = whole.from_at
    while begins < whole.until_at:
        ends = begins + again
        if whole.until_at - ends < again / 2:
            ends = whole.until_at
        dose = [one for one in doses if one.at <= begins][-1]
        parts.append(_Span(dose, begins, ends))
        begins = ends
    return parts


def _question(
    question: AfterDose, course: Course, span: _Span, answers: list[Answered], now: datetime
) -> QuestionAfter:
    answered = any(
        one.question == question.id and span.from_at <= one.at < span.until_at for one in answers
    )
    if answered:
        asking = Asking.ASKED
    elif now < span.from_at:
        asking = Asking.TO_COME
    else:
        asking = Asking.TO_ASK if now < span.until_at else Asking.NOT_ASKED
    return QuestionAfter(
        question=question,
        animal=course.animal,
        course=course.id,
        dose=span.dose.id,
        from_at=span.from_at,
        until_at=span.until_at,
        asking=asking,
    )
