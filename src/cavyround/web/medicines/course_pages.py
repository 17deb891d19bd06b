"""A course: its doses one after the other, the dose of today, its timing, and how it ends."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.medicines.asking import asked_after
from cavyround.advice.medicines.one_name import one_name_where_two
from cavyround.advice.medicines.running import RunningCourse, courses_here, standing
from cavyround.advice.medicines.withdrawal import withheld
from cavyround.advice.medicines.working import work_out_for
from cavyround.engines.courses import (
    PHASE_WORDS,
    Asking,
    CycleCheck,
    Phase,
    Slot,
    cycle_checks,
    cycle_checks_as_given,
    due_until,
    treated_together,
)
from cavyround.facts.courses import OUTCOME_WORDS
from cavyround.facts.saying_amounts import number_words
from cavyround.record.courses import CourseRefusedError, care_named, look_after, stop_course
from cavyround.record.days_off import days_off
from cavyround.record.models import Animal, Course, DoseEntry
from cavyround.web.animals.fields import choose_field, line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_readers, for_recorders, person_of
from cavyround.web.library.citing import Cited, cited
from cavyround.web.medicines.lines import dose_words, next_words, slot_words
from cavyround.web.medicines.worked import shown

CLEAR = [("yes", "Clear: nothing found"), ("no", "Not clear"), ("unsure", "Not sure")]
OUTCOME_OF: dict[str, tuple[bool | None, str]] = {
    "yes": (True, "Kept: clear."),
    "no": (False, "Kept: not clear. Ask the vet what comes next."),
    "unsure": (None, "Kept: not sure. Look again, or ask the vet."),
}
LONG_AHEAD_DAYS = 120


@dataclass(frozen=True, slots=True, kw_only=True)
class Try:
    """One entry of one dose."""

    entry: DoseEntry
    words: str
    drawn: str
    one_name: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One due dose on the timeline: when, how it stands, what was done, what the order says."""

    name: str
    words: str
    state: str
    window: str
    says: str
    tries: tuple[Try, ...]
    doubts: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownCycle:
    """How the repeats fit one parasite's cycle."""

    check: CycleCheck
    warnings: tuple[tuple[str, bool, tuple[Cited, ...]], ...]


def running_of(course_id: UUID, now: datetime) -> RunningCourse:
    """One course by its id, as it stands; 404 where there is none."""
    rows = Course.objects.select_related(
        "order__product", "order__made_by", "animal__pen__room", "animal__face"
    )
    (one,) = standing([get_object_or_404(rows, pk=course_id)], now)
    return one


@for_readers
def course(request: HttpRequest, course_id: UUID) -> HttpResponse:
    """The page of one course."""
    now = timezone.now()
    running = running_of(course_id, now)
    known = book()
    zone = timezone.get_current_timezone()
    entries = {str(one.pk): one for one in _entries(running)}
    until = now + timedelta(days=LONG_AHEAD_DAYS)
    off = days_off(timezone.localdate(now))
    _, ahead = due_until(running.course, now=now, until=until, zone=zone, book=known, days_off=off)
    slots = [*running.due.slots, *(one for one in ahead if one not in running.due.slots)]
    waits = running.due.phase is Phase.RUNNING and running.row.order.dose
    worked = work_out_for(running, now) if waits else None
    asked = asked_after([running], now)[running.row.pk]
    checks = cycle_checks_as_given(running.due, zone=zone, book=known) or cycle_checks(
        running.course, book=known
    )
    care = care_named(running.row.order.care, known) if running.row.order.care else None
    page: dict[str, Any] = {
        "here": "medicines",
        "now": now,
        "running": running,
        "animal": running.row.animal,
        "order": running.row.order,
        "phase": PHASE_WORDS[running.due.phase],
        "next": next_words(running),
        "is_over": running.is_over,
        "turns": [_turn(running, slot, entries) for slot in slots[-_kept(running, slots) :]],
        "outside": [_try(entries[one.id]) for one in running.due.outside if one.id in entries],
        "doubts": running.due.doubts,
        "rules": running.course.schedule.rules_words,
        "shown": shown(worked) if worked else None,
        "to_ask": [one for one in asked if one.asking is Asking.TO_ASK],
        "not_asked": [one for one in asked if one.asking is Asking.NOT_ASKED],
        "answers": running.row.answers.select_related("made_by").order_by("-at"),
        "cycles": [_cycle(one) for one in checks],
        "together": _together(running, now),
        "looks": running.row.looks.select_related("made_by").order_by("at"),
        "withheld": withheld([running], now),
        "corrected": DoseEntry.objects.filter(course=running.row, corrections__isnull=False)
        .select_related("made_by")
        .prefetch_related("corrections__made_by"),
        "care": care,
        "care_sources": cited(known, care.sources) if care else (),
    }
    return render(request, "web/medicines/course.html", page)


