"""Animals, observations and touches for tests, with only what a test says of them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import UUID

from cavyround.advice.book import book
from cavyround.facts.animal import AnimalFacts, Born, Known, Sex
from cavyround.facts.entries import MadeTouch, read_touch
from cavyround.facts.observation import Observation
from cavyround.record.animals import Coming, add_animal
from cavyround.record.models import Animal, Check, Pen, Person, Room
from cavyround.record.models.entries import new_id
from cavyround.record.receiving import receive

NOW = datetime(2026, 3, 3, 9, 0, tzinfo=UTC)
TODAY = NOW.date()
LONG_AGO = date(2025, 6, 1)
FINISH: Mapping[str, Any] = {"kind": "finish"}


def months_old(months: float) -> Born:
    day = TODAY - timedelta(days=round(months * 30.4375))
    return Born(earliest=day, latest=day)


def a_sow(**said: Any) -> AnimalFacts:
    """A grown sow, not pregnant, of whom nothing is found."""
    known: dict[str, Any] = {
        "id": "sow",
        "sex": Sex.SOW,
        "born": months_old(20),
        "pregnant": Known.NO,
        **said,
    }
    return AnimalFacts(**known)


def a_boar(**said: Any) -> AnimalFacts:
    return a_sow(**{"id": "boar", "sex": Sex.BOAR, **said})


def a_stranger(**said: Any) -> AnimalFacts:
    """An animal of which nothing at all is known."""
    return AnimalFacts(id="stranger", **said)


def an_observation(finding: str = "wax", region: str = "ear", **said: Any) -> Observation:
    return Observation(finding=finding, region=region, **said)


def found(finding: str = "wax", region: str = "ear", step: str = "ears", **said: Any) -> Any:
    """The touch that says a finding."""
    return {"kind": "observation", "step": step, "region": region, "finding": finding, **said}


def weighed(grams: object, **said: Any) -> Any:
    return {"kind": "weight", "grams": grams, **said}


def id_ahead(by: timedelta) -> UUID:
    """An id as a phone makes it whose clock runs ahead by this much."""
    return UUID(int=new_id().int + (by // timedelta(milliseconds=1) << 80))


def made(
    touch: Mapping[str, Any], *, at: datetime = NOW, touch_id: UUID | None = None
) -> MadeTouch:
    """A touch as ``facts.sitting`` folds it."""
    return MadeTouch(id=touch_id or new_id(), made_at=at, by=1, touch=read_touch(touch))


@dataclass(frozen=True)
class OnTheTable:
    """A check as the phone knows it; gives touches in their envelopes."""

    animal: Any
    kind: str = "full"
    at: datetime = NOW
    id: UUID = field(default_factory=new_id)

    def touch(self, touch: object, *, at: datetime | None = None, **said: Any) -> dict[str, Any]:
        return {
            "id": str(new_id()),
            "check": {
                "id": str(self.id),
                "animal": str(self.animal.id),
                "kind": self.kind,
                "started_at": self.at.isoformat(),
            },
            "made_at": (at or self.at).isoformat(),
            "touch": touch,
            **said,
        }

    @property
    def row(self) -> Check:
        return Check.objects.get(pk=self.id)


def keep(person: Person, items: Iterable[object], now: datetime = NOW) -> None:
    """Receive touches that must all fit."""
    refused = [receipt for receipt in receive(person, items, now) if not receipt.is_kept]
    assert not refused, refused


def a_check(person: Person, animal: Animal, *touches: object, **said: Any) -> Check:
    """A check of the record with these touches; ``at`` and ``kind`` as for OnTheTable."""
    table = OnTheTable(animal, **said)
    keep(person, [table.touch(touch) for touch in touches], table.at)
    return table.row


def a_full_check(person: Person, animal: Animal, **said: Any) -> Check:
    """A finished check of every step with nothing found."""
    steps = [step.code for step in book().steps]
    everything = {"kind": "hold_normal", "hold": "standing", "steps": steps}
    return a_check(person, animal, everything, FINISH, **said)


def an_animal(person: Person, name: str = "Bramble", **said: Any) -> Animal:
    """A resident sow of the record; ``on`` is the day it came, ``pen`` where it lives."""
    known = {"sex": "sow", "sex_sure": "sure", **said}
    coming = Coming(on=known.pop("on", LONG_AGO), how=known.pop("how", "surrendered"))
    pen = known.pop("pen", None)
    at = known.pop("at", NOW - timedelta(days=200))
    return add_animal(person, {"name": name, **known}, coming, at, pen=pen)


def a_pen(kind: str = "residents", *, name: str = "", room: str = "Long room") -> Pen:
    place, _ = Room.objects.get_or_create(name=room)
    return Pen.objects.create(room=place, name=name or kind, kind=kind)
