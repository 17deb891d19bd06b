"""One dose of the day as the phone shows it: everything it needs without a connection."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.urls import NoReverseMatch, reverse
from django.utils import timezone

from cavyround.advice.medicines.running import RunningCourse
from cavyround.engines.courses import Act
from cavyround.web.doseround.amounts import amount_of
from cavyround.web.doseround.showing import Shown
from cavyround.web.templatetags.words import moment

AGAIN = frozenset({Act.GIVE_REST, Act.GIVE_AGAIN})


def as_shown(one: Shown) -> dict[str, Any]:
    """All of it."""
    return {**_about(one), **_when(one), **amount_of(one)}


def treatment_key(one: Shown) -> str:
    """What makes it one treatment with others."""
    return one.running.course.order


def _about(one: Shown) -> dict[str, Any]:
    course, order = one.running.course, one.running.row.order
    return {
        "key": one.key,
        "course": course.id,
        "number": one.slot.number,
        "animal": course.animal,
        "treatment": treatment_key(one),
        "what": course.what,
        "medicine": course.is_medicine,
        "by_weight": course.by_weight,
        "why": order.why,
        "note": order.note,
        "advised": one.advised,
        "address": course_address(one.running),
        "dose_words": order.dose,
        "ordered_words": _ordered(one),
        "rules": _rules(course.schedule.rules_words),
    }


def course_address(running: RunningCourse) -> str:
    """The course's own page; the animal's where there is none."""
    try:
        return reverse("course", args=[running.row.pk])
    except NoReverseMatch:
        return reverse("animal", args=[running.row.animal_id])


def _rules(words: Iterable[str]) -> list[str]:
    """What the order says of doses that do not go as planned; days off are no matter here."""
    return [line for line in words if not line.startswith("On a day off")]


def _ordered(one: Shown) -> str:
    order = one.running.row.order
    said = " ".join(part for part in (order.dose, one.running.course.schedule.words) if part)
    by = f" Ordered by {order.vet}, {moment(order.ordered_at)}." if order.vet else ""
    return f"Order: {said}.{by}"


def _when(one: Shown) -> dict[str, Any]:
    slot, due, given = one.slot, one.running.due, one.to_give
    left = "" if due.left is None else f" of {slot.number - 1 + max(due.left, 1)}"
    return {
        "sitting": one.sitting,
        "from_at": given.from_at.isoformat(),
        "until_at": given.until_at.isoformat(),
        "nth_words": f"dose {slot.number}{left if one.sitting is not None else ''}",
        "due_words": _due_words(one),
        "often_words": one.running.course.schedule.words.split(",")[0],
        "says": slot.says,
        "again": slot.act in AGAIN,
        "tries": [
            {
                "id": each.id,
                "at": each.at.isoformat(),
                "outcome": each.outcome.value,
                "why": each.why,
                "by": each.by,
            }
            for each in slot.tries
        ],
    }


def _due_words(one: Shown) -> str:
    """``due at 08:00``; nothing where any time of the day will do."""
    at = timezone.localtime(one.slot.due_at)
    if one.running.course.schedule.at or one.running.course.schedule.in_hours:
        return f"due at {at:%H:%M}" if at.date() == _today(one) else f"due {moment(at)}"
    return "" if one.slot.day >= _today(one) else f"due {one.slot.day:%-d %B}"


def _today(one: Shown) -> date:
    return timezone.localtime(one.to_give.from_at).date()
