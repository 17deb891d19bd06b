"""The weights of pen-mates beside each other, on one scale."""

from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.utils import timezone

from cavyround.advice.condition import last_felt
from cavyround.record.models import Animal, Pen
from cavyround.web.animals.parts import show, wants_part
from cavyround.web.gate import for_readers
from cavyround.web.weights.kept import kept_of, spots_kept
from cavyround.web.weights.rows import Drawn, rows_of, worry_first

LOOK = Drawn(width=320, height=130, named=True)


@for_readers
def pen_weights(request: HttpRequest, pen_id: int) -> HttpResponseBase:
    """Each pen-mate's small plot with its words, and all of them as a table."""
    pen = get_object_or_404(Pen.objects.select_related("room"), pk=pen_id)
    now = timezone.now()
    mates = list(Animal.objects.filter(pen=pen, left_on=None).select_related("face"))
    kept = kept_of(mates, now)
    ranked = worry_first(mates, kept.readings)
    part = wants_part(request)
    page = {
        "pen": pen,
        "rows": rows_of(
            ranked,
            kept.readings,
            spots_kept(mates, kept, now),
            now,
            LOOK,
            last_felt(mates, now),
        ),
        "here": "weights",
        "part": part,
    }
    return show(request, f"web/weights/pen{'' if part else '_page'}.html", page)
