"""The numbers above today's list, each from one question to the database."""

from dataclasses import dataclass
from datetime import datetime, time, timedelta

from django.utils import timezone

from cavyround.advice.latest import latest_advice
from cavyround.advice.medicines.today import doses_today
from cavyround.advice.order_of_care import OrderOfCare
from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import Animal, Check, FollowUp, VetAnswer, VetQuestion, WeightSaid

# An answer is news for about this long. Our own judgement.
STILL_NEW = timedelta(days=3)
LISTED = 10


@dataclass(frozen=True, slots=True)
class ToSeeVet:
    """An animal whose latest advice asks for a vet, and how soon."""

    animal: Animal
    urgency: Urgency


@dataclass(frozen=True, slots=True)
class DosesDue:
    """How many doses are to be given today, how many were, and for how many the vet is asked."""

    to_give: int
    given: int
    ask_vet: int

    @property
    def any(self) -> bool:
        """Whether the day has a dose round at all."""
        return bool(self.to_give or self.given or self.ask_vet)


def doses_due(now: datetime, order: OrderOfCare) -> DosesDue:
    """The doses of the day."""
    day = doses_today(now, order).round
    return DosesDue(
        to_give=sum(len(sitting.doses) for sitting in day.sittings),
        given=len(day.done),
        ask_vet=len(day.ask_vet),
    )


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
    # First which, then all about them: most were answered long ago and need not be read.
    waiting = VetQuestion.objects.filter(answers=None).order_by("made_at")
    oldest = list(waiting.values_list("pk", flat=True)[:LISTED])
    asked = VetQuestion.objects.filter(pk__in=oldest).select_related("animal", "made_by")
    return list(asked.order_by("made_at"))


def weight_alarms() -> int:
    """How many animals here have weights that gave an alarm."""
    return WeightSaid.objects.filter(level__gt=0, animal__left_on=None).count()


def new_answers(now: datetime) -> list[VetAnswer]:
    """What the vet answered in the last days, newest first."""
    recent = VetAnswer.objects.filter(made_at__gte=now - STILL_NEW)
    return list(recent.select_related("question__animal", "made_by").order_by("-made_at")[:LISTED])


def to_see_a_vet() -> list[ToSeeVet]:
    """Animals here whose latest advice asks for a vet, the most urgent first, then by name."""
    here = Animal.objects.filter(left_on=None)
    urgency = {
        animal: given.urgency
        for animal, given in latest_advice(here).items()
        if given.urgency >= Urgency.VET_DAYS
    }
    found = [ToSeeVet(one, urgency[one.pk]) for one in here.filter(pk__in=urgency).order_by("name")]
    return sorted(found, key=lambda one: -one.urgency)
