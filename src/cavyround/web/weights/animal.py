"""The weights of one animal: what they say, the plot, and the same as a table."""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.safestring import SafeString

from cavyround.advice.condition import condition_of
from cavyround.engines.weight.said import Reading
from cavyround.record.models import Animal, Happened, WeighIn
from cavyround.web.animals.parts import show, wants_part
from cavyround.web.gate import for_readers
from cavyround.web.weights.felt import felt_words
from cavyround.web.weights.kept import story_kept
from cavyround.web.weights.one_animal import DESK, PHONE, Size, specification
from cavyround.web.weights.rendering import as_svg
from cavyround.web.weights.saying import said_of
from cavyround.web.weights.table import by_id, lines_of
from cavyround.web.weights.window import Mark, Window, shown_of, window_of

# What may show in a weight, and how it is called at its line.
EVENTS = {
    "gave_birth": "gave birth",
    "abortion": "lost pups",
    "mated": "mated",
    "surgery": "operation",
    "antibiotic": "antibiotic",
    "penicillin_by_mouth": "antibiotic",
    "fall_or_blow": "fall or blow",
    "hot_place": "heat",
    "new_food": "new food",
}
# How far back the plot goes; everything is "all".
SPANS = {"6w": ("6 weeks", 42), "3m": ("Quarter", 91), "1y": ("Year", 365), "all": ("All", None)}
USUAL_SPAN = "3m"
LINES_SHOWN = 400


@for_readers
def animal_weights(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """A fragment for the animal's page, or a page of its own; both whole without script."""
    animal = get_object_or_404(Animal.objects.select_related("pen__room", "face"), pk=animal_id)
    now = timezone.now()
    story = story_kept(animal, now)
    chosen = request.GET.get("span", USUAL_SPAN)
    chosen = chosen if chosen in SPANS else USUAL_SPAN
    days = SPANS[chosen][1]
    since = now - timedelta(days=days) if days else None
    window = window_of(story, _marks(animal), since=since)
    shown = [one.id for one in shown_of(story, since)[-LINES_SHOWN:] if one.id]
    rows = WeighIn.objects.filter(pk__in=shown).select_related("by")
    part = wants_part(request)
    page: dict[str, Any] = {
        "animal": animal,
        "here": "weights",
        "reading": story.reading,
        "said": said_of(story.reading, now),
        "lines": lines_of(story, by_id(rows), since)[:LINES_SHOWN],
        "spans": [(code, words) for code, (words, _) in SPANS.items()],
        "span": chosen,
        "part": part,
        "year": timezone.localdate(now).year,
        "earlier": since is not None and bool(story.weighings) and story.weighings[0].at < since,
        **_condition(animal, story.reading, now),
    }
    if window is not None:
        page |= {"window": window, "plot": drawn(window, PHONE), "signs": _signs_in(window)}
        page["wide_plot"] = None if part else drawn(window, DESK)
    return show(request, f"web/weights/animal{'' if part else '_page'}.html", page)


@lru_cache(maxsize=256)
def drawn(window: Window, size: Size) -> SafeString:
    """The plot of a window; the same window is drawn once."""
    words = f"Weight over time, {len(window.dots)} weighings; the table below says the same"
    return as_svg(specification(window, size), words)


def _condition(animal: Animal, reading: Reading, now: datetime) -> dict[str, Any]:
    """What the hand says beside the scales."""
    said = condition_of(animal, reading, now)
    return {
        "condition": said,
        "condition_words": felt_words(said.last) if said.last else "",
        "earlier_words": felt_words(said.earlier) if said.earlier else "",
    }


def _signs_in(window: Window) -> dict[str, bool]:
    """What the key must explain."""
    kinds = {dot.alarm for dot in window.dots if dot.alarm and not dot.doubted}
    return dict.fromkeys(kinds, True) | {
        "doubted": any(dot.doubted for dot in window.dots),
        "beyond": any(dot.doubted and dot.off_scale for dot in window.dots),
    }


def _marks(animal: Animal) -> Iterator[Mark]:
    """What happened to the animal that may show in its weight."""
    came = [row.on for row in animal.arrivals.all()]
    for on in came:
        yield _mark(on, "came")
    for departure in animal.departures.all():
        yield _mark(departure.on, "left")
    for event in Happened.objects.filter(animal=animal, what__in=EVENTS, on__isnull=False):
        if event.on:
            yield _mark(event.on, EVENTS[event.what])
    for move in animal.moves.exclude(pen=None):
        on = timezone.localdate(move.at)
        if on not in came:
            yield _mark(on, "new pen")


def _mark(on: date, words: str) -> Mark:
    return Mark(datetime.combine(on, time(12)).isoformat(), words)
