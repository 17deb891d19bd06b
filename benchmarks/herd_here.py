"""A rescue of 200 animals here, made by the record's own writers from a seed."""

import random
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db import transaction
from uuid6 import uuid7

from cavyround.advice.book import book
from cavyround.advice.giving import advise
from cavyround.advice.plans import plan_for
from cavyround.advice.weights import held_back
from cavyround.knowledge.urgency import Urgency
from cavyround.record.animals import Coming, add_animal
from cavyround.record.models import Animal, Check, Pen, Person, Room, WeighIn
from cavyround.record.models.entries import new_id
from cavyround.record.people import add_person
from cavyround.record.promises import LookAgainAt, promise
from cavyround.record.receiving import receive

KINDS = ("residents",) * 6 + ("nursery", "quarantine", "sick_bay", "isolation")
FINDINGS = (("back", "flaky"), ("ear", "wax"), ("eye", "discharge"), ("foot", "hard_skin"))
CHECKS_EACH = 12
LEFT = 60
FOUND_SHARE = 0.12


def make_herd(animals: int, now: datetime, seed: int = 7) -> Person:
    """The people, pens and animals with their checks, advice and promises; returns the lead."""
    rng = random.Random(seed)  # noqa: S311 -- a seeded herd, no secret
    lead = add_person("lead", "not-a-real-password", "lead", "Lead")
    pens = _pens(animals)
    with held_back(now):
        for number in range(animals):
            with transaction.atomic():
                animal = _animal(rng, number, lead, pens[number % len(pens)], now)
                _history(rng, animal, lead, now)
    left = (now - timedelta(days=9)).date()
    # One page of those that left, so that the same page of many more can be compared with it.
    Animal.objects.bulk_create(
        Animal(name=f"Gone {number}", sex="sow", left_on=left) for number in range(LEFT)
    )
    return lead


def _weighed_before(
    rng: random.Random, animal: Animal, lead: Person, now: datetime, about: int
) -> None:
    """Weekly weights from its coming to the first whole check, read off as they would be."""
    came = (now.date() - animal.arrived_on).days if animal.arrived_on else 0
    checks, weights = [], []
    for week in range(CHECKS_EACH, came // 7):
        at = now - timedelta(days=7 * week, minutes=rng.randint(5, 600))
        check = Check(
            animal=animal, kind="weigh_in", started_at=at, started_by=lead, finished_at=at
        )
        checks.append(check)
        weights.append(
            WeighIn(
                id=new_id(),
                animal=animal,
                check_in=check,
                at=at,
                by=lead,
                grams=about + rng.randint(-15, 15),
            )
        )
    Check.objects.bulk_create(checks)
    WeighIn.objects.bulk_create(weights)


def _pens(animals: int) -> Sequence[Pen]:
    rooms = [Room.objects.create(name=f"Room {n}", position=n) for n in range(1, 6)]
    return [
        Pen.objects.create(
            room=rooms[n % len(rooms)], name=f"Pen {n}", kind=KINDS[n % len(KINDS)], position=n
        )
        for n in range(max(4, animals // 4))
    ]


def _animal(rng: random.Random, number: int, lead: Person, pen: Pen, now: datetime) -> Animal:
    came = now - timedelta(days=rng.randint(100, 900))
    born = came.date() - timedelta(days=rng.randint(60, 1500))
    details: dict[str, Any] = {
        "name": f"Animal {number}",
        "sex": rng.choice(["sow", "boar"]),
        "neutered": rng.choice(["yes", "no", "unknown"]),
        "born_earliest": born,
        "born_latest": born,
        "pregnant": "no",
        "coat": ["smooth"],
    }
    return add_animal(lead, details, Coming(on=came.date(), how="surrendered"), came, pen=pen)


def _history(rng: random.Random, animal: Animal, lead: Person, now: datetime) -> None:
    grams = rng.randint(650, 1250)
    _weighed_before(rng, animal, lead, now, grams)
    for week in reversed(range(CHECKS_EACH)):
        at = now - timedelta(days=7 * week + rng.randint(0, 9), minutes=rng.randint(5, 600))
        grams += rng.randint(-12, 12)
        touches = whole_check(animal, now, grams)
        if rng.random() < FOUND_SHARE:
            touches.insert(0, _finding(rng))
        check_id = send_check(animal, lead, at, touches)
    check = Check.objects.get(pk=check_id)
    given = advise(lead, check, check.started_at + timedelta(minutes=5))
    if Urgency.from_code(given.urgency) is not Urgency.NORMAL:
        again = LookAgainAt(due_at=now + timedelta(days=rng.randint(-2, 3)), words="look again")
        promise(lead, animal, again, given.made_at, advice=given)


def whole_check(animal: Animal, now: datetime, grams: int) -> list[dict[str, Any]]:
    """The touches of a whole check with all as it should be."""
    touches: list[dict[str, Any]] = [
        {"kind": "hold_normal", "hold": hold.code, "steps": [step.code for step in hold.steps]}
        for hold in plan_for(animal, now).holds
        if hold.steps and hold.code != "scale"
    ]
    weight = {"kind": "weight", "grams": str(grams), "as_typed": f"{grams} g"}
    return [*touches, weight, {"kind": "finish"}]


def _finding(rng: random.Random) -> dict[str, Any]:
    region, finding = rng.choice(FINDINGS)
    step = book().vocabulary.regions[region].step
    return {"kind": "observation", "step": step, "region": region, "finding": finding, "side": "L"}


def send_check(animal: Animal, person: Person, at: datetime, touches: list[dict[str, Any]]) -> UUID:
    """Send one check as a phone would, all touches at once."""
    check_id = str(uuid7())
    check = {
        "id": check_id,
        "animal": str(animal.id),
        "kind": "full",
        "started_at": at.isoformat(),
        "planned": sorted({step for touch in touches for step in touch.get("steps", ())}),
    }
    items = [
        {
            "id": str(uuid7()),
            "check": check,
            "made_at": (at + timedelta(seconds=5 * n)).isoformat(),
            "by": person.pk,
            "touch": touch,
        }
        for n, touch in enumerate(touches, start=1)
    ]
    refused = [one for one in receive(person, items, at + timedelta(minutes=2)) if one.why]
    if refused:
        msg = f"the benchmark's own check was refused: {refused[0].why}"
        raise AssertionError(msg)
    return UUID(check_id)