def _kept(running: RunningCourse, slots: Sequence[Slot]) -> int:
    """So many of the turns from the end: the last weeks, and a few ahead."""
    ahead = sum(slot not in running.due.slots for slot in slots)
    return min(len(slots), 60 + ahead)


def _entries(running: RunningCourse) -> list[DoseEntry]:
    found = DoseEntry.objects.filter(course=running.row, corrections=None)
    return list(found.select_related("made_by", "second", "lot__product", "course__order"))


def _turn(running: RunningCourse, slot: Slot, entries: dict[str, DoseEntry]) -> Turn:
    zone = timezone.get_current_timezone()
    opens, late = slot.opens_at.astimezone(zone), slot.late_at.astimezone(zone)
    same_day = opens.date() == late.date()
    window = (
        f"{opens:%H:%M} to {late:%H:%M}"
        if same_day
        else f"{opens:%d %b %H:%M} to {late:%d %b %H:%M}"
    )
    return Turn(
        name=dose_words(running, slot),
        words=slot_words(slot),
        state=slot.state.value,
        window=window,
        says=slot.says,
        tries=tuple(_try(entries[one.id]) for one in slot.tries if one.id in entries),
        doubts=slot.doubts,
    )


def _try(entry: DoseEntry) -> Try:
    drawn = ""
    if entry.amount is not None:
        drawn = f"{number_words(entry.amount.normalize())} {entry.unit}"
        if entry.lot is not None:
            drawn += f" of {entry.lot}"
    return Try(
        entry=entry,
        words=OUTCOME_WORDS[_outcome(entry)],
        drawn=drawn,
        one_name=one_name_where_two(entry, book()),
    )


def _outcome(entry: DoseEntry) -> Any:
    return next(one for one in OUTCOME_WORDS if one.value == entry.outcome)


def _cycle(check: CycleCheck) -> ShownCycle:
    known = book()
    return ShownCycle(
        check=check,
        warnings=tuple(
            (one.words, one.surely, cited(known, one.sources)) for one in check.warnings
        ),
    )


def _together(running: RunningCourse, now: datetime) -> list[dict[str, Any]]:
    """Pen-mates and the others of the order: who is treated with it, who is missing."""
    if not running.course.against or running.is_over:
        return []
    animal = running.row.animal
    mates = Animal.objects.filter(pen=animal.pen, left_on=None) if animal.pen_id else ()
    by_order = Animal.objects.filter(courses__order=running.row.order, left_on=None)
    ids = {one.pk for one in (*mates, *by_order)}
    names = {str(one.pk): one for one in Animal.objects.filter(pk__in=ids)}
    courses = [one.course for one in courses_here(now, ids)]
    contacts = {str(animal.pk): [str(one.pk) for one in mates if one.pk != animal.pk]}
    groups = treated_together(
        courses, contacts, now=now, zone=timezone.get_current_timezone(), book=book()
    )
    return [
        {
            "group": one,
            "missing": [names[key] for key in one.missing if key in names],
            "out_of_step": [names[key] for key in one.out_of_step if key in names],
            "members": [(names[m.animal], m) for m in one.members if m.animal in names],
        }
        for one in groups
        if one.order == running.course.order
    ]


class LookForm(OnceForm):
    """How it looked after the last dose."""

    clear = choose_field("How is it?", CLEAR, missing="Choose one.")
    note = line_field("In words", 200)


@for_recorders
def course_look(request: HttpRequest, course_id: UUID) -> HttpResponseBase:
    """Say what the look after the last dose came to."""
    running = running_of(course_id, timezone.now())
    form = LookForm(sent(request))

    def make() -> str:
        said = form.cleaned_data
        clear, words = OUTCOME_OF[said["clear"]]
        look_after(
            person_of(request),
            running.row,
            timezone.now(),
            clear=clear,
            note=said["note"],
            id=form.sending,
        )
        messages.success(request, words)
        return reverse("course", args=[course_id])

    page = {"here": "medicines", "running": running, "animal": running.row.animal}
    return fill_in(request, form, make, "web/medicines/look.html", page)


class StopForm(OnceForm):
    """Why it stops."""

    why = line_field(
        "Why, and on whose word",
        200,
        missing="Say why it stops, and on whose word: it is read later.",
    )


@for_recorders
def course_stop(request: HttpRequest, course_id: UUID) -> HttpResponseBase:
    """Stop a course before its end."""
    running = running_of(course_id, timezone.now())
    form = StopForm(sent(request))

    def make() -> str:
        try:
            stop_course(person_of(request), running.row, form.cleaned_data["why"], timezone.now())
            messages.success(request, "The course is stopped; what was given stays readable.")
        except CourseRefusedError as refused:
            messages.error(request, str(refused))
        return reverse("course", args=[course_id])

    page = {"here": "medicines", "running": running, "animal": running.row.animal}
    return fill_in(request, form, make, "web/medicines/stop.html", page)
