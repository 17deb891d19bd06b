"""All that the dose round loads once: the day's doses with their amounts, and what is asked."""

import logging
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from typing import Any

from django.http import HttpRequest, JsonResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from cavyround.advice.book import book
from cavyround.advice.medicines.running import RunningCourse
from cavyround.advice.medicines.shelf import syringe_of
from cavyround.advice.medicines.today import doses_today
from cavyround.advice.medicines.working import WorkedDose, work_out_all
from cavyround.advice.order_of_care import OrderOfCare
from cavyround.engines.courses import CourseDue, DoseRound, Sitting
from cavyround.engines.courses.dose_round import DoseToGive
from cavyround.engines.dosing import Syringe, syringe_in_hand
from cavyround.record.models import Animal, Pen, Person, Product, Role, VetNumber
from cavyround.record.models.shelf import ProductKind
from cavyround.web.checking.doubting import (
    as_expected,
    as_last,
    bounds,
    expected_each,
    last_weights,
)
from cavyround.web.doseround.advised import alarmed_since, doubted_before, doubts_of
from cavyround.web.doseround.doses import as_shown, course_address
from cavyround.web.doseround.grouping import treatments
from cavyround.web.doseround.questions import questions
from cavyround.web.doseround.showing import Shown
from cavyround.web.doseround.words import CAUTIONS, WHYS
from cavyround.web.gate import for_recorders, person_of
from cavyround.web.templatetags.words import age_on, day

NO_PEN = "no_pen"
log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class _Today:
    """The day's doses with the rows behind them."""

    now: datetime
    round: DoseRound
    courses: Mapping[str, RunningCourse]
    order: OrderOfCare
    shown: tuple[Shown, ...]


@for_recorders
@never_cache
@require_safe
@gzip_page
def round_json(request: HttpRequest) -> JsonResponse:
    """The doses of today with all the phone needs to give them without a connection."""
    person = person_of(request)
    now = timezone.localtime(timezone.now())
    today = _today(now)
    asked = questions(now)
    animals = _animals(today, {one["animal"] for one in asked})
    ends = datetime.combine(now.date() + timedelta(days=1), time.min, now.tzinfo)
    return JsonResponse(
        {
            "me": {"id": person.pk, "name": str(person)},
            "now": now.isoformat(),
            "day_words": day(now),
            "ends_at": ends.isoformat(),
            "people": _people(),
            "weight": bounds(),
            "pens": _pens(animals, today),
            "animals": _who(animals, today, now),
            "sittings": [_sitting(one, now) for one in today.round.sittings],
            "doses": [as_shown(one) for one in today.shown],
            "treatments": treatments(today.shown, today.courses.values(), now),
            "ask_vet": [_ask_vet(one, today.courses) for one in today.round.ask_vet],
            "questions": asked,
            "whys": WHYS,
            "vets": [{"words": one.words, "number": one.number} for one in VetNumber.objects.all()],
            "cautions": CAUTIONS,
        }
    )


def _today(now: datetime) -> _Today:
    today = doses_today(now)
    given = today.round
    named = {one.course.id for sitting in given.sittings for one in sitting.doses}
    due = [today.courses[key] for key in sorted(named)]
    worked = _worked(due, now)
    alarmed, doubted = alarmed_since(due), doubted_before(given.ask_vet)
    syringes = _syringes()

    def shown(one: DoseToGive, sitting: int | None) -> Shown:
        running = today.courses[one.course.id]
        course = running.course.id
        why = (doubted.get(course, ""), alarmed.get(course, ""))
        worked_out = worked.get(course) if sitting is not None else None
        return Shown(
            to_give=one,
            running=running,
            worked=worked_out,
            sitting=sitting,
            syringes=syringes,
            advised=" ".join(words for words in why if words),
        )

    waiting = [
        shown(one, place) for place, sitting in enumerate(given.sittings) for one in sitting.doses
    ]
    keys = {one.key for one in waiting}
    done = [one for one in (shown(each, None) for each in given.done) if one.key not in keys]
    return _Today(now, given, today.courses, today.order, (*waiting, *done))


def _syringes() -> dict[str, Syringe]:
    """Every syringe a dose may be measured with, by its code: it is drawn as it is marked."""
    known = {code: syringe_in_hand(book(), code) for code in book().medicines.syringes}
    own = Product.objects.filter(kind=ProductKind.SUPPLY, holds_ml__isnull=False)
    found = (syringe_of(one, book()) for one in own)
    return known | {one.code: one for one in found if one is not None}


