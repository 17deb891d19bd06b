"""All that the check screen loads once: the animals of the round, their plans, and the words."""

import json
import logging
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, time
from functools import lru_cache
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from cavyround.advice.book import book
from cavyround.advice.due import Due, Here, here_today
from cavyround.advice.labour import with_labours
from cavyround.advice.order_of_care import OrderOfCare
from cavyround.engines.check import Plan, PlannedStep, plan_check
from cavyround.engines.weight.said import Expected
from cavyround.facts.animal import AnimalFacts, Weighing
from cavyround.record.building import facts_of_all
from cavyround.record.models import Animal, VetNumber, WeighIn
from cavyround.record.models.checks import CheckKind
from cavyround.web.checking.doubting import (
    as_expected,
    as_last,
    bounds,
    expected_each,
    last_weights,
)
from cavyround.web.checking.naming import NOTHING, id_of
from cavyround.web.checking.texts import object_of, texts_of_words
from cavyround.web.gate import for_recorders, person_of
from cavyround.web.templatetags.words import age_on

# More animals than this no one checks in one round; any other opens by its own address.
LONGEST_ROUND = 300
BROKEN = (
    "Something broke on our side when its check was planned. Look it over all the same, write "
    "down what you find, and tell whoever runs the tool. The others can be checked as always."
)
NOTHING_PLANNED = json.dumps({"holds": [], "kit": []})
log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class _Known:
    """What is known of the animals of one round, and the moment in the rescue's own zone."""

    now: datetime
    order: OrderOfCare
    due: Mapping[UUID, Due]
    facts: Mapping[UUID, AnimalFacts]
    weights: Mapping[UUID, WeighIn | Weighing]
    expected: Mapping[UUID, Expected]


@for_recorders
@never_cache
@require_safe
@gzip_page
def round_json(request: HttpRequest) -> HttpResponse:
    """The round; ``?animal=&kind=`` puts one animal in it, planned for that kind of check."""
    person = person_of(request)
    now = timezone.localtime(timezone.now())  # the engines count days in the rescue's zone
    wanted = id_of(request.GET.get("animal", ""))
    here = here_today(now)
    animals = _animals_of_round(here, wanted)
    kinds = {one.animal.id: one.kind for one in here.due}
    asked = request.GET.get("kind", "")
    if asked in CheckKind.values:
        kinds[wanted] = asked
    facts = _facts(animals, now)
    known = _Known(
        now,
        here.order,
        {one.animal.id: one for one in here.due},
        facts,
        _last_weights(animals, facts, now),
        expected_each(animals, now),
    )
    planned = [_animal(animal, known, kinds.get(animal.id, CheckKind.FULL)) for animal in animals]
    told = {
        "me": {"id": person.pk, "name": str(person)},
        "now": now.isoformat(),
        "weight": bounds(),
        "vets": [{"words": one.words, "number": one.number} for one in VetNumber.objects.all()],
    }
    text = object_of(told, {"animals": f"[{', '.join(planned)}]", **texts_of_words(book().version)})
    return HttpResponse(text, content_type="application/json")


def _animals_of_round(here: Here, wanted: UUID) -> list[Animal]:
    """Those due in today's order, then the one that was asked for, then the others by name."""
    first = [one.animal for one in here.due][:LONGEST_ROUND]
    known = {animal.id for animal in first}
    if wanted not in known and wanted != NOTHING:
        first.extend(Animal.objects.select_related("pen__room", "face").filter(pk=wanted))
        known.add(wanted)
    rest = [animal for animal in here.others if animal.id not in known]
    return first + rest[: max(0, LONGEST_ROUND - len(first))]


def _facts(animals: list[Animal], now: datetime) -> dict[UUID, AnimalFacts]:
    """What is known of each; one whose facts cannot be put together stops no other."""
    try:
        return with_labours(facts_of_all(animals, now), now)
    except Exception:
        if len(animals) == 1:
            log.exception("The facts of %s cannot be put together", animals[0].pk)
            return {}
        facts: dict[UUID, AnimalFacts] = {}
        for animal in animals:
            facts |= _facts([animal], now)
        return facts


