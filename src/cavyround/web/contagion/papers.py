"""Lists to print: what an outbreak asks for, and who is in quarantine, with boxes to tick."""

from collections import defaultdict
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.outbreaks import outbreak_now
from cavyround.advice.quarantine import Quarantined, in_quarantine
from cavyround.record.models import Animal, Outbreak, Pen
from cavyround.web.contagion.shown import Shown
from cavyround.web.gate import for_readers

# What concerns people stands above the list, and is nothing to tick for each animal.
FOR_PEOPLE = "people"
NO_PEN = "in no pen, or not here"


@for_readers
def outbreak_paper(request: HttpRequest, outbreak_id: UUID) -> HttpResponse:
    """What an open outbreak asks for, by what to do and by pen."""
    row = get_object_or_404(Outbreak.objects.select_related("made_by"), pk=outbreak_id)
    now = timezone.now()
    told = outbreak_now(row, now)
    tasks = list(Shown(told, now).tasks())
    to_tick = [task for task in tasks if task["code"] != FOR_PEOPLE]
    page = {
        "outbreak": row,
        "kind": told.kind,
        "at": now,
        "people": [task["words"] for task in tasks if task["code"] == FOR_PEOPLE],
        "tasks": to_tick,
        "pens": _by_pen(to_tick),
        "rules": book().apart_rules,
        "cautions": book().cautions,
        "here": "apart",
    }
    return render(request, "web/contagion/outbreak_paper.html", page)


def _by_pen(tasks: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Pen by pen in the order of the house: each animal with all that is to do for it."""
    to_do: dict[Animal, list[str]] = defaultdict(list)
    for task in tasks:
        for one in task["animals"]:
            if one["animal"] is not None:
                note = f", {one['note']}" if one["note"] else ""
                to_do[one["animal"]].append(f"{task['head']}{note}")
    pens: dict[Pen | None, list[dict[str, Any]]] = defaultdict(list)
    for animal in sorted(to_do, key=lambda one: one.name):
        pen = animal.pen if animal.left_on is None else None
        pens[pen].append({"animal": animal, "to_do": to_do[animal]})
    return [
        {"name": str(pen) if pen else NO_PEN, "pen": pen, "animals": pens[pen]}
        for pen in sorted(pens, key=_place)
    ]


def _place(pen: Pen | None) -> tuple[bool, int, int, int]:
    if pen is None:
        return (True, 0, 0, 0)
    return (False, pen.room.position, pen.position, pen.pk)


@for_readers
def quarantine_paper(request: HttpRequest) -> HttpResponse:
    """Who is in quarantine, pen by pen, with what is still missing."""
    now = timezone.now()
    pens: dict[Pen | None, list[Quarantined]] = defaultdict(list)
    for one in in_quarantine(now):
        pens[one.animal.pen].append(one)
    page = {
        "at": now,
        "pens": [
            {"name": str(pen) if pen else "in no pen", "animals": pens[pen]}
            for pen in sorted(pens, key=_place)
        ],
        "rules": book().apart_rules,
        "cautions": book().cautions,
        "here": "apart",
    }
    return render(request, "web/contagion/quarantine_paper.html", page)
