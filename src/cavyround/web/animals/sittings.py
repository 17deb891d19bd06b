"""What checks came to, in words, read for many checks at once."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from cavyround.advice.book import book
from cavyround.facts.entries import Corrected, Noted, Said, read_touch
from cavyround.facts.sitting import standing
from cavyround.record.models import (
    AdviceGiven,
    CareDone,
    Check,
    CheckEntry,
    Happened,
    Observed,
    Photo,
    StepState,
    WeighIn,
)
from cavyround.record.reading_off import as_made
from cavyround.web.templatetags.words import day, grams

WORD_KINDS = ("note", "said", "correction", "take_back", "put_down")


@dataclass(slots=True)
class CheckWords:
    """A check in words: what was found, weighed, done, told and corrected."""

    found: list[str] = field(default_factory=list)
    weights: list[str] = field(default_factory=list)
    care: list[str] = field(default_factory=list)
    told: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    spoken: list[Said] = field(default_factory=list)
    corrections: list[str] = field(default_factory=list)
    put_down: str = ""
    steps: Counter[str] = field(default_factory=Counter)
    not_checked: int = 0
    urgency: str = ""
    photos: tuple[Photo, ...] = ()


def words_of_checks(checks: Sequence[Check]) -> dict[UUID, CheckWords]:
    """The words of each check by its id."""
    said: dict[UUID, CheckWords] = {check.pk: CheckWords() for check in checks}
    if not said:
        return said
    for seen in _rows(Observed, said):
        if seen.finding != "normal":
            _of(said, seen).found.append(_corrected(observed_words(seen), seen))
    for weight in _rows(WeighIn, said):
        _of(said, weight).weights.append(_corrected(weight_words(weight), weight))
    for done in _rows(CareDone, said):
        _of(said, done).care.append(_corrected(care_words(done), done))
    for event in _rows(Happened, said):
        _of(said, event).told.append(_corrected(event_words(event), event))
    _count_steps(checks, said)
    _add_entries(said)
    for given in (
        AdviceGiven.objects.filter(check_in__in=said)
        .order_by("made_at")
        .only("check_in", "urgency")
    ):
        _of(said, given).urgency = given.urgency
    for photo in Photo.objects.filter(check_in__in=said).order_by("made_at"):
        words = _of(said, photo)
        words.photos = (*words.photos, photo)
    return said


def _count_steps(checks: Sequence[Check], said: dict[UUID, CheckWords]) -> None:
    for state in StepState.objects.filter(check_in__in=said):
        _of(said, state).steps[state.state] += 1
    for check in checks:
        words = said[check.pk]
        words.not_checked = max(0, len(check.planned) - words.steps.total())


def _rows(model: type[Any], said: Iterable[UUID]) -> Iterable[Any]:
    yield from model.objects.filter(check_in__in=list(said)).order_by("id")


def _of(said: dict[UUID, CheckWords], row: Any) -> CheckWords:
    return said[row.check_in_id]


def _corrected(words: str, row: Any) -> str:
    return f"{words} (corrected)" if row.corrected else words


def _add_entries(said: dict[UUID, CheckWords]) -> None:
    by_check: dict[UUID, list[CheckEntry]] = defaultdict(list)
    found = CheckEntry.objects.filter(check_in__in=list(said), kind__in=WORD_KINDS)
    for entry in found.select_related("made_by"):
        by_check[entry.check_in_id].append(entry)
    for check_id, entries in by_check.items():
        words = said[check_id]
        for kept in standing(as_made(entry) for entry in entries):
            if isinstance(kept.touch, Noted):
                words.notes.append(kept.touch.text)
            elif isinstance(kept.touch, Said):
                words.spoken.append(kept.touch)
        words.corrections = [line for e in entries if (line := _correction(e))]
        put_down = [e.data.get("why", "") for e in entries if e.kind == "put_down"]
        if put_down:
            words.put_down = put_down[-1] or "no reason said"


def _correction(entry: CheckEntry) -> str:
    """Who put what right and why; nothing where only more was said of it."""
    touch = read_touch(entry.data)
    if not isinstance(touch, Corrected) or touch.more:
        return ""
    return f"{entry.made_by}, {day(entry.made_at)}: {touch.reason}"


def observed_words(seen: Any) -> str:
    """A finding in one line."""
    return book().observation_words(seen)


def weight_words(weight: Any) -> str:
    """A weight in grams with ounces, and whether it was doubted."""
    return f"{grams(weight.grams)}{', doubted when entered' if weight.doubted else ''}"


def care_words(done: Any) -> str:
    """A care item with its side, how far it got, product and detail."""
    known = book().vocabulary
    item = known.care.get(done.care)
    parts = [item.words if item else done.care]
    if done.side != "N":
        parts.append(known.sides[done.side])
    if done.status != "done":
        parts.append(known.care_statuses.get(done.status, done.status))
    parts += [text for text in (done.product, done.detail) if text]
    return ", ".join(parts)


def event_words(event: Any) -> str:
    """What happened, when where known, and the note."""
    words = book().vocabulary.events.get(event.what, event.what)
    when = f", {day(event.on)}" if event.on else ", day not known"
    return f"{words}{when}{f': {event.note}' if event.note else ''}"
