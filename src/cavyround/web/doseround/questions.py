"""What is asked after the doses, once of each animal, with what each answer would mean."""

from datetime import datetime, timedelta
from typing import Any

from cavyround.advice.book import book
from cavyround.advice.medicines.asking import asked_after
from cavyround.advice.medicines.running import RunningCourse, standing
from cavyround.engines.courses import Asking, QuestionAfter
from cavyround.record.models import Course, DoseEntry
from cavyround.web.doseround.alarms import alarms

# The list is good for today; a phone that was offline over night asks on in the morning.
AHEAD = timedelta(hours=24)
ASKED = frozenset({Asking.TO_ASK, Asking.TO_COME})


def questions(now: datetime) -> list[dict[str, Any]]:
    """The questions open now or within a day; the same question of one animal is asked once."""
    courses = _dosed_lately(now)
    by_id = {one.course.id: one for one in courses}
    found: dict[tuple[str, str], QuestionAfter] = {}
    asked = (one for several in asked_after(courses, now).values() for one in several)
    for one in sorted(asked, key=lambda each: each.from_at):
        if one.asking in ASKED and one.from_at < now + AHEAD:
            found.setdefault((one.animal, one.question.id), one)
    names = {one.course.animal: one.row.animal.name for one in courses}
    in_order = sorted(found.values(), key=lambda one: (names[one.animal], one.animal, one.from_at))
    return [_question(one, by_id[one.course]) for one in in_order]


def _dosed_lately(now: datetime) -> list[RunningCourse]:
    """The courses with a dose in the last weeks: a reaction does not stop with its course."""
    longest = max(float(one.until_hours) for one in book().after_dose)
    given = DoseEntry.objects.filter(at__gte=now - timedelta(hours=longest), corrections=None)
    rows = Course.objects.filter(pk__in=given.values("course"), animal__left_on=None)
    return standing(rows.select_related("order__product", "animal"), now)


def _question(one: QuestionAfter, running: RunningCourse) -> dict[str, Any]:
    told = alarms(book().version)[one.question.id]
    dose = next((each for each in running.course.tries if each.id == one.dose), None)
    return {
        "key": f"{one.course}:{one.question.id}:{one.from_at.isoformat()}",
        "animal": one.animal,
        "course": one.course,
        "dose": one.dose,
        "question": one.question.id,
        "what": running.course.what,
        "dose_at": dose.at.isoformat() if dose else None,
        "asks": one.question.asks,
        "because": one.question.because,
        "from_at": one.from_at.isoformat(),
        "until_at": one.until_at.isoformat(),
        "asking": one.asking.value,
        "answers": [
            {"words": answer.words, "alarm": alarm}
            for answer, alarm in zip(one.question.answers, told, strict=True)
        ],
    }
