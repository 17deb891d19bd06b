"""Outbreaks: all of them, and one as it stands."""

from collections import Counter
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.open_cases import open_cases
from cavyround.advice.outbreaks import YESTERDAY, kind_of, outbreak_now
from cavyround.record.models import (
    Animal,
    Outbreak,
    OutbreakCase,
    OutbreakClosed,
    OutbreakSaid,
)
from cavyround.web.contagion.shown import Shown
from cavyround.web.gate import for_readers
from cavyround.web.house.plan import house_plan

SHEET = "web/contagion/sheet.html"


@for_readers
def outbreaks(request: HttpRequest) -> HttpResponse:
    """Open ones with how they stand, closed ones below."""
    rows = Outbreak.objects.select_related("closed", "made_by").order_by("-opened_on", "-id")
    waiting = Counter(one.outbreak.pk for one in open_cases(timezone.now()) if one.was_closed)
    told = [
        {"row": row, "kind": kind_of(row), "cases": _counted(row), "waiting": waiting[row.pk]}
        for row in rows
    ]
    page = {
        "open": [one for one in told if not hasattr(one["row"], "closed")],
        "closed": [one for one in told if hasattr(one["row"], "closed")],
        "here": "apart",
    }
    return render(request, "web/contagion/outbreaks.html", page)


def _counted(outbreak: Outbreak) -> int:
    rows = OutbreakCase.objects.filter(outbreak=outbreak).order_by("made_at", "id")
    last = {row.animal_id: row.sure for row in rows}
    return sum(sure != "ruled_out" for sure in last.values())


def _unmet_words(closed: OutbreakClosed | None) -> list[str]:
    codes = closed.unmet if closed else []
    return [one.words for one in book().contagion.closing if one.code in codes]


@for_readers
def outbreak(request: HttpRequest, outbreak_id: UUID) -> HttpResponse:
    """One outbreak: as it stands now, or as it stood when it was closed."""
    row = get_object_or_404(Outbreak.objects.select_related("made_by"), pk=outbreak_id)
    closed = OutbreakClosed.objects.filter(outbreak=row).select_related("made_by").first()
    now = closed.made_at if closed else timezone.now()
    told = outbreak_now(row, now)
    shown = Shown(told, now)
    still = [one.animal for one in open_cases(timezone.now()) if one.outbreak == row]
    page = {
        "still_open": Animal.objects.filter(pk__in=still) if closed else (),
        "outbreak": row,
        "kind": told.kind,
        "closed": closed,
        "unmet": _unmet_words(closed),
        # Within its first day everything is new: what changed says nothing.
        "older": row.made_at <= now - YESTERDAY,
        "at": now,
        "said": OutbreakSaid.objects.filter(outbreak=row).select_related("made_by"),
        "sources": [book().source_title(key) for key in told.kind.sources],
        "watch_sources": [book().source_title(key) for key in told.stands.watch.sources],
        "here": "apart",
        **shown.page(),
    }
    if closed is None:
        page["plan"] = house_plan(now, marks=shown.marks())
    return render(request, "web/contagion/outbreak.html", page)