def _last_weights(
    animals: list[Animal], facts: Mapping[UUID, AnimalFacts], now: datetime
) -> dict[UUID, WeighIn | Weighing]:
    """The last weight of each that was not doubted; where it was, asked for before that."""
    last: dict[UUID, WeighIn | Weighing] = {
        key: known.weighings[-1]
        for key, known in facts.items()
        if known.weighings and not known.weighings[-1].doubted
    }
    return last | dict(last_weights([one for one in animals if one.id not in last], now))


def _animal(animal: Animal, known: _Known, kind: str) -> str:
    """One animal with its plan; one that cannot be planned is sent with words instead."""
    who = _who(animal, known.due.get(animal.id), kind, known.order)
    try:
        facts = known.facts[animal.id]
        told = {
            "age": age_on(animal, known.now.date()),
            "last_weight": as_last(known.weights.get(animal.id)),
            "checked_before": facts.checked_before,
            "expected": as_expected(known.expected.get(animal.id)),
        }
        return object_of(who | told, {"plan": _plan_text(facts, known.now, kind)})
    except Exception:
        log.exception("The check of %s cannot be planned", animal.pk)
        nothing = {"age": "", "last_weight": None, "broken": BROKEN}
        return object_of(who | nothing, {"plan": NOTHING_PLANNED})


def _who(animal: Animal, due: Due | None, kind: str, order: OrderOfCare) -> dict[str, Any]:
    urgency = due.urgency if due else None
    group = order.groups[order.stage(animal)]
    return {
        "id": str(animal.id),
        "name": animal.name,
        "sex": animal.sex,
        "sex_words": "sex not known" if animal.sex == "unknown" else animal.sex,
        "pen": str(animal.pen) if animal.pen else "",
        "pen_id": str(animal.pen_id) if animal.pen_id else "",
        "group": group.group,
        "group_words": group.words,
        "photo": reverse("photo", args=[animal.face.digest]) if animal.face else None,
        "due": due is not None,
        "reasons": list(due.reasons) if due else [],
        "overdue_days": due.overdue_days if due else 0,
        "kind": kind,
        "kind_words": CheckKind(kind).label,
        "urgency": (
            {"level": int(urgency), "words": book().urgency_words(urgency)}
            if urgency is not None
            else None
        ),
        "being_checked_by": due.being_checked_by if due else "",
    }


def _plan_text(facts: AnimalFacts, now: datetime, kind: str) -> str:
    """A plan as JSON. Where nothing was found today it is the same all day, and written once."""
    if not facts.observations:
        now = datetime.combine(now, time.min, now.tzinfo)
    return _written(facts, now, kind, book().version)


# As many as may be wanted at once, in the kinds of check they may be wanted for.
@lru_cache(maxsize=4 * LONGEST_ROUND)
def _written(facts: AnimalFacts, now: datetime, kind: str, _version: str) -> str:
    return json.dumps(_plan(plan_check(facts, now=now, book=book(), kind=kind)))


def _plan(plan: Plan) -> dict[str, Any]:
    return {
        "holds": [
            {
                "code": hold.code,
                "not_now": hold.not_now,
                "steps": [_planned(step) for step in hold.steps],
            }
            for hold in plan.holds
        ],
        "promised": list(plan.promised),
        "kit": list(plan.kit),
    }


def _planned(step: PlannedStep) -> dict[str, Any]:
    """A planned step; what is empty is left out, for there are many."""
    said = {
        "why_more": list(step.why_more),
        "why_also": list(step.why_also),
        "left_out": step.left_out,
        "sore": step.sore,
        "promised": list(step.promised),
        "words": step.words if step.words != book().step(step.code).words else "",
        "normal": list(step.normal) if step.normal != book().step(step.code).normal else [],
        "carried": [
            {
                "region": known.region,
                "finding": known.finding,
                "side": known.side,
                "words": known.words,
                "size_mm": float(known.size_mm) if known.size_mm is not None else None,
                "mark_id": known.mark_id,
                "since": known.since,
            }
            for known in step.carried
        ],
    }
    return {"code": step.code} | {name: value for name, value in said.items() if value}
