"""All that the check screen loads once: the animals of the round, their plans, and the words."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from functools import lru_cache
from typing import Any
from uuid import UUID

from django.http import HttpRequest, JsonResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from cavyround.advice.book import book
from cavyround.advice.due import Due, due_today
from cavyround.engines.check import Plan, PlannedStep, plan_check
from cavyround.facts.animal import AnimalFacts
from cavyround.facts.entries import HEAVIEST_G, LIGHTEST_G
from cavyround.facts.observation import Observation
from cavyround.knowledge.book import UNIT_SIGNS, Knowledge
from cavyround.knowledge.steps import Hold
from cavyround.record.building import facts_of_all
from cavyround.record.models import Animal, PenKind
from cavyround.record.models.checks import CheckKind
from cavyround.web.checking.naming import id_of
from cavyround.web.checking.signs import emergencies, signs_of
from cavyround.web.gate import for_recorders, person_of
from cavyround.web.templatetags.words import age, day

# More animals than this no one checks in one round; any other opens by its own address.
LONGEST_ROUND = 300
# A weight so far from one so recent is read again once. Common practice: a slip of digits is
# larger than what a guinea pig gains or loses between two weekly weigh-ins.
DOUBT_SHARE = 0.15
DOUBT_WITHIN = timedelta(days=14)


@for_recorders
@never_cache
@require_safe
def round_json(request: HttpRequest) -> JsonResponse:
    """The round; ``?animal=&kind=`` puts one animal in it, planned for that kind of check."""
    person = person_of(request)
    now = timezone.now()
    wanted = id_of(request.GET.get("animal", ""))
    due = due_today(now)
    animals = _animals_of_round(due, wanted)
    kinds = {one.animal.id: one.kind for one in due}
    asked = request.GET.get("kind", "")
    if asked in CheckKind.values:
        kinds[wanted] = asked
    facts = facts_of_all(animals, now)
    by_animal = {one.animal.id: one for one in due}
    return JsonResponse(
        {
            "me": {"id": person.pk, "name": str(person)},
            "now": now.isoformat(),
            "animals": [
                _animal(
                    animal,
                    by_animal.get(animal.id),
                    facts[animal.id],
                    kind=kinds.get(animal.id, CheckKind.FULL),
                    now=now,
                )
                for animal in animals
            ],
            "weight": {
                "lightest": int(LIGHTEST_G),
                "heaviest": int(HEAVIEST_G),
                "doubt_share": DOUBT_SHARE,
                "doubt_days": DOUBT_WITHIN.days,
            },
            **_words(book().version),
        }
    )


def _animals_of_round(due: Iterable[Due], wanted: UUID) -> list[Animal]:
    """Those due in today's order, then the others by name, and the one that was asked for."""
    animals = [one.animal for one in due][:LONGEST_ROUND]
    known = {animal.id for animal in animals}
    here = Animal.objects.select_related("pen__room", "face")
    if wanted not in known:
        animals.extend(here.filter(pk=wanted))
        known.add(wanted)
    others = here.filter(left_on=None).exclude(pk__in=known)
    return animals + list(others[: max(0, LONGEST_ROUND - len(animals))])


def _animal(
    animal: Animal, due: Due | None, facts: AnimalFacts, *, kind: str, now: datetime
) -> dict[str, Any]:
    urgency = due.urgency if due else None
    group = due.group if due else animal.pen.kind if animal.pen else "no_pen"
    return {
        "id": str(animal.id),
        "name": animal.name,
        "sex": animal.sex,
        "sex_words": "sex not known" if animal.sex == "unknown" else animal.sex,
        "age": age(animal),
        "pen": str(animal.pen) if animal.pen else "",
        "group": group,
        "group_words": PenKind(group).label if group in PenKind.values else "No pen yet",
        "photo": reverse("photo", args=[animal.face.digest]) if animal.face else None,
        "last_weight": _last_weight(facts),
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
        "plan": _plan(plan_check(facts, now=now, book=book(), kind=kind)),
    }


def _last_weight(facts: AnimalFacts) -> dict[str, Any] | None:
    if not facts.weighings:
        return None
    last = facts.weighings[-1]
    return {"grams": float(last.grams), "on": day(last.at), "at": last.at.isoformat()}


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
        "kit": list(plan.kit),
    }


def _planned(step: PlannedStep) -> dict[str, Any]:
    """A planned step; what is empty is left out, for there are many."""
    said = {
        "why_more": list(step.why_more),
        "why_also": list(step.why_also),
        "left_out": step.left_out,
        "sore": step.sore,
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


STEP_PARTS = frozenset(
    {"words", "why", "look", "feel", "smell", "normal", "varies", "never", "care", "offers"}
)


@lru_cache(maxsize=1)
def _words(_version: str) -> dict[str, Any]:
    """The words for every code; made once for each version of the knowledge."""
    knowledge = book()
    words = knowledge.vocabulary
    return {
        "holds": {hold.code: _hold(hold, knowledge) for hold in knowledge.holds},
        "steps": {
            step.code: step.model_dump(mode="json", by_alias=True, include=set(STEP_PARTS))
            for step in knowledge.steps
        },
        "regions": {
            code: {
                "words": knowledge.place_words(code, "N"),
                "both": knowledge.place_words(code, "B"),
                "paired": region.paired,
                "sided": region.sided,
            }
            for code, region in words.regions.items()
        },
        "findings": {
            code: {
                "words": knowledge.observation_words(Observation(region="whole", finding=code)),
                "kinds": list(finding.kinds),
                "units": list(finding.units),
                "benign": finding.benign,
            }
            for code, finding in words.findings.items()
        },
        "kinds": dict(words.kinds),
        "grades": dict(words.grades),
        "sides": dict(words.sides),
        "units": {code: UNIT_SIGNS.get(code, code) for code in words.units},
        "care": {code: item.words for code, item in words.care.items()},
        "events": dict(words.events),
        "urgency_words": {code: level.words for code, level in words.urgencies.items()},
        "emergencies": emergencies(knowledge),
        "knowledge_version": knowledge.version,
    }


def _hold(hold: Hold, knowledge: Knowledge) -> dict[str, Any]:
    return {
        "words": hold.words,
        "how": hold.how,
        "cautions": list(hold.cautions),
        "not_for": [
            {"signs": signs_of([one.when], knowledge), "words": one.words} for one in hold.not_for
        ],
    }