def _worked(courses: Iterable[RunningCourse], now: datetime) -> dict[str, WorkedDose]:
    """What is given of each; one that breaks something stops no other."""
    courses = list(courses)
    try:
        return {str(key): one for key, one in work_out_all(courses, now).items()}
    except Exception:
        if len(courses) == 1:
            log.exception("The dose of %s cannot be worked out", courses[0].row.pk)
            return {}
        found: dict[str, WorkedDose] = {}
        for one in courses:
            found |= _worked([one], now)
        return found


def _people() -> list[dict[str, Any]]:
    """Who may check a dose as the second person."""
    may = (Role.CARER, Role.LEAD, Role.VET)
    rows = Person.objects.filter(is_active=True, role__in=may)
    return sorted(({"id": one.pk, "name": str(one)} for one in rows), key=lambda one: one["name"])


def _animals(today: _Today, more: set[str]) -> list[Animal]:
    ids = {one.running.course.animal for one in today.shown}
    ids |= {one.course.animal for one in today.round.ask_vet} | more
    return list(Animal.objects.filter(pk__in=ids).select_related("pen__room", "face"))


def _pen_of(animal: Animal, today: _Today) -> str:
    """The pen it is dosed with."""
    for one in today.shown:
        if one.running.course.animal == str(animal.pk) and one.to_give.pen:
            return one.to_give.pen
    return str(animal.pen_id) if animal.pen_id else NO_PEN


def _pens(animals: Iterable[Animal], today: _Today) -> list[dict[str, str]]:
    """The pens in the order of the round."""
    names = {str(pen.pk): pen for pen in Pen.objects.select_related("room")}
    here = {_pen_of(animal, today) for animal in animals}
    order = [one.to_give.pen for one in today.shown if one.to_give.pen]
    rest = sorted(here - set(order) - {NO_PEN})
    found = []
    for key in dict.fromkeys([*order, *rest]):
        pen = names.get(key)
        if pen is not None and key in here:
            words = today.order.groups[today.order.of_pen.get(pen.pk, pen.kind)].words
            found.append({"id": key, "name": str(pen), "group_words": words})
    if NO_PEN in here:
        found.append({"id": NO_PEN, "name": "No pen yet", "group_words": ""})
    return found


def _who(animals: Iterable[Animal], today: _Today, now: datetime) -> dict[str, dict[str, Any]]:
    animals = list(animals)
    weights, expected = last_weights(animals, now), expected_each(animals, now)
    return {
        str(animal.pk): {
            "id": str(animal.pk),
            "name": animal.name,
            "sex_words": "sex not known" if animal.sex == "unknown" else animal.sex,
            "age": age_on(animal, now.date()),
            "pen": str(animal.pen) if animal.pen else "no pen yet",
            "pen_id": _pen_of(animal, today),
            "photo": reverse("photo", args=[animal.face.digest]) if animal.face else None,
            "last_weight": as_last(weights.get(animal.pk)),
            "expected": as_expected(expected.get(animal.pk)),
        }
        for animal in animals
    }


def _sitting(sitting: Sitting, now: datetime) -> dict[str, str]:
    """Until when it is to be done: ``Now, until 11:00``, ``19:00 to 21:00``."""
    begins, ends = timezone.localtime(sitting.from_at), timezone.localtime(sitting.until_at)
    until = "today" if ends.date() > now.date() else f"until {ends:%H:%M}"
    if begins <= now:
        words = "Any time today" if until == "today" else f"Now, {until}"
    else:
        words = f"From {begins:%H:%M}, {until}"
    return {"words": words, "from_at": begins.isoformat(), "until_at": ends.isoformat()}


def _ask_vet(due: CourseDue, courses: Mapping[str, RunningCourse]) -> dict[str, Any]:
    """Why the vet is to be asked about a course before anything is given."""
    asked = [one for one in due.slots if one.is_open and not one.wants_giving]
    words = [one.says for one in asked if one.says]
    return {
        "animal": due.course.animal,
        "course": due.course.id,
        "what": due.course.what,
        "words": list(dict.fromkeys([*words, *doubts_of(due), *due.doubts])),
        "address": course_address(courses[due.course.id]),
    }
