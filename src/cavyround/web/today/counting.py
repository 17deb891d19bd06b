"""The numbers above today's list, each from one question to the database."""

from datetime import datetime, time

from django.db.models import OuterRef, QuerySet, Subquery
from django.utils import timezone

from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import AdviceGiven, Animal, Check, FollowUp

VET_LEVELS = tuple(level.code for level in Urgency if level >= Urgency.VET_DAYS)


def checked_today(now: datetime) -> int:
    """How many animals somebody finished checking today, in the rescue's own day."""
    began = datetime.combine(timezone.localdate(now), time.min, timezone.get_current_timezone())
    finished = Check.objects.filter(finished_at__gte=began, finished_at__lte=now)
    return finished.values("animal").distinct().count()


def open_follow_ups() -> int:
    """How many promises to look again are not settled yet, of animals that are here."""
    return FollowUp.objects.filter(outcomes=None, animal__left_on=None).count()


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
