"""The latest advice of each animal: asked for all at once, without what it rested on."""

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from django.db.models import OuterRef, QuerySet, Subquery

from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import AdviceGiven, Animal


@dataclass(frozen=True, slots=True)
class Advised:
    """What the latest advice on an animal came to."""

    urgency: Urgency
    isolate: bool


def latest_advice(animals: QuerySet[Animal]) -> Mapping[UUID, Advised]:
    """The latest advice by animal; nothing for those that never had any."""
    given = AdviceGiven.objects.filter(animal=OuterRef("pk")).order_by("-made_at", "-id")
    newest = animals.order_by().values(newest=Subquery(given.values("pk")[:1]))
    rows = AdviceGiven.objects.filter(pk__in=newest).order_by()
    return {
        animal: Advised(Urgency.from_code(urgency), isolate)
        for animal, urgency, isolate in rows.values_list("animal", "urgency", "isolate")
    }
