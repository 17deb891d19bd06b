"""Whether something grave was found on an animal since its dose was ordered."""

from collections.abc import Iterable

from django.db.models import OuterRef, Subquery

from cavyround.advice.book import book
from cavyround.advice.medicines.running import RunningCourse
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
