"""Why the vet is rung before a dose: what was found since it was ordered, or was wrong before."""

from collections.abc import Iterable

from django.db.models import OuterRef, Subquery

from cavyround.advice.book import book
from cavyround.advice.medicines.running import RunningCourse
from cavyround.engines.courses import CourseDue
from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import AdviceGiven, Animal
from cavyround.web.templatetags.words import moment


def alarmed_since(courses: Iterable[RunningCourse]) -> dict[str, str]:
    """By course id, in words: the animal's last advice asks for a vet now or within a day.

    Only advice given since the vet ordered it: what was known then is what it was ordered
    for. Care that is no medicine goes on.
    """
    courses = [one for one in courses if one.course.is_medicine]
    animals = Animal.objects.filter(pk__in={one.row.animal_id for one in courses}).order_by()
    newest = AdviceGiven.objects.filter(animal=OuterRef("pk")).order_by("-made_at", "-id")
    rows = AdviceGiven.objects.filter(
        pk__in=animals.values(newest=Subquery(newest.values("pk")[:1]))
    )
    last = {row.animal_id: row for row in rows.defer("result", "inputs")}
    found = {}
    for one in courses:
        given = last.get(one.row.animal_id)
        if given is None or given.made_at <= one.row.order.ordered_at:
            continue
        urgency = Urgency.from_code(given.urgency)
        if urgency >= Urgency.VET_24H:
            words = book().urgency_words(urgency)
            found[one.course.id] = f"Advice of {moment(given.made_at)}: {words}."
    return found


def doubts_of(due: CourseDue) -> tuple[str, ...]:
    """What does not fit about the last dose of a course that went in: given twice, or too early."""
    went_in = [slot for slot in due.slots if slot.given_at is not None]
    return went_in[-1].doubts if went_in else ()


def doubted_before(asked: Iterable[CourseDue]) -> dict[str, str]:
    """By course id, in words: about its last dose something does not fit, so the next one waits."""
    found = {due.course.id: doubts_of(due) for due in asked}
    return {
        course: " ".join(f"The dose before it was {doubt}." for doubt in doubts)
        for course, doubts in found.items()
        if doubts
    }
