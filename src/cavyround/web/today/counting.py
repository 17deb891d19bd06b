"""The numbers above today's list, each from one question to the database."""

from datetime import datetime, time, timedelta

from django.db.models import OuterRef, QuerySet, Subquery
from django.utils import timezone

from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import AdviceGiven, Animal, Check, FollowUp, VetAnswer, VetQuestion

# An answer is news for about this long. Our own judgement.
STILL_NEW = timedelta(days=3)
LISTED = 10
VET_LEVELS = tuple(level.code for level in Urgency if level >= Urgency.VET_DAYS)


def checked_today(now: datetime) -> int:
    """How many animals somebody finished checking today, in the rescue's own day."""
    began = datetime.combine(timezone.localdate(now), time.min, timezone.get_current_timezone())
    finished = Check.objects.filter(finished_at__gte=began, finished_at__lte=now)
    return finished.values("animal").distinct().count()


def open_follow_ups() -> int:
    """How many promises to look again are not settled yet, of animals that are here."""
    return FollowUp.objects.filter(outcomes=None, animal__left_on=None).count()


def open_questions() -> list[VetQuestion]:
    """Questions to the vet nobody has answered yet, oldest first."""
    waiting = VetQuestion.objects.filter(answers=None).select_related("animal", "made_by")
    return list(waiting.order_by("made_at")[:LISTED])


def new_answers(now: datetime) -> list[VetAnswer]:
    """What the vet answered in the last days, newest first."""
    recent = VetAnswer.objects.filter(made_at__gte=now - STILL_NEW)
    return list(recent.select_related("question__animal", "made_by").order_by("-made_at")[:LISTED])


def with_open_vet_level() -> QuerySet[Animal]:
    """Animals here whose last advice asks for a vet; its urgency stands in ``last_advice``."""
    ever = AdviceGiven.objects.filter(urgency__in=VET_LEVELS).values("animal")
    last = AdviceGiven.objects.filter(animal=OuterRef("pk")).order_by("-made_at", "-id")
    return (
        Animal.objects.filter(left_on=None, pk__in=ever)
        .annotate(last_advice=Subquery(last.values("urgency")[:1]))
        .filter(last_advice__in=VET_LEVELS)
        .order_by("name")
    )
