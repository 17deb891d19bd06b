"""The weights of pen-mates beside each other, on one scale."""

from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.utils import timezone

from cavyround.advice.condition import last_felt
from cavyround.record.models import Animal, Pen
from cavyround.web.animals.parts import show, wants_part
from cavyround.web.gate import for_readers
from cavyround.web.weights.herd import animals_in_order
from cavyround.web.weights.kept import kept_readings, spots_kept, standings_of
from cavyround.web.weights.rows import Drawn, rows_of

LOOK = Drawn(width=320, height=130, named=True, together=True)


@for_readers
def pen_weights(request: HttpRequest, pen_id: int) -> HttpResponseBase:
    """Each pen-mate's small plot with its words, and all of them as a table."""
    pen = get_object_or_404(Pen.objects.select_related("room"), pk=pen_id)
    now = timezone.now()
    mates = standings_of(Animal.objects.filter(pen=pen, left_on=None), now)
    animals = animals_in_order([one.id for one in mates])
    readings = kept_readings([one.id for one in mates], now)
    felt = last_felt(animals, now)
    part = wants_part(request)
    page = {
        "pen": pen,
        "rows": rows_of(animals, readings, spots_kept(mates, now), now, LOOK, felt),
        "here": "weights",
        "part": part,
    }
    return show(request, f"web/weights/pen{'' if part else '_page'}.html", page)
