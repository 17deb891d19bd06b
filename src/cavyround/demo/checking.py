"""Checks of the past, held touch by touch as the check screen sends them."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from random import Random
from typing import Any
from uuid import UUID

from cavyround.advice.book import book
from cavyround.advice.plans import plan_for
from cavyround.demo.clock import Clock, Ids
from cavyround.engines.check import Plan, PlannedHold
from cavyround.record.models import Animal, Check, Person, StandingMark
from cavyround.record.receiving import receive

# A plan changes with age and state; between two checks within this time it is taken to be the same.
PLAN_HOLDS_DAYS = 60


class NotKeptError(RuntimeError):
    """The record refused a touch of the invented history."""


@dataclass(slots=True, kw_only=True)
class Sitting:
    """What shall be done and found in one check. Dictionaries are touches without their kind."""

    kind: str = "full"
    by: str = ""
    grams: int | None = None
    misread: int | None = None
    doubted: int | None = None
    found: list[dict[str, Any]] = field(default_factory=list)
    care: list[dict[str, Any]] = field(default_factory=list)
    told: list[dict[str, Any]] = field(default_factory=list)
    places: list[dict[str, Any]] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    skipped: dict[str, str] = field(default_factory=dict)
    put_down: str = ""


@dataclass(slots=True)
class Table:
    """Where checks are held. ``held`` keeps the entries of each check by kind of touch."""

    clock: Clock
    ids: Ids
    random: Random
    marks: dict[UUID, list[StandingMark]] = field(default_factory=dict)
    plans: dict[tuple[object, ...], Plan] = field(default_factory=dict)
    held: dict[UUID, list[tuple[UUID, dict[str, Any]]]] = field(default_factory=dict)

    def hold(self, person: Person, animal: Animal, sitting: Sitting, moment: datetime) -> Check:
        """Hold one check and have the record receive it."""
        check_id = self.ids.at(moment)
        plan = self.plan(animal, sitting.kind, moment)
        envelope = {
            "id": str(check_id),
            "animal": str(animal.pk),
            "kind": sitting.kind,
            "started_at": moment.isoformat(),
            "planned": [step for hold in plan.holds for step in _on_screen(hold)],
        }
        items: list[dict[str, Any]] = []
        held: list[tuple[UUID, dict[str, Any]]] = []
        at = moment
        for touch in self._touches(animal, sitting, plan):
            at = self.clock.not_later(at + timedelta(seconds=self._seconds(touch)))
            entry = self.ids.at(at)
            held.append((entry, touch))
            items.append(
                {
                    "id": str(entry),
                    "check": envelope,
                    "made_at": at.isoformat(),
                    "by": person.pk,
                    "touch": touch,
                }
            )
        self.send(person, items, at)
        self.held[check_id] = held
        return Check.objects.get(pk=check_id)

    def send(self, person: Person, items: list[dict[str, Any]], moment: datetime) -> None:
        """Send touches to the record; a refusal is a fault of the story."""
        refused = [one.why for one in receive(person, items, moment) if not one.is_kept]
        if refused:
            raise NotKeptError("; ".join(refused))

    def correct(
        self,
        person: Person,
        check: Check,
        entry: UUID,
        reason: str,
        data: dict[str, Any] | None,
        moment: datetime,
    ) -> None:
        """Correct one entry of a check held earlier."""
        touch = {"kind": "correction", "entry": str(entry), "reason": reason, "data": data}
        envelope = {
            "id": str(check.pk),
            "animal": str(check.animal_id),
            "kind": check.kind,
            "started_at": check.started_at.isoformat(),
        }
        item = {
            "id": str(self.ids.at(moment)),
            "check": envelope,
            "made_at": moment.isoformat(),
            "by": person.pk,
            "touch": touch,
        }
        self.send(person, [item], moment)

    def _seconds(self, touch: dict[str, Any]) -> float:
        slow = {"hold_normal": (9, 22), "weight": (5, 12), "care": (15, 60), "note": (10, 25)}
        return self.random.uniform(*slow.get(touch["kind"], (2, 6)))

    def plan(self, animal: Animal, kind: str, moment: datetime) -> Plan:
        """The plan of a check, worked out anew only where it may have changed."""
        if kind == "recheck":
            return plan_for(animal, moment, kind)
        span = moment.toordinal() // PLAN_HOLDS_DAYS
        key = (animal.pk, kind, span, animal.sex, animal.pregnant, animal.pen_id)
        if key not in self.plans:
            self.plans[key] = plan_for(animal, moment, kind)
        return self.plans[key]

    def _touches(self, animal: Animal, sitting: Sitting, plan: Plan) -> Iterator[dict[str, Any]]:
        planned = {step.code for step in plan.steps}
        found = [*self._standing(animal, planned), *sitting.found]
        for number, hold in enumerate(plan.holds):
            yield from self._in_hold(hold, sitting, found, planned)
            if sitting.put_down and number == len(plan.holds) // 2:
                yield {"kind": "put_down", "why": sitting.put_down}
                return
        yield from ({"kind": "care", **care} for care in sitting.care)
        yield from ({"kind": "event", **told} for told in sitting.told)
        yield from ({"kind": "note", "text": words} for words in sitting.notes)
        yield {"kind": "finish"}

    def _in_hold(
        self,
        hold: PlannedHold,
        sitting: Sitting,
        found: list[dict[str, Any]],
        planned: set[str],
    ) -> Iterator[dict[str, Any]]:
        steps = _on_screen(hold)
        if "weight" in steps:
            yield from self._weighed(sitting)
        regions = book().vocabulary.regions
        seen = [one for one in found if regions[one["region"]].step in steps]
        for one in seen:
            yield {"kind": "observation", "step": regions[one["region"]].step, **one}
        for place in sitting.places:
            if place["step"] in steps:
                yield {"kind": "mark", **{k: v for k, v in place.items() if k != "step"}}
        for step, why in sitting.skipped.items():
            if step in steps:
                yield {"kind": "step_skipped", "step": step, "why": why}
        done = {regions[one["region"]].step for one in seen} | set(sitting.skipped) | {"weight"}
        rest = [step for step in steps if step not in done and step in planned]
        if rest:
            yield {"kind": "hold_normal", "hold": hold.code, "steps": rest}

    def _weighed(self, sitting: Sitting) -> Iterator[dict[str, Any]]:
        if sitting.doubted is not None:
            yield _weight(sitting.doubted, doubted=True)
        grams = sitting.misread if sitting.misread is not None else sitting.grams
        if grams is not None:
            yield _weight(grams)

    def _standing(self, animal: Animal, planned: set[str]) -> list[dict[str, Any]]:
        """Things known to be harmless are asked for at each check, and are as they were."""
        regions = book().vocabulary.regions
        return [
            {
                "region": mark.region,
                "finding": mark.finding,
                "side": mark.side,
                "grade": "same",
                "mark": str(mark.pk),
            }
            for mark in self.marks.get(animal.pk, ())
            if regions[mark.region].step in planned
        ]


def _on_screen(hold: PlannedHold) -> list[str]:
    """The steps of a hold that are asked for today."""
    return [] if hold.not_now else [step.code for step in hold.steps if not step.left_out]


def _weight(grams: int, *, doubted: bool = False) -> dict[str, Any]:
    return {"kind": "weight", "grams": str(grams), "as_typed": f"{grams} g", "doubted": doubted}
