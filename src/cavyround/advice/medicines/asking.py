"""What is asked after the doses of a course, with the answers that were kept."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from cavyround.advice.book import book
from cavyround.advice.medicines.running import RunningCourse
from cavyround.engines.courses import Answered, QuestionAfter, questions_after
from cavyround.record import models


def asked_after(
    courses: Iterable[RunningCourse], now: datetime
) -> dict[UUID, tuple[QuestionAfter, ...]]:
    """The questions after the doses of each course, by course id, and how each stands."""
    courses = list(courses)
    answers: dict[UUID, list[Answered]] = defaultdict(list)
    # An animal is asked once, however many of its courses would ask the same.
    kept = models.DoseAnswer.objects.filter(
        course__animal__in={one.row.animal_id for one in courses}, taken_back=None
    )
    for animal, question, at in kept.values_list("course__animal", "question", "at"):
        answers[animal].append(Answered(question=question, animal=str(animal), at=at))
    return {
        one.row.pk: questions_after(one.course, answers[one.row.animal_id], now=now, book=book())
        for one in courses
    }
