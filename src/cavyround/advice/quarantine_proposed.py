"""How long is proposed before a quarantine is set by hand."""

from datetime import datetime

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.quarantine_spells import LAPSES
from cavyround.engines.contagion.quarantine import HowLong, how_long
from cavyround.record.models import Animal, Arrival, Observed
from cavyround.record.models.animals import ArrivalHow, ArrivalSource


def proposed_for(animal: Animal, suspected: str, now: datetime) -> HowLong:
    """How long is proposed for an animal that may have ``suspected``, a kind of outbreak or none.

    The shorter time, unless it came within
    LAPSES from where nobody knows that all were well.
    """
    kind = book().contagion.kind(suspected) if suspected else None
    if kind is not None:
        return how_long(kind.quarantine, book())
    arrival = Arrival.objects.filter(animal=animal).order_by("made_at", "id").last()
    lately = animal.arrived_on is not None and animal.arrived_on > timezone.localdate(now - LAPSES)
    known = arrival is not None and arrival.source == ArrivalSource.HOME
    born_here = arrival is not None and arrival.how == ArrivalHow.BORN_HERE
    shorter = known or born_here or not lately
    itchy = Observed.objects.filter(
        animal=animal, at__gte=now - LAPSES, finding__in=book().contagion.skin.itchy
    ).exclude(status="absent")
    calm = shorter and not itchy.exists()
    return how_long("new_arrival" if calm else "unknown_source", book())
